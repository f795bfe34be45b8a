package infer

import "math"

// Best gives the intervals of multiple comparisons with the best, larger being better: for each option, bounds on its value less the best of the
// others', all true together with the confidence of the half-widths (Hsu 1984, Ann. Stat. 12, 1136–1144). An upper bound of 0 rules the
// option out as the best; a lower bound of 0 means that it is the best. They never claim by how much the best leads beyond what a comparison with
// each other option shows.
//
// diff(i, j) is the estimate of i less j and half(i, j) its half-width, such that for every i all of "i less j is above diff - half" hold together
// with the wanted confidence: [Dunnett] for independent equal samples, Bonferroni for paired ones.
func Best(k int, diff, half func(i, j int) float64) (low, high []float64) {
	low, high = make([]float64, k), make([]float64, k)
	possible := 0
	for i := range k {
		high[i] = math.Inf(1)
		for j := range k {
			if j != i {
				high[i] = min(high[i], diff(i, j)+half(i, j))
			}
		}
		high[i] = max(high[i], 0)
		if high[i] > 0 {
			possible++
		}
	}
	for i := range k {
		if high[i] > 0 && possible == 1 {
			continue // it alone can be the best
		}
		for j := range k {
			if j != i && high[j] > 0 {
				low[i] = min(low[i], diff(i, j)-half(i, j))
			}
		}
	}
	return low, high
}
