package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// relative holds got to want within a relative tolerance, absolute where want is 0.
func relative(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	require.LessOrEqual(t, math.Abs(got-want), tolerance*max(math.Abs(want), boolFloat(want == 0)), "%s: got %v, want %v", what, got, want)
}

func boolFloat(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// limits holds an interval's bounds to published ones.
func limits(t *testing.T, what string, i Interval, low, high, tolerance float64) {
	t.Helper()
	require.InDelta(t, low, i.Low, tolerance, "%s, low", what)
	require.InDelta(t, high, i.High, tolerance, "%s, high", what)
}

// near holds a mean over replicates to its expectation: 4.9 standard errors of that mean (two-sided chance 1e-6), taken from the replicates,
// plus what theory allows it to be off (0 for an exact expectation).
func near(t *testing.T, what string, values Group, exact, off float64) {
	t.Helper()
	se := math.Sqrt(values.squares() / (values.N - 1) / values.N)
	t.Logf("%s: %.5f, expected %.5f, standard error %.5f", what, values.Mean(), exact, se)
	require.LessOrEqual(t, math.Abs(values.Mean()-exact), 4.9*se+off, what)
}

// covers holds a frequency of covering to its level: standard error √(p(1-p)/n).
func covers(t *testing.T, what string, hits, n int, level, off float64) {
	t.Helper()
	se := math.Sqrt(level * (1 - level) / float64(n))
	t.Logf("%s: covered %.4f, level %.2f, standard error %.4f", what, float64(hits)/float64(n), level, se)
	require.LessOrEqual(t, math.Abs(float64(hits)/float64(n)-level), 4.9*se+off, what)
}

func random(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0x696e666572)) }

func groupsOf(rows ...[]float64) []Group {
	out := make([]Group, len(rows))
	for i, row := range rows {
		for _, x := range row {
			out[i].Add(x)
		}
	}
	return out
}
