package infer

import (
	"fmt"
	"math"
	"slices"
)

// Rescale turns the gaps between events, each the integral of the intensity from one event to the next, into values that are uniform
// between 0 and 1 if the events have that intensity: z = 1 - exp(-gap) (Brown, Barbieri, Ventura, Kass & Frank 2002, Neural Comput. 14,
// 325–346).
func Rescale(gaps []float64) []float64 {
	z := make([]float64, len(gaps))
	for i, gap := range gaps {
		if !(gap >= 0) {
			panic(fmt.Sprintf("infer: a rescaled gap of %v", gap))
		}
		z[i] = -math.Expm1(-gap)
	}
	return z
}

// KolmogorovSmirnov is the largest distance between the distribution of values from 0 to 1 and the uniform one; 0 of none.
func KolmogorovSmirnov(values []float64) (d float64) {
	sorted := slices.Sorted(slices.Values(values))
	n := float64(len(sorted))
	for i, x := range sorted {
		d = max(d, float64(i+1)/n-x, x-float64(i)/n)
	}
	return d
}
