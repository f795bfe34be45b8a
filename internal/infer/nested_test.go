package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/sim/kernel"
)

func groupsOf(rows [][]float64) (out []Group) {
	for _, row := range rows {
		var g Group
		for _, x := range row {
			g.N, g.Sum, g.SumSq = g.N+1, g.Sum+x, g.SumSq+x*x
		}
		out = append(out, g)
	}
	return out
}

// Davies & Goldsmith's dyestuff data (Box & Tiao 1973; dataset Dyestuff of R package lme4): six batches of five.
func TestDyestuff(t *testing.T) {
	c := Split(groupsOf([][]float64{
		{1545, 1440, 1440, 1520, 1580}, {1540, 1555, 1490, 1560, 1495}, {1595, 1550, 1605, 1510, 1560},
		{1445, 1440, 1595, 1465, 1545}, {1595, 1630, 1515, 1635, 1625}, {1520, 1455, 1450, 1480, 1445}}))
	require.InEpsilon(t, 1527.5, c.Mean, 1e-9)
	require.InEpsilon(t, 11271.5, c.MSB, 1e-9)
	require.InEpsilon(t, 2451.25, c.MSW, 1e-9)
	require.InEpsilon(t, 1764.05, c.Between, 1e-9)
	require.InEpsilon(t, 19.383412, c.SE(), 1e-6) // REML standard error of the mean
}

// Montgomery, Design and Analysis of Experiments, fabric strength (from memory): mean squares 29.73 and 1.90, component 6.96.
func TestLooms(t *testing.T) {
	c := Split(groupsOf([][]float64{{98, 97, 99, 96}, {91, 90, 93, 92}, {96, 95, 97, 95}, {95, 96, 99, 98}}))
	require.InEpsilon(t, 29.7291667, c.MSB, 1e-8)
	require.InEpsilon(t, 1.89583333, c.MSW, 1e-8)
	require.InEpsilon(t, 6.95833333, c.Between, 1e-8)
}

func normalGroups(seed uint64, k, n int, tau, sigma float64) []Group {
	s := kernel.NewKey(seed).Stream()
	z := func() float64 { return float64(kernel.Normal(s.Uint32())) / kernel.NormalUnit }
	out := make([]Group, k)
	for i := range out {
		mu := tau * z()
		for range n {
			x := mu + sigma*z()
			out[i].N, out[i].Sum, out[i].SumSq = out[i].N+1, out[i].Sum+x, out[i].SumSq+x*x
		}
	}
	return out
}

// Two-level Monte Carlo, exact: τ = 1, σ = 2, K = 200, n = 10. (MSB-MSW)/n is unbiased for 1 with variance 0.0198762702; over 400
// replicates the standard error is sqrt(0.0198762702/400) = 0.00705, 4.9 of which are 0.0345.
func TestBetweenIsUnbiased(t *testing.T) {
	sum := 0.0
	for r := range 400 {
		sum += Split(normalGroups(uint64(r), 200, 10, 1, 2)).Between
	}
	require.InDelta(t, 1, sum/400, 0.0345)
}

// Coverage of the simulation interval for a true mean of 0 at 95 %, 1000 replicates: standard error sqrt(.95·.05/1000) = 0.0069, 4.9 of
// which are 0.0338. The draws' spread after shrinking is τ: the mean width of the central 90 % interval is close to 2·1.645 τ.
func TestCoverage(t *testing.T) {
	covered, width := 0.0, 0.0
	for r := range 1000 {
		g := normalGroups(uint64(r)+5000, 50, 8, 1, 2)
		i := Split(g).Simulation(.95)
		if i.Low <= 0 && 0 <= i.High {
			covered++
		}
		c := Central(Shrunk(g), .9)
		width += c.High - c.Low
	}
	require.InDelta(t, .95, covered/1000, .0338)
	// A width over 50 draws has a standard deviation below 0.5; over 1000 replicates 4.9·0.5/sqrt(1000) = 0.078, and type-7
	// quantiles of 50 draws fall short of the exact ones by up to 0.13.
	require.InDelta(t, 2*1.645, width/1000, .078+.13)
}

func TestUnresolvedDrawsCollapse(t *testing.T) {
	g := []Group{{4, 2, 2}, {4, 2, 2}, {4, 2, 2}}
	require.False(t, Split(g).Resolved())
	for _, x := range Shrunk(g) {
		require.Equal(t, .5, x)
	}
	require.Equal(t, .5, Above([]float64{-1, 1}))
	require.False(t, math.IsNaN(Pairs{N: 3}.Correlation()))
	require.Zero(t, Pairs{}.Correlation())
	require.Panics(t, func() { Split([]Group{{1, 1, 1}, {1, 0, 0}}) }, "one bout a draw")
	require.Panics(t, func() { Central([]float64{1}, .95) })
}
