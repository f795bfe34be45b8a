package infer

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// The worked case of time rescaling: intensity 2 + cos t, events at .4 .9 1.7 2.1 3.5, whose integral is 2t + sin t: exact. The method: Brown et
// al. 2002, Neural Comput. 14, 325–346.
func TestRescale(t *testing.T) {
	events := []float64{.4, .9, 1.7, 2.1, 3.5}
	integral := func(t float64) float64 { return 2*t + math.Sin(t) }
	gaps := []float64{integral(events[0])}
	for i := 1; i < len(events); i++ {
		gaps = append(gaps, integral(events[i])-integral(events[i-1]))
	}
	for i, want := range []float64{1.18941834, 1.39390857, 1.8083379, .671544556, 1.58600741} {
		relative(t, "gap", gaps[i], want, 1e-8)
	}
	z := Rescale(gaps)
	for i, want := range []float64{.695601732, .751896323, .836073628, .489081175, .795258568} {
		relative(t, "z", z[i], want, 1e-8)
	}
	relative(t, "from the quantiles", fromQuantiles(z), .395601732, 1e-8)
	relative(t, "Kolmogorov-Smirnov", KolmogorovSmirnov(z), .495601732, 1e-8)
	require.Panics(t, func() { Rescale([]float64{-1}) })
	require.Zero(t, KolmogorovSmirnov(nil))
}

// Conover's ten values (Practical Nonparametric Statistics) against the uniform: D = .290.
func TestKolmogorovSmirnov(t *testing.T) {
	relative(t, "Conover", KolmogorovSmirnov([]float64{.621, .503, .203, .477, .710, .581, .329, .480, .554, .382}), .290, 1e-12)
}

// Exact laws of the distance: of n uniform values it is above the two-sided 5 % point (Miller 1956, J. Am. Stat. Assoc. 51, 111–121, from
// memory) with a chance of .05, and of 10 values below .274 with one of .6284796 (Marsaglia, Tsang & Wang 2003, J. Stat. Softw. 8(18)).
// 20000 samples; standard errors sqrt(.05·.95/20000) = .0015 and .0034, in covers.
func TestKolmogorovSmirnovsLaw(t *testing.T) {
	r := random(8)
	const samples = 20000
	for n, limit := range map[int]float64{5: .563275, 10: .409246, 30: .241703} {
		above, below := 0, 0
		for range samples {
			x := make([]float64, n)
			for i := range x {
				x[i] = r.Float64()
			}
			d := KolmogorovSmirnov(x)
			above += int(boolFloat(d > limit))
			below += int(boolFloat(d < .274))
		}
		covers(t, "above the 5 % point", above, samples, .05, 0)
		if n == 10 {
			covers(t, "below .274", below, samples, .6284796154565, 0)
		}
	}
}

// Events of the intensity have uniform gaps, in the limit of many by the 1.36/√n band of Brown et al. in 95 of 100: 400 samples of 200 gaps;
// the asymptotic law is good to .01 there.
func TestRescaledGapsAreUniform(t *testing.T) {
	r := random(9)
	const samples, n = 400, 200
	inside := 0
	for range samples {
		gaps := make([]float64, n)
		for i := range gaps {
			gaps[i] = r.ExpFloat64()
		}
		inside += int(boolFloat(fromQuantiles(Rescale(gaps)) < 1.36/math.Sqrt(n)))
	}
	covers(t, "inside the band", inside, samples, .95, .01)
}

// fromQuantiles is the largest distance of sorted values from the uniform quantiles (k-½)/n, as Brown et al. draw their band.
func fromQuantiles(values []float64) (d float64) {
	sorted := slices.Sorted(slices.Values(values))
	for i, x := range sorted {
		d = max(d, math.Abs(x-(float64(i)+.5)/float64(len(sorted))))
	}
	return d
}
