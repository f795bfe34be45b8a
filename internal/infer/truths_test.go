package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// Exact: drawn payoffs have the means, the variance of their common level and the covariance of what sets them apart. 20000 draws: a mean within
// 4.9·sd/√n, a covariance within 4.9·√((c₁₁c₂₂+c₁₂²)/n) of normal theory.
func TestTruths(t *testing.T) {
	const n = 20000
	mean := [][]float64{{1, 2}, {3, 4}}
	cov := mat.NewSymDense(4, nil)
	for i := range 4 {
		for j := i; j < 4; j++ {
			cov.SetSym(i, j, 4+is(i == j)*float64(i+1))
		}
	}
	level, rest := levelAndRest(cov)
	require.InDelta(t, 4+10./16, level, 1e-12, "of 4 in common and 1, 2, 3, 4 of their own")
	drawn := Truths(mean, cov, n, rand.NewPCG(1, 2))
	want := func(i, j int) float64 { return level + rest.At(i, j) }
	for a := range 4 {
		for b := a; b < 4; b++ {
			m, c := 0.0, 0.0
			for _, pay := range drawn {
				x, y := pay[a/2][a%2]-mean[a/2][a%2], pay[b/2][b%2]-mean[b/2][b%2]
				m, c = m+x/n, c+x*y/n
			}
			require.InDelta(t, 0, m, 4.9*math.Sqrt(want(a, a)/n))
			require.InDelta(t, want(a, b), c, 4.9*math.Sqrt((want(a, a)*want(b, b)+want(a, b)*want(a, b))/n))
		}
	}
	// What noise made negative is nothing: with no variance at all, the means.
	for _, pay := range Truths(mean, mat.NewSymDense(4, []float64{-1, 0, 0, 0, 0, -1, 0, 0, 0, 0, -1, 0, 0, 0, 0, -1}), 5, rand.NewPCG(1, 2)) {
		require.Equal(t, mean, pay)
	}
	require.Panics(t, func() { Truths(mean, mat.NewSymDense(3, nil), 1, rand.NewPCG(1, 2)) })
}
