package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// checks.md H8.10: of 3x1 - 2x2 the effects are 3 and -2 everywhere: μ = 3, -2; μ* = 3, 2; σ = 0 (exact).
func TestElementaryOfALine(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for i, want := range []float64{3, -2} {
		var moves [][]float64
		var steps []float64
		for range 10 {
			step := []float64{-2. / 3, 2. / 3}[r.IntN(2)]
			moves, steps = append(moves, []float64{step * []float64{3, -2}[i]}), append(steps, step)
		}
		e := ElementaryEffects(moves, steps, .95)
		require.InDelta(t, want, e.Mean, 1e-12)
		require.InDelta(t, math.Abs(want), e.Absolute, 1e-12)
		require.InDelta(t, math.Abs(want), e.Size, 1e-12)
		require.InDelta(t, 0, e.SD, 1e-7)
		require.True(t, e.Told)
		require.Zero(t, e.ByNoise)
	}
}

// Effects of mean 1 and standard deviation 2 seen with noise: the corrected size and spread are those of the effects, √(1+4) and 2, and the
// uncorrected ones are not. 4000 moves of 3 repeats with noise of variance 27, so 9 in their means: the square of an effect has a standard
// deviation below √(2·14²+4·14) = 21, which makes 0.34 of a mean, times 4.9: 1.7. An input that does nothing has what noise alone gives.
func TestElementaryThroughNoise(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	moves, nothing, steps := make([][]float64, 4000), make([][]float64, 4000), make([]float64, 4000)
	for k := range moves {
		x := 1 + 2*r.NormFloat64()
		steps[k] = 1
		for range 3 {
			moves[k] = append(moves[k], x+math.Sqrt(27)*r.NormFloat64())
			nothing[k] = append(nothing[k], math.Sqrt(27)*r.NormFloat64())
		}
	}
	e := ElementaryEffects(moves, steps, .999999)
	require.InDelta(t, 5, e.Size*e.Size, 1.7)
	require.InDelta(t, 4, e.SD*e.SD, 1.7)
	require.InDelta(t, 13, e.RawSD*e.RawSD, 1.7)
	require.True(t, e.Told)
	none := ElementaryEffects(nothing, steps, .999999)
	require.False(t, none.Told)
	require.InDelta(t, math.Sqrt(2/math.Pi)*3, none.Absolute, 4.9*3/math.Sqrt(4000))
	require.InDelta(t, none.ByNoise, none.Absolute, .4, "three repeats know their noise to √(1/4) each, and its root is a little low")
	require.Panics(t, func() { ElementaryEffects(nil, nil, .95) })
}

// Fieller's interval of the two means of the example: u = 2 ± 0.5, v = 4 ± 0.8 without covariance at q = 2: by the quadratic
// (16 - 2.56) R² - 16 R + 4 - 1 = 0, R = (8 ± √(64 - 13.44·3))/13.44 (exact).
func TestFieller(t *testing.T) {
	r := fieller(2, 4, .25, .64, 0, 2, 0, 9)
	half := math.Sqrt(64-13.44*3) / 13.44
	require.InDelta(t, .5, r.Value, 1e-12)
	require.InDelta(t, 8/13.44-half, r.Low, 1e-12)
	require.InDelta(t, 8/13.44+half, r.High, 1e-12)
	require.True(t, r.Told)
	require.Equal(t, Ratio{Value: 2, Low: 0, High: 1}, fieller(2, 1, .1, 1, 0, 2, 0, 1), "the denominator is not told from none")
}
