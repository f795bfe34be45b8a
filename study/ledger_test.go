package study

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/internal/infer"
)

// figures are some of those that tape moves much when only one bout of each fighter is coded.
var figures = []string{"clean_straight", "time_share_out", "thrown_low_kick", "clean_against_straight", "head_strikes_absorbed"}

// played are draws of bouts as usual, by measure.
func played(t *testing.T, m *Meeting, draws, bouts int, tapeOnly bool) map[string][]infer.Group {
	t.Helper()
	bank, err := NewBank(*m)
	require.NoError(t, err)
	var cells []Cell
	for k := range draws {
		cells = append(cells, Cell{Draw: k, Bouts: bouts, Tape: tapeOnly})
	}
	require.NoError(t, bank.Play(context.Background(), cells))
	out := map[string][]infer.Group{}
	for _, name := range figures {
		for _, c := range cells {
			out[name] = append(out[name], bank.Group(c, MeasureNamed(name)))
		}
	}
	return out
}

func demoLedger(t *testing.T, m *Meeting, draws, bouts int) (Ledger, infer.Components) {
	t.Helper()
	all, tapeOnly := played(t, m, draws, bouts, false)[figures[0]], played(t, m, draws, bouts, true)[figures[0]]
	return ledger("as usual", "none", figures[0], all, tapeOnly, draws*bouts), infer.Split(all)
}

// close within 4.9 standard errors, theirs and ours together.
func agree(t *testing.T, what string, a, aError, b, bError float64) {
	t.Helper()
	t.Logf("%s: %.6g ± %.2g and %.6g ± %.2g", what, a, aError, b, bError)
	require.LessOrEqual(t, math.Abs(a-b), 4.9*math.Hypot(aError, bError), what)
}

// What the ledger promises is delivered. Four times the draws quarter the simulation's variance and leave the other parts; four times the bouts
// a draw bring it to what was foreseen. Variances of K draws are good to √(2/(K-1)) of themselves, so with 60 and 240 draws the test would see
// a promise that is off by a factor of two (√(2/59) = .18, √(2/239) = .09; 4.9·.2·1 = .99 of it).
func TestLedgerDelivers(t *testing.T) {
	m, _ := twiceCoded(t, 0, 3)
	now, c := demoLedger(t, m, 60, 6)
	more, _ := demoLedger(t, m, 240, 6)
	longer, _ := demoLedger(t, m, 60, 24)
	way := func(part string, how Means) Way {
		for _, w := range now.Ways {
			if w.Part == part && w.How == how {
				return w
			}
		}
		require.Fail(t, "no way", "%s of %s", how, part)
		return Way{}
	}
	draws, bouts := way("simulation", MoreDraws), way("simulation", MoreBouts)
	require.Equal(t, 3*60*6, draws.Bouts)
	require.Equal(t, draws.Bouts, bouts.Bouts)
	foreseen := draws.To[0] * draws.To[0]
	agree(t, "simulation, four times the draws", more.Simulation.Variance, more.Simulation.Error, foreseen, now.Simulation.Error/4)
	require.Less(t, more.Simulation.Variance, .5*now.Simulation.Variance, "that is a fall, not noise")
	foreseen = bouts.To[0] * bouts.To[0]
	error := foreseen * math.Sqrt(2/float64(c.K-1)) // no better known than the variance of the draws' means
	agree(t, "simulation, four times the bouts a draw", longer.Simulation.Variance, longer.Simulation.Error, foreseen, error)
	require.GreaterOrEqual(t, bouts.To[0], draws.To[0], "draws are the cheaper")

	agree(t, "luck", now.Luck.Variance, now.Luck.Error, more.Luck.Variance, more.Luck.Error)
	agree(t, "luck", now.Luck.Variance, now.Luck.Error, longer.Luck.Variance, longer.Luck.Error)
	agree(t, "tape", now.Tape.Variance, now.Tape.Error, more.Tape.Variance, more.Tape.Error)
	agree(t, "tape", more.Tape.Variance, more.Tape.Error, longer.Tape.Variance, longer.Tape.Error)
	agree(t, "assumption", more.Assumption.Variance, more.Assumption.Error, longer.Assumption.Variance, longer.Assumption.Error)
	require.True(t, more.Tape.Told)
}

// Twice the coded rounds bring tape's part to where the ledger says: to half of its variance at the least, and to what playing with the foreseen
// evidence finds. The reference is a real calibration from every bout coded twice over, which also moves centres, so that a variance may differ by a
// tenth for that alone. Each variance is good to a tenth, so a figure's ratio to .14 and the mean of five that share draws to about .1 in
// logarithms: .3 is three of those.
func TestTwiceTheTapeDelivers(t *testing.T) {
	once, twice := twiceCoded(t, 0, 3)
	const draws, bouts = 1600, 12
	before, foreseen, found := played(t, once, draws, bouts, true), played(t, once.withTape(2), draws, bouts, true), played(t, twice, draws, bouts, true)
	var fell, off infer.Group
	for _, name := range figures {
		b, f, r := infer.Split(before[name]), infer.Split(foreseen[name]), infer.Split(found[name])
		agree(t, name+", foreseen and calibrated", f.Between, f.BetweenSE(), r.Between, r.BetweenSE())
		require.GreaterOrEqual(t, f.Between, b.Between/2-4.9*math.Hypot(f.BetweenSE(), b.BetweenSE()/2))
		fell.Add(math.Log(f.Between / b.Between))
		off.Add(math.Log(f.Between / r.Between))
	}
	t.Logf("tape's variance falls to %.2f of what it was; foreseen over calibrated %.2f", math.Exp(fell.Mean()), math.Exp(off.Mean()))
	require.InDelta(t, 0, off.Mean(), .3)
	require.Less(t, fell.Mean(), -.2, "more tape, less doubt")
	require.Greater(t, fell.Mean(), math.Log(.5)-.3)

	name := figures[0]
	all := played(t, once, 50, bouts, false)[name]
	l := ledger("as usual", "none", name, all, before[name], 50*bouts)
	_, tape := infer.Ordered(infer.Split(all), infer.Split(before[name]))
	require.True(t, l.Tape.Told)
	require.Equal(t, TwiceTape, l.Ways[2].How)
	require.InDelta(t, tape.SD()/math.Sqrt2, l.Ways[2].To[0], 1e-12)
	require.InDelta(t, tape.SD(), l.Ways[2].To[1], 1e-12)
	l.played(foreseen[name])
	require.True(t, l.Ways[2].Played)
	require.InDelta(t, infer.Split(foreseen[name]).SD(), l.Ways[2].To[0], 1e-12)
}

// Exact: parts of a nest made by hand: draws at ±spread, two bouts of each one above and one below.
func TestLedgerByHand(t *testing.T) {
	nest := func(spread float64) []infer.Group {
		out := make([]infer.Group, 4)
		for k := range out {
			at := spread * float64(1-2*(k%2))
			out[k].Add(at - 1)
			out[k].Add(at + 1)
		}
		return out
	}
	// Within: 8 squares of 1 over 4 degrees of freedom = 2. Between the 4 means ±s: MSB = 2·4s²/3, so τ² = (8s²/3-2)/2.
	tau := func(s float64) float64 { return (8*s*s/3 - 2) / 2 }
	l := ledger("a", "b", "win", nest(3), nest(2), 16)
	require.InDelta(t, 2, l.Luck.Variance, 1e-12)
	require.InDelta(t, tau(2), l.Tape.Variance, 1e-12)
	require.InDelta(t, tau(3)-tau(2), l.Assumption.Variance, 1e-12)
	require.InDelta(t, 4*9/3./4, l.Simulation.Variance, 1e-12)
	require.Equal(t, 48, l.Ways[0].Bouts)
	// Where tape alone has all, assumptions add nothing that could be told.
	none := ledger("a", "b", "win", nest(2), nest(2), 16)
	require.Zero(t, none.Assumption.Variance)
	require.False(t, none.Assumption.Told)
	require.Positive(t, none.Assumption.AtMost)
}
