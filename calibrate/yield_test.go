package calibrate

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tape"
)

// Exact: a round of 100 seconds that the fighter begins in the stance of the body; rows of a stance turn it over, those of the other corner do not.
func TestTimeInSouthpaw(t *testing.T) {
	const second = 1_000_000
	stance := func(round uint8, at int64, corner tape.Corner, value tape.Value) tape.Event {
		return tape.Event{Round: round, Clock: at * second, Corner: corner, Act: tape.StateStance, Value: value}
	}
	body := fighter.AverageBody()
	src := &source{bodies: [2]*fighter.Body{&body, &body}, events: []tape.Event{
		stance(1, 50, tape.RedCorner, tape.Southpaw), // in the round before: it lasts
		stance(2, 20, tape.RedCorner, tape.Orthodox), stance(2, 30, tape.BlueCorner, tape.Orthodox), stance(2, 60, tape.RedCorner, tape.Southpaw)}}
	v := &view{light: &light{round: 2, first: 1, last: 4, end: 100 * second}, src: src, corner: tape.RedCorner}
	for _, c := range []struct{ from, to, want int64 }{{0, 100, 60}, {0, 20, 20}, {20, 60, 0}, {10, 70, 20}, {30, 40, 0}, {60, 100, 40}, {5, 5, 0}} {
		require.Equal(t, c.want*second, v.inSouthpaw(c.from*second, c.to*second), "%d to %d", c.from, c.to)
	}
	v.corner = tape.BlueCorner
	require.Zero(t, v.inSouthpaw(0, 100*second))
	body.Southpaw = true
	require.Equal(t, int64(30*second), v.inSouthpaw(0, 100*second))
}

// Exact: what a southpaw's own tape shows of stances lies within what it shows of places, and on the ground there is none.
func TestYieldsTellStances(t *testing.T) {
	left := fighter.AverageBody()
	left.Southpaw = true
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	pair := &fighter.Pair{Red: fighter.Population("mole", left), Blue: fighter.Population("newt", fighter.AverageBody())}
	for z := range fighter.Clinch { // who seldom switches, so that it does not hang on the luck of a few bouts
		pair.Red.Figures[fighter.Initiate(z, tape.MoveSwitchStance)].A /= 10
		pair.Blue.Figures[fighter.Initiate(z, tape.MoveSwitchStance)].A /= 10
	}
	got, err := Yields(pair, rules)
	require.NoError(t, err)
	var red, blue, feet float64
	for z := range fighter.NumZones {
		for c := range got {
			require.LessOrEqual(t, got[c].Southpaw[z], got[c].Share[z]+1e-12)
			require.True(t, hasStance(z) || got[c].Southpaw[z] == 0)
		}
		if hasStance(z) {
			red, blue, feet = red+got[0].Southpaw[z], blue+got[1].Southpaw[z], feet+got[0].Share[z]
		}
	}
	require.Greater(t, red, feet/2, "who begins every round in southpaw is found there most of the time")
	require.Less(t, blue, feet/2)
}
