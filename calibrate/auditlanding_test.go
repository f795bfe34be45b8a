package calibrate

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/tape"
)

// By hand: of red's jabs to the head 3 of 10 landed in the draws and 2 of 5 on the tape; of the crosses 5 of 5. The jab's chance is (5 + 10·q)/(15 + 10)
// with q = 10/20, the straights' share: .4; the cross's (5 + 5)/(5 + 10) = 2/3.
func TestChancesByHand(t *testing.T) {
	c := &chances{sets: make([][2][tape.NumMoves]tries, 2)}
	c.sets[0][0][tape.MoveJab] = tries{10, 3}
	c.sets[0][0][tape.MoveCross] = tries{5, 5}
	c.sets[1][0][tape.MoveJab] = tries{5, 2}
	f := c.forecast()
	require.InDelta(t, .4, f[0][tape.MoveJab], 1e-12)
	require.InDelta(t, 2./3, f[0][tape.MoveCross], 1e-12)
	require.Zero(t, f[1][tape.MoveJab], "nobody tried one")
	chance, landed := c.stated(&f, 1, nil, nil)
	require.Len(t, chance, 5)
	require.Equal(t, []bool{true, true, false, false, false}, landed)
}

// The coded strikes' score is taken apart exactly, and bins hold all strikes.
func TestLandingAddsUp(t *testing.T) {
	a := audited(t, auditTape(t, 7, 1, nil), AuditOptions{Profiles: trueProfiles(), Seed: 3})
	l := a.Landing
	require.NotNil(t, l)
	require.InDelta(t, l.Brier, l.Reliability-l.Resolution+l.Uncertainty+l.Within, 1e-12)
	n := 0
	for _, b := range l.Curve {
		n += b.Strikes
		require.Less(t, b.Low, b.High)
	}
	require.Equal(t, l.Strikes, n)
	require.Greater(t, l.Strikes, 100)
}
