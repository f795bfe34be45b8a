package infer

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// By hand: six forecasts in three bins; equal ones are not torn apart.
func TestBinsOfEquallyMany(t *testing.T) {
	forecasts := []float64{.1, .9, .3, .2, .8, .4}
	happened := []bool{false, true, true, false, true, false}
	bins := BinsWithin(BinLimits(forecasts, 3), forecasts, happened)
	require.Len(t, bins, 3)
	for i, want := range []Bin{{.15, 0, 1. / 3}, {.35, .5, 1. / 3}, {.85, 1, 1. / 3}} {
		require.InDelta(t, want.Forecast, bins[i].Forecast, 1e-12)
		require.InDelta(t, want.Frequency, bins[i].Frequency, 1e-12)
		require.InDelta(t, want.Share, bins[i].Share, 1e-12)
	}
	require.Equal(t, []float64{.5}, BinLimits([]float64{.5, .5, .5, .5}, 3))
	require.Equal(t, []Bin{{.1, 0, .5}, {}, {.7, 1, .5}}, BinsWithin([]float64{.2, .4, .6}, []float64{.1, .7}, []bool{false, true}))
	require.Panics(t, func() { BinLimits(nil, 3) })
	require.Panics(t, func() { BinsWithin([]float64{1}, []float64{.5}, nil) })
	require.Panics(t, func() { MeanSquare(nil, nil) })
}

// Stephenson, Coelho & Jolliffe 2008 (Weather Forecast. 23, 752–757, from memory): with bins, the score of the stated chances is
// reliability - resolution + uncertainty + the variance of the chances within bins - twice their covariance with the outcomes there: exact.
func TestBinningsLoss(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(r, "n")
		forecasts, happened := make([]float64, n), make([]bool, n)
		for i := range n {
			forecasts[i] = rapid.Float64Range(0, 1).Draw(r, "chance")
			happened[i] = rapid.Bool().Draw(r, "happened")
		}
		limits := BinLimits(forecasts, 5)
		bins := BinsWithin(limits, forecasts, happened)
		within := 0.0
		for i, f := range forecasts {
			at := 0
			for f > limits[at] {
				at++
			}
			d, o := f-bins[at].Forecast, boolFloat(happened[i])-bins[at].Frequency
			within += (d*d - 2*d*o) / float64(n)
		}
		require.InDelta(r, MeanSquare(forecasts, happened), BrierOf(bins).Brier+within, 1e-12)
	})
}
