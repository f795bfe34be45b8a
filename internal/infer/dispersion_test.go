package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// unfold turns frequencies of 0, 1, 2 … into counts with an exposure of one.
func unfold(frequencies ...int) (counts, exposures []float64) {
	for y, f := range frequencies {
		for range f {
			counts, exposures = append(counts, float64(y)), append(exposures, 1)
		}
	}
	return counts, exposures
}

// Data from memory, values computed: von Bortkiewicz 1898, horse kicks (printed mean .61, variance .611); Rutherford & Geiger 1910, α counts
// (n 2608, mean 3.87); Student 1907, yeast (mean 1.3225). Statistics of Böhning 1994 and Dean 1992, J. Am. Stat. Assoc. 87, 451–457.
func TestPublishedCounts(t *testing.T) {
	counts, exposures := unfold(109, 65, 22, 3, 1)
	d := CountDispersion(counts, exposures)
	require.Equal(t, 200, d.Units)
	relative(t, "horse kicks, mean", d.Rate, .61, 1e-12)
	relative(t, "horse kicks, variance over mean", d.Raw, 0.6109547738693468/.61, 1e-9)
	relative(t, "horse kicks, factor", d.Factor, d.Raw, 1e-12)

	counts, exposures = unfold(57, 203, 383, 525, 532, 408, 273, 139, 45, 27, 10, 4, 2)
	d = CountDispersion(counts, exposures)
	require.Equal(t, 2608, d.Units)
	relative(t, "α counts, mean", d.Rate, 3.870398773006135, 1e-9)
	relative(t, "α counts, variance over mean", d.Raw, 0.9496602287557185, 1e-9)
	relative(t, "α counts, χ²", d.ChiSq, 2475.764216366158, 1e-9)
	relative(t, "α counts, O2", d.O2, -1.8174679264283609, 1e-9)
	relative(t, "α counts, P_B", d.Dean, -1.8309656714745224, 1e-9)
	require.Equal(t, 1.0, d.Factor) // under-dispersed: counts never know more than independent events would

	counts, exposures = unfold(103, 143, 98, 42, 8, 4, 2)
	d = CountDispersion(counts, exposures)
	relative(t, "yeast, mean", d.Rate, 1.3225, 1e-12)
	relative(t, "yeast, variance over mean", d.Raw, 0.9729380161177993, 1e-9)
	relative(t, "yeast, χ²", d.ChiSq, 388.2022684310019, 1e-9)
	relative(t, "yeast, O2", d.O2, -0.3822355541315826, 1e-9)
	relative(t, "yeast, P_B", d.Dean, -0.4171127997528564, 1e-9)
}

// Gamma rates with shape 4 over rounds of one exposure t make the variance μ+μ²/4, and the factor 1+μ/4 (exact, negative binomial). With
// μ = 8 that is 3. Pearson's estimate over 300 rounds is all but unbiased: its bias is of the order of 1/300 of it, allowed 0.02.
func TestFactorIsFound(t *testing.T) {
	var factors Group
	for r := range 200 {
		src := rand.NewPCG(uint64(r), 11)
		counts, exposures := make([]float64, 300), make([]float64, 300)
		for i := range counts {
			exposures[i] = 2
			rate := distuv.Gamma{Alpha: 4, Beta: 1, Src: src}.Rand()
			counts[i] = distuv.Poisson{Lambda: 2 * rate, Src: src}.Rand()
		}
		factors.Add(CountDispersion(counts, exposures).Raw)
	}
	near(t, "factor", factors, 3, .02)
}

// Independent counts given their total T are multinomial with chances p_i = t_i/Σt, and E(y_i-μ_i)² = μ_i(1-p_i). So χ² has the mean
// df exactly, and P_B the mean -TΣp²/√(2T²Σp²) = -√(Σp²/2). Independent successes given their total are hypergeometric: χ² has the mean
// df·T/(T-1), T all trials. All exact.
func TestIndependentCounts(t *testing.T) {
	var raw, dean, shares Group
	exposures, trials := make([]float64, 60), make([]float64, 60)
	exposure, squares, all := 0.0, 0.0, 0.0
	for i := range exposures {
		exposures[i], trials[i] = float64(1+i%5), float64(5+i%7)
		exposure, squares, all = exposure+exposures[i], squares+exposures[i]*exposures[i], all+trials[i]
	}
	for r := range 2000 {
		src := rand.NewPCG(uint64(r), 12)
		counts, hits := make([]float64, 60), make([]float64, 60)
		for i := range counts {
			counts[i] = distuv.Poisson{Lambda: 1.5 * exposures[i], Src: src}.Rand()
			hits[i] = distuv.Binomial{N: trials[i], P: .3, Src: src}.Rand()
		}
		d := CountDispersion(counts, exposures)
		raw.Add(d.Raw)
		dean.Add(d.Dean)
		shares.Add(ShareDispersion(hits, trials).Raw)
	}
	near(t, "counts", raw, 1, 0)
	near(t, "P_B", dean, -math.Sqrt(squares/(exposure*exposure)/2), 0)
	near(t, "shares", shares, all/(all-1), 0)
}

// The beta-binomial has the variance np(1-p)(1+(n-1)ρ), ρ = 1/(a+b+1) (exact). With n = 11, a = 2, b = 2: 1+10/5 = 3.
func TestShareFactorIsFound(t *testing.T) {
	var factors Group
	for r := range 200 {
		src := rand.NewPCG(uint64(r), 13)
		hits, trials := make([]float64, 300), make([]float64, 300)
		for i := range hits {
			trials[i] = 11
			hits[i] = distuv.Binomial{N: 11, P: distuv.Beta{Alpha: 2, Beta: 2, Src: src}.Rand(), Src: src}.Rand()
		}
		factors.Add(ShareDispersion(hits, trials).Raw)
	}
	near(t, "factor", factors, 3, .02)
}

func TestDispersionWithoutEvidence(t *testing.T) {
	for _, d := range []Dispersion{
		CountDispersion(nil, nil), CountDispersion([]float64{3, 0}, []float64{1, 0}), CountDispersion([]float64{0, 0}, []float64{1, 1}),
		ShareDispersion([]float64{2, 3}, []float64{2, 3}), ShareDispersion([]float64{0, 0}, []float64{2, 3}), PoolDispersion(),
	} {
		require.Equal(t, 1.0, d.Factor)
		require.Len(t, d.Warnings, 1)
	}
	require.Panics(t, func() { CountDispersion([]float64{1}, []float64{0}) })
	require.Panics(t, func() { CountDispersion([]float64{1, 2}, []float64{1}) })
	require.Panics(t, func() { ShareDispersion([]float64{3}, []float64{2}) })
	few := CountDispersion([]float64{1, 9, 2}, []float64{1, 1, 1})
	require.Len(t, few.Warnings, 1)
	relative(t, "variance over mean", few.Raw, stat.Variance([]float64{1, 9, 2}, nil)/4, 1e-12)
	both := PoolDispersion(few, few, CountDispersion(nil, nil))
	require.Equal(t, 4.0, both.DF)
	relative(t, "pooled", both.Raw, few.Raw, 1e-12)
}
