package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// Exact: with size 1 the chances are geometric, p(1-p)^k with p = 1/(1+mean); with size 2, (k+1)p²(1-p)^k with p = 2/(2+mean); with an
// infinite size Poisson, to which a large size comes near.
func TestNegativeBinomial(t *testing.T) {
	for k := range 12 {
		count := float64(k)
		p := 1 / (1 + 3.)
		relative(t, "geometric", math.Exp(NegativeBinomial{3, 1}.LogChance(count)), p*math.Pow(1-p, count), 1e-12)
		p = 2 / (2 + 3.)
		relative(t, "size 2", math.Exp(NegativeBinomial{3, 2}.LogChance(count)), (count+1)*p*p*math.Pow(1-p, count), 1e-12)
		poisson := distuv.Poisson{Lambda: 3}.Prob(count)
		relative(t, "Poisson", math.Exp(NegativeBinomial{3, math.Inf(1)}.LogChance(count)), poisson, 1e-12)
		relative(t, "nearly Poisson", math.Exp(NegativeBinomial{3, 1e9}.LogChance(count)), poisson, 1e-6)
	}
}

// Exact: a gamma rate's Poisson counts, integrated (mean of Prob over quantiles of the rate, midpoints, 20000 of them).
func TestPredictiveIsTheMixture(t *testing.T) {
	g := Gamma{Shape: 4.5, Rate: 300}
	const n = 20000
	for _, count := range []float64{0, 2, 7} {
		mixed := 0.0
		for i := range n {
			mixed += distuv.Poisson{Lambda: 200 * g.Dist().Quantile((float64(i)+.5)/n)}.Prob(count) / n
		}
		relative(t, "mixture", math.Exp(g.Predictive(200).LogChance(count)), mixed, 1e-4)
	}
}

// Greenwood & Yule 1920 (accidents of 647 women, from memory; 447 132 42 21 3 2): the moments of the counts are the forecast's, and it fits
// better than the Poisson by the log score.
func TestCountsLike(t *testing.T) {
	var draws []float64
	for k, n := range []int{447, 132, 42, 21, 3, 2} {
		for range n {
			draws = append(draws, float64(k))
		}
	}
	f := CountsLike(draws)
	relative(t, "mean", f.Mean, 301./647, 1e-12)
	squares := 132. + 4*42 + 9*21 + 16*3 + 25*2
	relative(t, "variance", f.Mean+f.Mean*f.Mean/f.Size, (squares-301.*301./647)/646, 1e-12)
	plain, better := 0.0, 0.0
	for _, x := range draws {
		plain += NegativeBinomial{f.Mean, math.Inf(1)}.LogChance(x)
		better += f.LogChance(x)
	}
	require.Greater(t, better, plain+20)
	require.True(t, math.IsInf(CountsLike([]float64{2, 3, 2, 3}).Size, 1), "spread less than a Poisson's")
	require.Equal(t, .125, CountsLike([]float64{0, 0, 0, 0}).Mean)
	require.Panics(t, func() { CountsLike([]float64{1}) })
	require.Panics(t, func() { CountsLike([]float64{1, -1}) })
}

// The score against its definition by expectations, E|X-y| - E|X-X'|/2 (Gneiting & Raftery 2007, eq. 21), added up over all pairs of counts.
func TestCRPSOfCounts(t *testing.T) {
	for _, f := range []NegativeBinomial{{.1, math.Inf(1)}, {2.5, math.Inf(1)}, {30, math.Inf(1)}, {4, 1.5}, {.3, .5}} {
		for _, y := range []float64{0, 3, 40} {
			want := 0.0
			for j := range 150 {
				pj := math.Exp(f.LogChance(float64(j)))
				want += pj * math.Abs(float64(j)-y)
				for k := range 150 {
					want -= pj * math.Exp(f.LogChance(float64(k))) * math.Abs(float64(j-k)) / 2
				}
			}
			require.InDelta(t, want, f.CRPS(y), 1e-7, "%v, %v", f, y)
		}
	}
}

// A Poisson of 2000 is nearly normal, with the normal's score (exact in the limit; skewness 1/√2000 = .022).
func TestCRPSOfLargeCounts(t *testing.T) {
	relative(t, "at the mean", NegativeBinomial{2000, math.Inf(1)}.CRPS(2000), CRPSNormal(2000, math.Sqrt(2000), 2000), .001)
}
