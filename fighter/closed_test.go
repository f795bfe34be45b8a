package fighter

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What was shifted comes back from the file; what is wrong in it is told with its line.
func TestClosedComesBack(t *testing.T) {
	p := Population("vole", AverageBody())
	p.MadeFrom.Closed = Closed{Rates: map[Family]float64{StraightPunch: -.25, OnGround: .125}, Shares: map[Family]float64{LeadHand: .5}, Whole: true}
	back, err := ReadProfile("vole.yaml", WriteProfile(p))
	require.NoError(t, err)
	require.Equal(t, p.MadeFrom, back.MadeFrom)
	plain, err := ReadProfile("vole.yaml", WriteProfile(Population("vole", AverageBody())))
	require.NoError(t, err)
	require.Equal(t, Closed{}, plain.MadeFrom.Closed)
	body := "format: whatbout.profile/1\nid: vole\nbody: {stature: 1.75, span: 1.8, leg: 0.93, weight: 70, stance: orthodox}\n"
	_, err = ReadProfile("vole.yaml", []byte(body+"made_from: {closed: {rates: {strait: 1, looping: 11}}}\n"))
	require.ErrorContains(t, err, "vole.yaml:4")
	require.ErrorContains(t, err, `did you mean "straight"?`)
	require.ErrorContains(t, err, "11")
}
