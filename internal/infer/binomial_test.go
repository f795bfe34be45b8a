package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// Newcombe 1998, Stat. Med. 17, 857–872, Table I: Wilson and Clopper–Pearson on 15/148, 0/20, 1/29 as in the tests of R package ratesci;
// on 81/263 from memory. Jeffreys: exact beta quantiles, lower limit 0 at x = 0; 0/20 and 1/29 printed .117, .004, .150 in Brown, Cai &
// DasGupta 2001, Stat. Sci. 16, 101–133 (from memory).
func TestOneProportion(t *testing.T) {
	for _, c := range []struct {
		by        func(x, n, level float64) Interval
		x, n      float64
		low, high float64
	}{
		{Wilson, 81, 263, 0.2552885198782742, 0.36620957698280004},
		{Wilson, 15, 148, 0.0623863995307363, 0.16048724172330803},
		{Wilson, 0, 20, 0, 0.16112515805281938},
		{ClopperPearson, 81, 263, 0.2527367455852713, 0.36762192260135146},
		{ClopperPearson, 15, 148, 0.05784401008344857, 0.161650490349479},
		{ClopperPearson, 0, 20, 0, 0.1684334709830853},
		{ClopperPearson, 1, 29, 0.000872646883579922, 0.1776442954887229},
		{Jeffreys, 81, 263, 0.2545219349910236, 0.3656474991740823},
		{Jeffreys, 15, 148, 0.06044851700929642, 0.15764314347874112},
		{Jeffreys, 0, 20, 0, 0.11663898290487539},
		{Jeffreys, 1, 29, 0.003746173649057073, 0.15007768600223173},
	} {
		i := c.by(c.x, c.n, .95)
		limits(t, i.Method, i, c.low, c.high, 1e-9)
		require.Equal(t, c.x/c.n, i.Centre)
		require.Equal(t, c.n, i.Count)
		require.Equal(t, .95, i.Level)
	}
}

// Brown, Cai & DasGupta 2001, Table 5 (rules from memory, values computed): n = 30, x = 0 to 3.
func TestModifiedJeffreys(t *testing.T) {
	want := []float64{0, 0.11570330822202779, 0, 0.14541777735402014, 0.014112286647775724, 0.19709432058220588, 0.028980619032726484,
		0.2434016089849271}
	for x := range 4 {
		limits(t, "modified Jeffreys", ModifiedJeffreys(float64(x), 30, .95), want[2*x], want[2*x+1], 1e-9)
		limits(t, "its mirror image", ModifiedJeffreys(float64(30-x), 30, .95), 1-want[2*x+1], 1-want[2*x], 1e-9)
	}
}

// coverage is exact: a binomial sum.
func coverage(by func(x, n, level float64) Interval, n int, p float64) float64 {
	sum := 0.0
	for x := range n + 1 {
		if by(float64(x), float64(n), .95).Holds(p) {
			sum += distuv.Binomial{N: float64(n), P: p}.Prob(float64(x))
		}
	}
	return sum
}

// The calculator first: Wald's coverage as printed in the text of Brown, Cai & DasGupta 2001 (from memory), p = .5, n = 17, 18, 40: .951,
// .904, .919. Then what its name promises: Clopper–Pearson covers with at least the level everywhere; Wilson does not, yet does on average.
func TestExactCoverage(t *testing.T) {
	wald := func(x, n, level float64) Interval {
		half := normalQuantile(level) * math.Sqrt(x*(n-x)/(n*n*n))
		return Interval{Low: x/n - half, High: x/n + half}
	}
	relative(t, "Wald, 17", coverage(wald, 17, .5), 0.950958251953125, 1e-9)
	relative(t, "Wald, 18", coverage(wald, 18, .5), 0.9037475585937499, 1e-9)
	relative(t, "Wald, 40", coverage(wald, 40, .5), 0.9193095322480072, 1e-9)
	exact, wilson, steps := 1.0, Group{}, 200
	for i := 1; i < steps; i++ {
		p := float64(i) / float64(steps)
		exact = min(exact, coverage(ClopperPearson, 25, p))
		wilson.Add(coverage(Wilson, 25, p))
	}
	require.GreaterOrEqual(t, exact, .95)
	require.InDelta(t, .95, wilson.Mean(), .01) // Brown, Cai & DasGupta 2001, figure 8 (from memory): within a hundredth at n = 25
}

func TestSharesAreLawful(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := float64(rapid.IntRange(1, 10000).Draw(r, "eighths of trials")) / 8 // tempered counts; eighths, so that n-x is exact
		x := min(n, float64(rapid.IntRange(0, 10000).Draw(r, "eighths of hits"))/8)
		level := rapid.Float64Range(.5, .999).Draw(r, "level")
		for _, by := range []func(x, n, level float64) Interval{Wilson, ClopperPearson, Jeffreys, ModifiedJeffreys} {
			i := by(x, n, level)
			require.True(r, 0 <= i.Low && i.Low < i.High && i.High <= 1, "%+v", i)
			mirror := by(n-x, n, level)
			require.InDelta(r, i.Low, 1-mirror.High, 1e-9)
			wider := by(x, n, (1+level)/2)
			require.True(r, wider.Low <= i.Low+1e-9 && i.High <= wider.High+1e-9)
		}
		for _, by := range []func(x, n, level float64) Interval{Wilson, ClopperPearson} {
			require.True(r, by(x, n, level).Holds(x/n))
		}
	})
}

func TestNothingCounted(t *testing.T) {
	for _, i := range []Interval{Wilson(0, 0, .9), ClopperPearson(0, 0, .9), Jeffreys(0, 0, .9), ModifiedJeffreys(0, 0, .9)} {
		limits(t, i.Method, i, 0, 1, 0)
		require.Len(t, i.Warnings, 1)
	}
	require.PanicsWithValue(t, "infer: 3 of 2 is not a count of trials", func() { Wilson(3, 2, .9) })
	require.Panics(t, func() { Wilson(-1, 2, .9) })
	require.Panics(t, func() { Wilson(math.NaN(), 2, .9) })
	require.Panics(t, func() { Wilson(1, 2, 95) })
	require.Panics(t, func() { Wilson(0, 0, 1) })
}
