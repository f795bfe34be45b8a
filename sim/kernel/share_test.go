package kernel

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Shares are the weights themselves, each threshold to the nearest 2^-32, so that two of them err by at most 2^-32 (exact).
func TestShare(t *testing.T) {
	var table Table
	require.NoError(t, table.Set([]float64{1, 0, 2, 5, 0}))
	for i, want := range []float64{.125, 0, .25, .625, 0, 0} {
		require.InDelta(t, want, table.Share(i), 1.0/(1<<32), i)
	}
	require.NoError(t, table.SetRates([]float64{1, 2}, 8))
	for i, want := range []float64{.125, .25, .625, 0} {
		require.InDelta(t, want, table.Share(i), 1.0/(1<<32), i)
	}
}
