package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

// Law, Simulation Modeling and Analysis, two inventory policies, five pairs (from memory; printed 4.98, 2.44, 1.65, 8.31): here pairing
// hurts. Limits computed.
func TestPairingCanHurt(t *testing.T) {
	x := []float64{126.97, 124.31, 126.68, 122.66, 127.23}
	y := []float64{118.21, 120.22, 122.45, 122.68, 119.40}
	var p Pairs
	var apart, together Group
	for i := range x {
		p.Add(x[i], y[i])
		apart.Add(x[i])
		together.Add(y[i])
	}
	d := p.Difference()
	relative(t, "mean", d.Mean(), 4.978, 1e-9)
	relative(t, "variance of the mean", d.squares()/4/5, 2.438274, 1e-6)
	limits(t, "90 %", d.Interval(.9), 1.6491268753455497, 8.30687312465445, 1e-6)

	w := PoolPairs([]Pairs{p})
	relative(t, "correlation", w.Correlation, stat.Correlation(x, y, nil), 1e-6)
	require.Less(t, w.Correlation, 0.0)
	saved, finite := w.Saved()
	require.True(t, finite)
	relative(t, "saved", saved, (stat.Variance(x, nil)+stat.Variance(y, nil))/(5*2.438274), 1e-6)
	require.Less(t, saved, 1.0)
}

// Common random numbers on exponentials by inversion, means 1 and 0.8, are perfectly correlated: variance 0.04 paired, 1.64 apart (exact):
// one pair is worth 41 bouts.
func TestSavedByCommonNumbers(t *testing.T) {
	r := random(1)
	var p Pairs
	for range 1000 {
		u := r.ExpFloat64()
		p.Add(u, .8*u)
	}
	w := PoolPairs([]Pairs{p})
	relative(t, "correlation", w.Correlation, 1, 1e-9)
	saved, _ := w.Saved()
	relative(t, "saved", saved, 41, 1e-6)
}

// Pairs N(μ_k, 1) with correlation ½ within draws, and draws whose means move both plans alike with variance 4. Within draws the
// correlation is ½ and a pair is worth 1/(1-½) = 2 bouts (equal variances); over all pairs as one sample it is (½+4)/5 = 0.9, which pairing
// did not win. Standard error of a correlation: (1-ρ²)/√n (classical), n = 40·250 - 40.
func TestPoolingTakesDrawsOut(t *testing.T) {
	r := random(2)
	draws := make([]Pairs, 40)
	var all Pairs
	for i := range draws {
		mu := 2 * r.NormFloat64()
		for range 250 {
			common := math.Sqrt(.5) * r.NormFloat64()
			draws[i].Add(mu+common+math.Sqrt(.5)*r.NormFloat64(), mu+common+math.Sqrt(.5)*r.NormFloat64())
		}
		all.Merge(draws[i])
	}
	w := PoolPairs(draws)
	se := (1 - .25) / math.Sqrt(9960)
	require.InDelta(t, .5, w.Correlation, 4.9*se)
	// The jackknife's own relative standard deviation over 40 draws is about 1/√80 = 0.11: 4.9 of them are 0.55.
	require.InEpsilon(t, se, w.SE, .55)
	saved, _ := w.Saved()
	require.InDelta(t, 2, saved, 4.9*se*4) // d(1/(1-ρ))/dρ = 1/(1-ρ)² = 4
	require.Equal(t, 10000.0, w.Pairs)
	// Over 40 draws their variance 4 is known to √(2/39) = 23 %: the total correlation 1 - 0.5/(1+4) moves by 0.023 a standard error.
	require.InDelta(t, .9, all.Correlation(), 4.9*.023)
}

func TestPairsAtTheEnds(t *testing.T) {
	var same, still Pairs
	for i := range 4 {
		same.Add(float64(i), float64(i))
		still.Add(1, float64(i))
	}
	w := PoolPairs([]Pairs{same, {}})
	require.Equal(t, 1.0, w.Correlation)
	_, finite := w.Saved()
	require.False(t, finite)
	require.Equal(t, 0.0, still.Correlation())
	require.Equal(t, 0.0, Pairs{}.Correlation())
	saved, finite := PoolPairs([]Pairs{still}).Saved()
	require.True(t, finite)
	require.Equal(t, 1.0, saved)
	require.Panics(t, func() { PoolPairs([]Pairs{{1, 1, 1, 1, 1, 1}}) })
}
