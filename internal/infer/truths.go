package infer

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
)

// Truths draws payoffs that may be the true ones: normal around the means, with what draws have in common (their mean over all payoffs) and what
// sets payoffs apart drawn each for itself. cov is the payoffs' covariance between draws, in rows one after the other; what noise made negative
// in it is nothing, and the rest is scaled so that the whole stays.
func Truths(mean [][]float64, cov mat.Symmetric, n int, src rand.Source) [][][]float64 {
	size := cov.SymmetricDim()
	if size != len(mean)*len(mean[0]) {
		panic("infer: a covariance that does not go with the payoffs")
	}
	level, apart := levelAndRest(cov)
	factor := root(apart)
	scale := 0.0
	var back mat.Dense
	if back.Mul(factor, factor.T()); mat.Trace(&back) > 0 {
		scale = math.Sqrt(max(mat.Trace(apart), 0) / mat.Trace(&back))
	}
	random := rand.New(src)
	z, x := mat.NewVecDense(size, nil), mat.NewVecDense(size, nil)
	out := make([][][]float64, n)
	for k := range out {
		common := math.Sqrt(max(level, 0)) * random.NormFloat64()
		for i := range size {
			z.SetVec(i, random.NormFloat64())
		}
		x.MulVec(factor, z)
		for i, row := range mean {
			line := make([]float64, len(row))
			for j, m := range row {
				line[j] = m + common + scale*x.AtVec(i*len(row)+j)
			}
			out[k] = append(out[k], line)
		}
	}
	return out
}

// levelAndRest splits a covariance into the variance of the mean of all and the covariance of what is left of each.
func levelAndRest(cov mat.Symmetric) (level float64, rest *mat.SymDense) {
	size := cov.SymmetricDim()
	centre := mat.NewDense(size, size, nil)
	for i := range size {
		for j := range size {
			centre.Set(i, j, is(i == j)-1/float64(size))
			level += cov.At(i, j) / float64(size*size)
		}
	}
	var once, twice mat.Dense
	once.Mul(centre, cov)
	twice.Mul(&once, centre)
	rest = mat.NewSymDense(size, nil)
	for i := range size {
		for j := i; j < size; j++ {
			rest.SetSym(i, j, (twice.At(i, j)+twice.At(j, i))/2)
		}
	}
	return level, rest
}
