package infer

import (
	"cmp"
	"fmt"
	"slices"
)

// BinLimits gives the upper limits, included, of bins of about equally many forecasts; the last is the largest forecast. Equal forecasts
// stay together, so that there may be fewer bins than wanted. There must be a forecast.
func BinLimits(forecasts []float64, wanted int) (limits []float64) {
	if len(forecasts) == 0 || wanted < 1 {
		panic(fmt.Sprintf("infer: %d bins of %d forecasts", wanted, len(forecasts)))
	}
	sorted := slices.Sorted(slices.Values(forecasts))
	for i := 1; i <= wanted; i++ {
		limits = append(limits, sorted[(i*len(sorted)+wanted-1)/wanted-1])
	}
	return slices.Compact(limits)
}

// BinsWithin gathers forecasts into bins with upper limits, which rise; what is above the last counts in the last. A bin's Forecast is the
// mean of its own. Empty bins have a Share
// of 0 and are left in their place, so that bins of several samples can be laid side by side.
func BinsWithin(limits, forecasts []float64, happened []bool) []Bin {
	if len(forecasts) != len(happened) || len(limits) == 0 {
		panic(fmt.Sprintf("infer: %d forecasts of %d outcomes in %d bins", len(forecasts), len(happened), len(limits)))
	}
	bins := make([]Bin, len(limits))
	for i, f := range forecasts {
		at, _ := slices.BinarySearchFunc(limits, f, cmp.Compare)
		b := &bins[min(at, len(bins)-1)]
		b.Share++
		b.Forecast += f
		if happened[i] {
			b.Frequency++
		}
	}
	for i := range bins {
		if b := &bins[i]; b.Share > 0 {
			b.Forecast, b.Frequency = b.Forecast/b.Share, b.Frequency/b.Share
			b.Share /= float64(len(forecasts))
		}
	}
	return bins
}

// MeanSquare is the Brier score of forecasts as they were stated, before binning (Brier 1950, Mon. Weather Rev. 78, 1–3, halved as is usual
// for two outcomes). Lengths must agree and not be zero.
func MeanSquare(forecasts []float64, happened []bool) (mean float64) {
	if len(forecasts) != len(happened) || len(forecasts) == 0 {
		panic(fmt.Sprintf("infer: %d forecasts of %d outcomes", len(forecasts), len(happened)))
	}
	for i, f := range forecasts {
		if happened[i] {
			f = 1 - f
		}
		mean += f * f / float64(len(forecasts))
	}
	return mean
}
