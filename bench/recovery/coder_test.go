package main

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/tape"
)

// By hand: a gap from 10 to 20 s takes the jab at 12 s and the range at 15 s out; that range holds when sight is back, and is stated then, as is the
// fence of before.
func TestGapByHand(t *testing.T) {
	row := func(at int64, c tape.Corner, a tape.Act, v tape.Value) tape.Row {
		return tape.Row{Event: tape.Event{Round: 1, Clock: at * 1_000_000, Corner: c, Act: a, Value: v}}
	}
	got := gap([]tape.Row{row(0, tape.RedCorner, tape.StateRange, tape.Long), row(5, tape.NoCorner, tape.StateFence, tape.Blue), row(12, tape.RedCorner, tape.Jab, tape.Head),
		row(15, tape.RedCorner, tape.StateRange, tape.Pocket), row(25, tape.RedCorner, tape.Cross, tape.Head)}, 10e6, 20e6)
	require.Equal(t, []tape.Row{row(0, tape.RedCorner, tape.StateRange, tape.Long), row(5, tape.NoCorner, tape.StateFence, tape.Blue), row(10, tape.NoCorner, tape.StateSeen, tape.No),
		row(20, tape.NoCorner, tape.StateSeen, tape.Yes), row(20, tape.RedCorner, tape.StateRange, tape.Pocket), row(20, tape.NoCorner, tape.StateFence, tape.Blue),
		row(25, tape.RedCorner, tape.Cross, tape.Head)}, got)
}

// Of the tape of a league, sight is lost for a twelfth of the time (three gaps of 7.5 s in 300 s; by round the share has a standard deviation of
// about .03, so that 4.9 standard errors of 18 rounds are .035), coders miss and make up acts as their own shares say (within 4.9 standard errors of a share of n acts, √(q(1-q)/n)), and no act of theirs is one that the
// rules forbid or that its value does not fit.
func TestTwoCodersErr(t *testing.T) {
	l, err := newLeague(5, 12, 3)
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(5, 6))
	c := newCoder("first", random)
	dark, all := 0.0, 0.0
	var acts, coded [tape.NumGroups]float64
	for _, full := range l.tape {
		seen := lose(full, random)
		from := int64(0)
		for i := range seen.Rows {
			e := &seen.Rows[i].Event
			switch {
			case e.Act == tape.StateSeen && e.Value == tape.No:
				from = e.Clock
			case e.Act == tape.StateSeen:
				dark += float64(e.Clock-from) / 1e6
			}
			if i+1 == len(seen.Rows) || seen.Rows[i+1].Round != e.Round {
				all += float64(e.Clock) / 1e6
			}
		}
		for _, row := range seen.Rows {
			if row.IsAct() && !row.Act.IsState() {
				acts[groupOf(row.Act)]++
			}
		}
		for _, row := range c.codes(seen).Rows {
			if row.IsAct() && !row.Act.IsState() {
				coded[groupOf(row.Act)]++
				require.NotEqual(t, tape.NoMove, tape.MoveOf(row.Act, row.Value))
			}
		}
	}
	require.InDelta(t, 1./12, dark/all, .035)
	for _, g := range []tape.Group{tape.GroupSteps, tape.GroupStrikes, tape.GroupKicks, tape.GroupFeints} {
		want := 1 - c.Missed[g] + c.Extra
		q := c.Missed[g] + c.Extra
		require.InDelta(t, want, coded[g]/acts[g], 4.9*math.Sqrt(q/acts[g]), g) // at most the variance of both kinds of error
	}
	for _, set := range confusable {
		for _, a := range set {
			require.Equal(t, groupOf(set[0]), groupOf(a))
		}
	}
}

// Pairs whose truths stray from centres by the tape's own spread, told with luck: normal numbers by 1.5, estimates of their variance 2.25 ± 3 each.
// Over 4000 the ratio is 1 within 4.9 of the standard errors that it says, which are those of √(2+(3/2.25)²)/√4000 (exact: the squares of normals have
// the variance 2τ⁴).
func TestSpreadOverManyPairs(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	var h held
	for range 4000 {
		x := 1.5 * random.NormFloat64()
		h.off, h.between = append(h.off, x*x), append(h.between, 2.25+3*random.NormFloat64())
	}
	sd, ratio, se := h.spread()
	require.InDelta(t, math.Sqrt(2+3*3/2.25/2.25)/math.Sqrt(4000), se, .003)
	require.InDelta(t, 1.5, sd, .08) // 4.9·3/√4000/(2·1.5)
	require.InDelta(t, 1, ratio, 4.9*se)
}
