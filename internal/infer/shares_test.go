package infer

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// y = 3(x1 + x2)/√2 + 2 x3 + 1 x4 + 0·(x5..x40) with noise of standard deviation 15, normal features: shares 9/14, 4/14, 1/14 and 0 (exact). Intervals
// at 90 % of 1000 draws hold them in 90 % of 600 repetitions, within 4.9·√(0.9·0.1/600) = 0.060; what is given to nothing is none on the average.
func TestShare(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	want := []float64{9. / 14, 4. / 14, 1. / 14, 0}
	groups := [][2]int{{0, 2}, {2, 3}, {3, 4}, {4, 40}}
	const repetitions, n, p = 600, 1000, 40
	held, values := make([]float64, 4), make([]Group, 4)
	for range repetitions {
		x, y := mat.NewDense(n, p, nil), mat.NewDense(n, 1, nil)
		for i := range n {
			for j := range p {
				x.Set(i, j, r.NormFloat64())
			}
			y.Set(i, 0, 3*(x.At(i, 0)+x.At(i, 1))/1.4142135623730951+2*x.At(i, 2)+x.At(i, 3)+15*r.NormFloat64())
		}
		fit, err := Regress(x, y)
		require.NoError(t, err)
		var learned [][]float64
		everything := make([]float64, p)
		for g, span := range groups {
			learned = append(learned, make([]float64, p))
			for j := span[0]; j < span[1]; j++ {
				learned[g][j], everything[j] = 1, 1
			}
		}
		cov, se := fit.Explained(everything)
		v, short := fit.ExplainedOfFirst()
		require.InDelta(t, cov.At(0, 0), v, 1e-9, "the short way of everything is the long way")
		require.InDelta(t, se, short, 1e-9)
		for g, s := range fit.Shares(learned, .9) {
			if s.Low <= want[g] && want[g] <= s.High {
				held[g] += 1. / repetitions
			}
			values[g].Add(s.Value)
		}
	}
	t.Log(held)
	for g := range groups {
		require.Greater(t, held[g], .9-.06, "group %d", g)
		require.True(t, want[g] == 0 || held[g] < .9+.06, "group %d; cut off at 0, an interval holds nothing more often", g)
	}
	require.True(t, values[3].Interval(.999999).Holds(0), "4.9 standard errors")
}
