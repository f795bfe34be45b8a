package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// Fieller's interval for a ratio of means is the closed form of one straight segment: the line a + b·x is zero at -a/b, and the set of x with
// (a+bx)² ≤ t²(v_a + 2x·c + x²·v_b) has these ends (Fieller 1954; exact).
func TestCrossingIsFieller(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	var values [][]float64
	for range 40 {
		a, b := -1+.5*random.NormFloat64(), .4+.2*random.NormFloat64()
		values = append(values, []float64{a, a + 10*b})
	}
	got, same := Crossings([]float64{0, 10}, values, .95)
	require.False(t, same)
	require.Len(t, got, 1)
	var ma, mb, va, vb, cov float64
	for _, v := range values {
		ma, mb = ma+v[0]/40, mb+(v[1]-v[0])/10/40
	}
	for _, v := range values {
		a, b := v[0]-ma, (v[1]-v[0])/10-mb
		va, vb, cov = va+a*a/40/39, vb+b*b/40/39, cov+a*b/40/39
	}
	q := studentQuantile(.95, 39)
	x, g := -ma/mb, q*q*vb/mb/mb
	middle := (x + g*cov/vb) / (1 - g)
	half := q / mb / (1 - g) * math.Sqrt(va+2*x*cov+x*x*vb-g*(va-cov*cov/vb))
	require.InDelta(t, x, got[0].At[0], 1e-9)
	require.InDelta(t, middle-half, got[0].Low, 1e-9)
	require.InDelta(t, middle+half, got[0].High, 1e-9)
	require.True(t, got[0].Told())
	require.Equal(t, []int{-1, 1}, []int{got[0].Before, got[0].After})
}

// Draws of curves over 0, 1, 2, 3 whose mean passes zero at 0.5 and at 2.25 (exact) with correlated normal noise: each place lies in some
// stretch in 95 % of 4000 repetitions, within 4.9·√(0.95·0.05/4000) = 0.017.
func TestCrossingCovers(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	at, mean := []float64{0, 1, 2, 3}, []float64{-.3, .3, .1, -.3}
	const repeats = 4000
	held := map[float64]int{.5: 0, 2.25: 0}
	for range repeats {
		var values [][]float64
		for range 12 {
			row, common := make([]float64, 4), random.NormFloat64()
			for j := range row {
				row[j] = mean[j] + .3*common + .4*random.NormFloat64()
			}
			values = append(values, row)
		}
		stretches, _ := Crossings(at, values, .95)
		for x := range held {
			for _, s := range stretches {
				if s.Low <= x && x <= s.High {
					held[x]++
				}
			}
		}
	}
	for x, n := range held {
		require.InDelta(t, .95, float64(n)/repeats, .017, "at %v", x)
	}
}

func TestCrossingKinds(t *testing.T) {
	at := []float64{0, 1, 2, 3}
	kind := func(noise float64, mean ...float64) []Crossing {
		var values [][]float64
		for k := range 10 {
			row := make([]float64, len(mean))
			for j := range row {
				row[j] = mean[j] + noise*float64(1-2*(k%2))
			}
			values = append(values, row)
		}
		got, same := Crossings(at, values, .95)
		require.False(t, same)
		return got
	}
	require.Empty(t, kind(.1, 5, 5, 6, 7), "always above")
	whole := kind(9, 1, -1, 1, 2)
	require.Len(t, whole, 1)
	require.Equal(t, []float64{0, 3}, []float64{whole[0].Low, whole[0].High}, "nothing is told")
	require.Len(t, whole[0].At, 2)
	require.False(t, whole[0].Told())
	twice := kind(.1, -2, 2, 2, -2)
	require.Len(t, twice, 2)
	require.True(t, twice[0].Told() && twice[1].Told())
	near := kind(.5, 3, .1, 3, 3)
	require.Len(t, near, 1)
	require.Empty(t, near[0].At)
	require.Equal(t, []int{1, 1}, []int{near[0].Before, near[0].After})
	exact := kind(0, -1, 1, 1, 1)
	require.Equal(t, []Crossing{{At: []float64{.5}, Low: .5, High: .5, Before: -1, After: 1}}, exact, "without noise it is a place")
	knot := kind(0, -1, 0, 1, 1)
	require.Equal(t, []Crossing{{At: []float64{1}, Low: 1, High: 1, Before: -1, After: 1}}, knot)
	end := kind(.3, -.1, 2, 2, 2)
	require.Equal(t, []int{0, 1}, []int{end[0].Before, end[0].After})
	_, same := Crossings(at, [][]float64{{0, 0, 0, 0}, {0, 0, 0, 0}}, .95)
	require.True(t, same)
	require.Panics(t, func() { Crossings(at, [][]float64{{0, 0, 0, 0}}, .95) })
}
