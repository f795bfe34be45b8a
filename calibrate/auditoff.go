package calibrate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// ridge is added to the correlations of totals, some of which depend on each other wholly (shares of time add up to one).
const ridge = .05

// offness gives how far off every set's totals are, as a squared distance (Mahalanobis) by the sets' own covariance: what two fighters
// have in common, such as a fast round, hides less of what tells them apart.
func offness(totals []AuditTotal, sets int) []float64 {
	values := make([][]float64, len(totals))
	for i := range totals {
		values[i] = totals[i].sets
	}
	return distances(values, sets)
}

// distances gives every set's squared distance from the mean of all sets; values are by what is looked at and set.
func distances(values [][]float64, sets int) []float64 {
	var rows [][]float64
	for _, x := range values {
		if z, ok := standardised(x); ok {
			rows = append(rows, z)
		}
	}
	out := make([]float64, sets)
	if len(rows) == 0 {
		return out
	}
	r := mat.NewSymDense(len(rows), nil)
	for i := range rows {
		for j := i; j < len(rows); j++ {
			r.SetSym(i, j, floats.Dot(rows[i], rows[j])/float64(sets))
		}
		r.SetSym(i, i, r.At(i, i)+ridge)
	}
	var c mat.Cholesky
	if !c.Factorize(r) {
		panic("calibrate: correlations with a ridge are not positive definite")
	}
	z, solved := mat.NewVecDense(len(rows), nil), mat.NewVecDense(len(rows), nil)
	for s := range out {
		for i := range rows {
			z.SetVec(i, rows[i][s])
		}
		if err := c.SolveVecTo(solved, z); err != nil {
			panic("calibrate: " + err.Error())
		}
		out[s] = mat.Dot(z, solved)
	}
	return out
}

// standardised gives standard scores; false if all values agree.
func standardised(x []float64) ([]float64, bool) {
	mean, square := floats.Sum(x)/float64(len(x)), 0.0
	for _, v := range x {
		square += (v - mean) * (v - mean)
	}
	sd := math.Sqrt(square / float64(len(x)))
	if sd <= 1e-9*math.Abs(mean) {
		return nil, false
	}
	z := make([]float64, len(x))
	for i, v := range x {
		z[i] = (v - mean) / sd
	}
	return z, true
}

// tailRanks gives for every set the share of sets that are at least as far off: a p value each.
func tailRanks(x []float64) []float64 {
	sorted := slices.Sorted(slices.Values(x))
	out := make([]float64, len(x))
	for i, v := range x {
		below, _ := slices.BinarySearch(sorted, v-1e-9*math.Abs(v))
		out[i] = float64(len(x)-below) / float64(len(x))
	}
	return out
}
