package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/sim/kernel"
)

func TestTableDispersion(t *testing.T) {
	// Hair and eye colour of 592 students (Snee 1974, The American Statistician 28, 9-12, from memory): chi-square 138.29 with 9 degrees of freedom.
	d := TableDispersion([][]float64{{68, 20, 15, 5}, {119, 84, 54, 29}, {26, 17, 14, 14}, {7, 94, 10, 16}})
	require.InDelta(t, 138.29, d.ChiSq, .005)
	require.EqualValues(t, 9, d.DF)
	require.InDelta(t, 138.29/9, d.Factor, .001)

	// Of two alternatives it is the dispersion of one share (exact), and units and alternatives without counts say nothing.
	two := TableDispersion([][]float64{{12, 8, 0}, {0, 0, 0}, {5, 15, 0}, {9, 31, 0}})
	one := ShareDispersion([]float64{12, 5, 9}, []float64{20, 20, 40})
	require.InDelta(t, one.ChiSq, two.ChiSq, 1e-9)
	require.Equal(t, one.DF, two.DF)

	// By hand: the two rare alternatives, 1 + 0 and 0 + 1 in two units, are taken together, so that nothing is left to differ.
	joined := TableDispersion([][]float64{{10, 1, 0}, {10, 0, 1}})
	require.Zero(t, joined.ChiSq)
	require.EqualValues(t, 1, joined.DF)

	for _, nothing := range [][][]float64{nil, {{3, 4}}, {{3, 0}, {5, 0}}, {{0, 0}, {0, 0}}} {
		d := TableDispersion(nothing)
		require.EqualValues(t, 1, d.Factor)
		require.NotEmpty(t, d.Warnings)
	}
	require.Panics(t, func() { TableDispersion([][]float64{{1}, {1, 2}}) })
	require.Panics(t, func() { TableDispersion([][]float64{{1, -2}}) })
}

// Choices drawn with the same shares in every unit have a Raw of 1; with shares that vary as a Dirichlet of weight a in all, of n choices a unit,
// 1 + (n-1)/(a+1) (Mosimann 1962, Biometrika 49, 65-82, from memory). 400 tables of 12 units, 3 alternatives, 30 choices: 22 degrees of freedom each, the
// standard error of the mean √(2/22/400) = 0.015, and for a = 14.5, where the mean is 2.87, twice that relative to it from the luck of the
// shares; 4.9 of them. With few units the shares are taken from the same counts, which lowers the second by less than 1/12 of 1.87.
func TestTableDispersionOfKnownShares(t *testing.T) {
	for _, weight := range []float64{0, 14.5} {
		src := kernel.NewKey(5, math.Float64bits(weight)).Stream()
		sum := 0.0
		for range 400 {
			counts := make([][]float64, 12)
			for i := range counts {
				shares := []float64{.5, .3, .2}
				if weight > 0 {
					whole := 0.0
					for k := range shares {
						shares[k] = distuv.Gamma{Alpha: weight * shares[k], Beta: 1, Src: &src}.Rand()
						whole += shares[k]
					}
					for k := range shares {
						shares[k] /= whole
					}
				}
				counts[i] = make([]float64, 3)
				for range 30 {
					u := distuv.Uniform{Max: 1, Src: &src}.Rand()
					switch {
					case u < shares[0]:
						counts[i][0]++
					case u < shares[0]+shares[1]:
						counts[i][1]++
					default:
						counts[i][2]++
					}
				}
			}
			sum += TableDispersion(counts).Raw
		}
		want, slack := 1.0, 4.9*.015
		if weight > 0 {
			want = 1 + 29/(weight+1)
			slack = 4.9*2*.015*want + (want-1)/12
		}
		require.InDelta(t, want, sum/400, slack)
	}
}
