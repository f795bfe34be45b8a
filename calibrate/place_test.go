package calibrate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// Clocks by hand: a minute at long range, of which from 0:10 to 0:30 the back is on the fence and from 0:20 to 0:40 nobody can be seen. After
// that the fence has to be stated again, which it is at 0:50. Four jabs, the first and the last there, one of them too late to count as
// begun there.
func TestPlacesByHand(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	row := func(s float64, c tape.Corner, act tape.Act, v tape.Value) tape.Event {
		return tape.Event{Round: 1, Clock: int64(s * 1e6), Corner: c, Act: act, Value: v}
	}
	b := boutOf("by hand", rules, "vole", "shrew")
	b.Coded = []tape.Interval{{Round: 1, From: 0, To: 60e6}}
	c := codingOf(b, []tape.Event{
		row(0, tape.RedCorner, tape.StateRange, tape.Long), row(0, tape.BlueCorner, tape.StateRange, tape.Long),
		row(10, tape.NoCorner, tape.StateFence, tape.Red), row(15, tape.RedCorner, tape.Jab, tape.Head),
		row(20, tape.NoCorner, tape.StateSeen, tape.No), row(40, tape.NoCorner, tape.StateSeen, tape.Yes),
		row(40, tape.RedCorner, tape.StateRange, tape.Long), row(40, tape.BlueCorner, tape.StateRange, tape.Long), row(45, tape.RedCorner, tape.Jab, tape.Head),
		row(50, tape.NoCorner, tape.StateFence, tape.Red), row(50.01, tape.RedCorner, tape.Jab, tape.Head), row(55, tape.RedCorner, tape.Jab, tape.Head),
	})
	in, err := Options{}.sources([]*tape.Coding{c})
	require.NoError(t, err)
	sources := in.full
	s := sources[0]
	v := viewOf(s, &s.lights[0], tape.RedCorner)
	require.Equal(t, []span{{10e6, 20e6}, {50e6, 60e6}}, spots[onOwnFence].when(v))
	require.Empty(t, spots[1].when(v))
	busy := func(from, to int64) float64 { return float64(to-from-length(span{from, to}, v.busy)) / 1e6 }
	free := v.freeIn(spots[onOwnFence].when(v))
	require.InDelta(t, 20-busy(10e6, 20e6)-busy(50e6, 60e6), free[fighter.Long], 1e-9)
	whole, _ := v.exposure()
	require.InDelta(t, whole[fighter.Long], v.freeIn(v.spans)[fighter.Long], 1e-9)

	all := map[string]placeTallies{"vole": newPlaceTallies()}
	when := all["vole"].time(v)
	tally(sources, func(s *source, corner tape.Corner, f fighter.Figure, r, _ int) {
		if z, _, ok := initiateOf(f); ok && s.id(corner) == "vole" {
			all["vole"].act(s, z, &s.events[r], when)
		}
	})
	const punches = 4 // in actOptions
	require.Equal(t, "punches", actOptions[punches].words)
	got := all["vole"][onOwnFence][punches]
	require.Equal(t, [2]float64{2, 2}, [2]float64{got.pairs[fighter.Long].X1, got.pairs[fighter.Long].X2})
	require.InDelta(t, free[fighter.Long], got.pairs[fighter.Long].T1, 1e-9)
	require.InDelta(t, whole[fighter.Long]-free[fighter.Long], got.pairs[fighter.Long].T2, 1e-9)
	require.Equal(t, []Clip{{"by hand", 1, 15e6}, {"by hand", 1, 55e6}}, got.clips)
	require.Zero(t, all["vole"][onOwnFence][stepsBack].pairs[fighter.Long].T1, "nobody steps back there")
	require.Empty(t, placesOf(sources, .95, nil), "too rare to compare")
}

// The engine's rates know no place but that nobody steps back on the fence: of average fighters' bouts the ratios are 1. Of the about 80 that are
// looked at in 30 bouts none is called different at a false discovery rate of 1 in 1000, and the squares of their deviates, normal ones' if the
// ratios and their errors are right, are 1 on average: within 4.9·√(2/n), and a fifth, since acts of one zone hang together.
func TestTheEngineKnowsNoPlace(t *testing.T) {
	rates, err := Places(bouts(t, 30, nil), Options{}, .95)
	require.NoError(t, err)
	require.Greater(t, len(rates), 60)
	squares := 0.0
	for _, r := range rates {
		require.Greater(t, r.Q, .001, "%s %s", r.Fighter, r.String())
		squares += r.Ratio.Z * r.Ratio.Z
	}
	t.Logf("%d ratios, mean square %.2f", len(rates), squares/float64(len(rates)))
	require.InDelta(t, 1, squares/float64(len(rates)), 4.9*math.Sqrt(2/float64(len(rates)))+.2)
}

// Of the steps round two thirds are struck from the tape where the fighter does not hold the centre, so that there they come three times as
// often. Both ratios are found, and come first.
func TestAPlaceThatMattersIsFound(t *testing.T) {
	n := 0
	codings := bouts(t, 12, func(c *tape.Coding) {
		centre, rows := tape.Even, []tape.Row{}
		for _, row := range c.Rows {
			if row.Act == tape.StateCentre {
				centre = row.Value
			}
			if row.Corner == tape.RedCorner && row.Act == tape.Circle && centre != tape.Red {
				if n++; n%3 > 0 {
					continue
				}
			}
			rows = append(rows, row)
		}
		c.Rows = rows
	})
	rates, err := Places(codings, Options{}, .999999, "vole") // 4.9 standard errors
	require.NoError(t, err)
	sides := map[string]bool{}
	for _, r := range rates[:2] {
		t.Log(r.String(), r.Ratio.Z, r.Q)
		require.Equal(t, [2]string{"vole", "holding the centre"}, [2]string{r.Fighter, r.Place})
		require.True(t, r.Ratio.Holds(3) && r.Ratio.Low > 1, r.String())
		require.Less(t, r.Q, .01)
		require.Len(t, r.Clips, int(r.Acts))
		sides[r.Does] = true
	}
	require.Equal(t, map[string]bool{"circles left": true, "circles right": true}, sides)
}

// bouts plays average fighters, changed by what is given.
func bouts(t *testing.T, n int, change func(*tape.Coding)) (out []*tape.Coding) {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(rules, sim.AverageWorld())
	body := fighter.AverageBody()
	for c := range b.Sides {
		require.NoError(t, b.Sides[c].Load(body, fighter.Population("vole", body).Centre(), nil, nil, rules))
	}
	for i := range n {
		b.Run(kernel.NewKey(77, uint64(i)))
		c := codingOf(boutOf("bout "+string(rune('A'+i%26))+string(rune('a'+i/26)), rules, "vole", "shrew"), b.Events)
		if change != nil {
			change(c)
		}
		out = append(out, c)
	}
	return out
}
