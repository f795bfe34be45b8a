package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/sim/kernel"
)

// The chances are those of drawing judges again and again: rounds laid out by hand, 100,000 draws of three judges, 4.9 standard errors of
// a share, √(p(1-p)/n), and of the mean margin, whose standard deviation on one card of three rounds is at most 6 points.
func TestChancesAreThoseOfDrawnJudges(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	b.rounds = []roundScore{{900, 700, 1}, {400, 1500, -1}, {2600, 900, 0}}
	b.verdict = Verdict{Method: ByDecision}
	got := b.chances()
	const n = 100_000
	s := kernel.NewKey(3, 3).Stream()
	won, lost, margin := 0.0, 0.0, 0.0
	for range n {
		ahead := [2]int{}
		for range 3 {
			sum := 0
			for _, r := range b.rounds {
				sum += b.points(r, s.Uint32())
			}
			margin += float64(sum) / 3
			if sum > 0 {
				ahead[0]++
			} else if sum < 0 {
				ahead[1]++
			}
		}
		if ahead[0] >= 2 {
			won++
		} else if ahead[1] >= 2 {
			lost++
		}
	}
	near := func(want, share float64) {
		require.InDelta(t, share/n, want/all, 4.9*math.Sqrt(.25/n))
	}
	near(float64(got.Red), won)
	near(float64(got.Blue), lost)
	require.InDelta(t, margin/n, float64(got.Margin)/(1<<20), 4.9*6/math.Sqrt(3*n))
	require.Equal(t, int64(all), got.Red+got.Blue+got.Nobody)
}

// Over bouts the chances have the mean of the verdicts, and less luck: 3000 bouts, 4.9 standard errors of the mean difference. How much is won
// is printed by bench/bouts.
func TestChancesHaveTheMeanOfVerdicts(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	n, sum, square, drawn, given := 3000.0, 0.0, 0.0, 0.0, 0.0
	for i := range int(n) {
		o := b.Run(kernel.NewKey(31, uint64(i)))
		w, p := 0.0, float64(o.Chances.Red)/all
		if o.Verdict.Winner == 0 {
			w = 1
		}
		if o.Verdict.Method != ByDecision {
			require.Equal(t, w, p)
		}
		d := w - p
		sum, square = sum+d, square+d*d
		drawn, given = drawn+(w-.5)*(w-.5), given+(p-.5)*(p-.5)
	}
	require.InDelta(t, 0, sum/n, 4.9*math.Sqrt(square/n/n))
	require.Less(t, given, drawn)
}

// A round at the edge of even, exact: who sees it even goes by what counts then, on both sides of the band.
func TestPointsRiseWithTheLuck(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	for _, r := range []roundScore{{500, 500, 1}, {500, 500, -1}, {500, 500, 0}, {3000, 100, 0}, {0, 0, 0}, {100, 3000, 1}} {
		last := -2
		for u := uint64(0); u < 1<<32; u += 1 << 18 {
			p := b.points(r, uint32(u))
			require.GreaterOrEqual(t, p, last)
			last = p
		}
	}
}
