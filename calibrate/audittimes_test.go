package calibrate

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tape"
)

// By hand: kicking range from 0 s, long range from 10 s on, of 20 s coded; rates .5 and 2 a second. A jab whose contact is at 4.405 s began at
// 4 s (Stanley 2018: .405 s) and settles .45 s later, at 4.855 s; another began at 12 s. The first gap is 4·.5 = 2; the second 5.145·.5 +
// 2·2 = 6.5725; what is expected in all 4·.5 + 5.145·.5 + 2·2 + (20-12.855)·2 = 22.8625.
func TestGapsByHand(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	b := boutOf("hand", rules, "vole", "shrew")
	b.Coded = []tape.Interval{{Round: 1, From: 0, To: 20e6}}
	row := func(at float64, a tape.Act, v tape.Value) tape.Event {
		return tape.Event{Round: 1, Clock: int64(at * 1e6), Corner: tape.RedCorner, Act: a, Value: v}
	}
	s := sourcesOf([]*tape.Coding{codingOf(b, []tape.Event{row(0, tape.StateRange, tape.Kicking), row(4.405, tape.Jab, tape.Head),
		row(10, tape.StateRange, tape.Long), row(12.405, tape.Jab, tape.Head), row(13.1, tape.StepBack, 0)})}, nil)[0]
	v := viewOf(s, &s.lights[0], tape.RedCorner)
	var settings [numSettings]uint32
	acts := v.initiated(&settings)
	require.Equal(t, []int64{4e6, 12e6}, acts)
	rates := begins{free: [fighter.NumZones]float64{fighter.Kicking: .5, fighter.Long: 2}}
	gaps, expected := v.gaps(acts, &rates)
	require.Len(t, gaps, 2)
	require.InDelta(t, 2, gaps[0], 1e-9)
	require.InDelta(t, 6.5725, gaps[1], 1e-9)
	busy := .695 // s: the step back began at 12.8 s, before the jab had settled at 12.855 s, and settles at 13.55 s
	require.InDelta(t, 22.8625-2*busy, expected, 1e-9)
	found := map[string]uint32{}
	for i, n := range settings {
		if n > 0 {
			found[settingName(i)] = n
		}
	}
	require.Equal(t, map[string]uint32{"strikes from kicking range": 1, "strikes from long range": 1, "other acts in continuation": 1}, found)
}

// In the dark nothing is expected, and the gap begins anew with the light: unseen from 2 s to 8 s of 20 s.
func TestGapsInTheDark(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	b := boutOf("dark", rules, "vole", "shrew")
	b.Coded = []tape.Interval{{Round: 1, From: 0, To: 20e6}}
	row := func(at float64, c tape.Corner, a tape.Act, v tape.Value) tape.Event {
		return tape.Event{Round: 1, Clock: int64(at * 1e6), Corner: c, Act: a, Value: v}
	}
	s := sourcesOf([]*tape.Coding{codingOf(b, []tape.Event{row(0, tape.RedCorner, tape.StateRange, tape.Kicking), row(2, tape.NoCorner, tape.StateSeen, tape.No),
		row(5.405, tape.RedCorner, tape.Jab, tape.Head), row(8, tape.NoCorner, tape.StateSeen, tape.Yes), row(9, tape.RedCorner, tape.StateRange, tape.Kicking),
		row(12.405, tape.RedCorner, tape.Jab, tape.Head)})}, nil)[0]
	v := viewOf(s, &s.lights[0], tape.RedCorner)
	var settings [numSettings]uint32
	rates := begins{free: [fighter.NumZones]float64{fighter.Kicking: 1}}
	gaps, expected := v.gaps(v.initiated(&settings), &rates)
	require.Len(t, gaps, 1)
	require.InDelta(t, 3, gaps[0], 1e-9)
	require.InDelta(t, 2+3+20-12.855, expected, 1e-9)
}

// Clocks to a tenth of a second are found out, one odd clock in a hundred and more apart, and simulated ones rounded to the nearest.
func TestGrain(t *testing.T) {
	var events []tape.Event
	for i := range 150 {
		events = append(events, tape.Event{Clock: int64(i) * 300_000})
	}
	require.EqualValues(t, 100_000, grainOf(events))
	events[7].Clock++
	require.EqualValues(t, 100_000, grainOf(events))
	fine := []tape.Event{{Clock: 149_999}, {Clock: 150_000}, {Clock: 299_960}}
	coarse := rounded(fine, 100_000, 299_980)
	require.Equal(t, []tape.Event{{Clock: 100_000}, {Clock: 200_000}, {Clock: 299_980}}, coarse)
	require.EqualValues(t, 149_999, fine[0].Clock)
	require.Zero(t, grainOf(fine))
	for i := range events {
		events[i].Clock = int64(i) * 1_000_000
	}
	require.EqualValues(t, 1_000_000, grainOf(events))
}
