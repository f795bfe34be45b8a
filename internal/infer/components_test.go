package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

var dyestuff = [][]float64{{1545, 1440, 1440, 1520, 1580}, {1540, 1555, 1490, 1560, 1495}, {1595, 1550, 1605, 1510, 1560},
	{1445, 1440, 1595, 1465, 1545}, {1595, 1630, 1515, 1635, 1625}, {1520, 1455, 1450, 1480, 1445}}

var looms = [][]float64{{98, 97, 99, 96}, {91, 90, 93, 92}, {96, 95, 97, 95}, {95, 96, 99, 98}}

// Davies & Goldsmith's dyestuff data (Box & Tiao 1973; dataset Dyestuff of R package lme4): six batches of five.
func TestDyestuff(t *testing.T) {
	c := Split(groupsOf(dyestuff...))
	relative(t, "mean", c.Mean, 1527.5, 1e-12)
	relative(t, "SSB", c.MSB*5, 56357.5, 1e-9)
	relative(t, "SSW", c.MSW*24, 58830, 1e-9)
	relative(t, "MSB", c.MSB, 11271.5, 1e-9)
	relative(t, "MSW", c.MSW, 2451.25, 1e-9)
	relative(t, "between", c.Between, 1764.05, 1e-9) // the REML estimate
	relative(t, "sd", c.SD(), math.Sqrt(1764.05), 1e-9)
	relative(t, "standard error of the mean", c.SE(), 19.383412152318968, 1e-9) // REML
	relative(t, "intraclass correlation", c.Correlation(), 0.4184874148933646, 1e-9)
	f, p := c.Test()
	relative(t, "F", f, 4.598266190719021, 1e-9)
	relative(t, "its chance", p, 0.0043975312683061625, 1e-9)
}

// Montgomery, Design and Analysis of Experiments, fabric strength (prints from memory): SS 89.19, 22.75, MS 29.73, 1.90, F 15.68, component
// 6.96, ICC .79. The book's limits of the variance ratio, .625 and 54.883, use rounded tables; these are exact.
func TestLooms(t *testing.T) {
	c := Split(groupsOf(looms...))
	relative(t, "SSB", c.MSB*3, 89.1875, 1e-9)
	relative(t, "MSB", c.MSB, 29.729166666666668, 1e-9)
	relative(t, "MSW", c.MSW, 1.8958333333333333, 1e-9)
	relative(t, "between", c.Between, 6.958333333333334, 1e-9)
	relative(t, "intraclass correlation", c.Correlation(), 0.7858823529411765, 1e-9)
	f, _ := c.Test()
	relative(t, "F", f, 15.681318681318682, 1e-9)
	ratio := c.Ratio(.95)
	limits(t, "variance ratio", ratio, 0.6262109383333854, 55.954011552623356, 1e-6)
	require.Empty(t, ratio.Warnings)
	// One-sided at 97.5 % the upper limit is that of the two-sided 95 %.
	relative(t, "at most", c.AtMost(.975), math.Sqrt(55.954011552623356*1.8958333333333333), 1e-9)
}

// normalGroups are k draws with expected values N(0, τ²), each with n bouts N(its value, σ²).
func normalGroups(seed uint64, k, n int, tau, sigma float64) []Group {
	r := random(seed)
	out := make([]Group, k)
	for i := range out {
		mu := tau * r.NormFloat64()
		for range n {
			out[i].Add(mu + sigma*r.NormFloat64())
		}
	}
	return out
}

// Two-level Monte Carlo (exact moments of the normal model; Sun, Apley & Staum 2011, Oper. Res. 59, 998–1007): τ = 1, σ = 2, K = 200, n = 10.
// The variance of the inner means has the expectation 1.4, (MSB-MSW)/n has 1 and the variance 2/n²·[(nτ²+σ²)²/(K-1)+σ⁴/(K(n-1))] =
// 2/100·[14²/199+16/1800] = 0.01987627; over 400 replicates a standard error of √(0.01987627/400) = 0.00705.
func TestTwoLevels(t *testing.T) {
	var naive, between, squares Group
	for r := range 400 {
		c := Split(normalGroups(uint64(r), 200, 10, 1, 2))
		naive.Add(c.VarMeans)
		between.Add(c.Between)
		squares.Add((c.Between - 1) * (c.Between - 1))
	}
	require.InDelta(t, 1.4, naive.Mean(), 4.9*math.Sqrt(0.019698492462311555/400))
	require.InDelta(t, 1, between.Mean(), 4.9*math.Sqrt(0.019876270240089335/400))
	near(t, "variance of the estimate", squares, 0.019876270240089335, 0)
}

// Unequal groups by hand: (1, 3), (2, 4, 6), (9). Group means 2, 4, 9, mean of them 5, mean of all 25/6; SSW = 2+8 = 10 on 3 degrees;
// SSB = 2(13/6)²+3(1/6)²+(29/6)² = (338+3+841)/36 = 197/6, MSB = 197/12; N = (6-14/6)/2 = 11/6. Exact.
func TestUnequalGroups(t *testing.T) {
	c := Split(groupsOf([]float64{1, 3}, []float64{2, 4, 6}, []float64{9}))
	relative(t, "mean", c.Mean, 5, 1e-12)
	relative(t, "MSW", c.MSW, 10./3, 1e-12)
	relative(t, "MSB", c.MSB, 197./12, 1e-12)
	relative(t, "N", c.N, 11./6, 1e-12)
	relative(t, "between", c.Between, (197./12-10./3)/(11./6), 1e-12)
	relative(t, "standard error", c.SE(), math.Sqrt(13./3), 1e-12) // variance of 2, 4, 9 is 13
	require.Len(t, c.Ratio(.9).Warnings, 1)
}

// (MSB-MSW)/N is unbiased for unequal groups too (Searle, Casella & McCulloch 1992, section 3.6).
func TestUnequalIsUnbiased(t *testing.T) {
	var between Group
	for r := range 400 {
		groups := normalGroups(uint64(r)+1000, 40, 3, 1, 2)
		groups = append(groups, normalGroups(uint64(r)+2000, 20, 12, 1, 2)...)
		between.Add(Split(groups).Between)
	}
	near(t, "between", between, 1, 0)
}

// The upper limit of τ holds its level where F can be trusted to exceed 1, and more than its level where not.
func TestAtMostCovers(t *testing.T) {
	hits, small := 0, 0
	for r := range 2000 {
		hits += int(boolFloat(Split(normalGroups(uint64(r)+3000, 20, 5, 1.5, 2)).AtMost(.9) >= 1.5))
		small += int(boolFloat(Split(normalGroups(uint64(r)+3000, 20, 5, .1, 2)).AtMost(.9) >= .1))
	}
	// AtMost multiplies an exact limit of τ²/σ² by MSW, whose relative standard deviation is √(2/80) = 0.16: allowed 0.01 for it.
	covers(t, "upper limit", hits, 2000, .9, .01)
	require.Equal(t, 2000, small)
}

func TestNoComponents(t *testing.T) {
	alike := Split([]Group{{4, 2, 2}, {4, 2, 2}, {4, 2, 2}})
	require.False(t, alike.Resolved())
	require.Less(t, alike.Between, 0.0)
	require.Equal(t, 0.0, alike.SD())
	require.Equal(t, 0.0, alike.Correlation())

	sure := Split([]Group{{2, 2, 2}, {2, 4, 8}}) // no luck at all: the draws differ, and it shows
	require.True(t, sure.Resolved())
	relative(t, "between", sure.Between, .5, 1e-12)
	f, p := sure.Test()
	require.Equal(t, [2]float64{0, 1}, [2]float64{f, p})
	// The upper limit is then √(s²·df/χ²), s² = ½, df = 1: exact.
	relative(t, "at most", sure.AtMost(.95), math.Sqrt(.5/distuv.ChiSquared{K: 1}.Quantile(.05)), 1e-12)

	require.Panics(t, func() { Split([]Group{{1, 1, 1}}) })
	require.PanicsWithValue(t, "infer: one bout a draw cannot tell draws from luck", func() { Split([]Group{{1, 2, 4}, {1, 5, 25}}) })
	require.PanicsWithValue(t, "infer: group 1 is empty", func() { Split([]Group{{1, 1, 1}, {}}) })
	require.Panics(t, func() { sure.Ratio(.9) })
	require.Panics(t, func() { Group{1, 1, 1}.Interval(.9) })
}

// Sums of squares add up: SSB + SSW is the total about the mean (balanced groups). Moving and scaling values does what it must.
func TestComponentsAreLawful(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		k, n := rapid.IntRange(2, 8).Draw(r, "k"), rapid.IntRange(2, 8).Draw(r, "n")
		rows, moved := make([][]float64, k), make([][]float64, k)
		var all Group
		for i := range rows {
			for range n {
				x := float64(rapid.IntRange(-50, 50).Draw(r, "x"))
				rows[i], moved[i] = append(rows[i], x), append(moved[i], 3*x+7)
				all.Add(x)
			}
		}
		c, d := Split(groupsOf(rows...)), Split(groupsOf(moved...))
		total := c.MSB*float64(k-1) + c.MSW*float64(k*(n-1))
		require.InDelta(r, all.squares(), total, 1e-6)
		require.InDelta(r, 9*c.Between, d.Between, 1e-6)
		require.InDelta(r, 3*c.Mean+7, d.Mean, 1e-9)
		require.InDelta(r, math.Sqrt(c.MSB/float64(k*n)), c.SE(), 1e-9)
	})
}
