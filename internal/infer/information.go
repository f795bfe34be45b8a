package infer

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// NormalLoss is the unit normal loss integral L(z) = φ(z) - z(1-Φ(z)), the mean of what a standard normal exceeds z by (Raiffa & Schlaifer
// 1961, Applied Statistical Decision Theory).
func NormalLoss(z float64) float64 {
	return distuv.UnitNormal.Prob(z) - z*distuv.UnitNormal.Survival(z)
}

// InformationGain is what it is worth to learn, before choosing, the differences of some options from a first one, when what will be
// believed of them after learning is normal with this mean and covariance: E max(0, Z) - max(0, mean), in the units of the mean. The
// covariance must be symmetric; what is negative in it counts as nothing. For one difference it is σ·L(|μ|/σ); for more it is a mean over
// fixed normal draws, whose standard error is given.
//
// Source: the preposterior analysis of Raiffa & Schlaifer 1961; with the covariance of all that is not known it is the expected value of
// perfect information.
func InformationGain(mean []float64, cov mat.Symmetric) (gain, standardError float64) {
	n := len(mean)
	if n != cov.SymmetricDim() {
		panic("infer: a covariance that does not go with the means")
	}
	if n == 1 {
		sd := math.Sqrt(max(cov.At(0, 0), 0))
		if sd == 0 {
			return 0, 0
		}
		return sd * NormalLoss(math.Abs(mean[0])/sd), 0
	}
	return gainByDraws(mean, root(cov))
}

// gainDraws are enough for a standard error of about a hundredth of the standard deviation of the best option.
const gainDraws = 1 << 14

// gainByDraws takes every normal draw with its opposite, which removes what is linear from the error.
func gainByDraws(mean []float64, factor *mat.Dense) (gain, standardError float64) {
	n := len(mean)
	src := rand.New(rand.NewPCG(0x696e666f, 0x6761696e))
	z, x := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	best := max(0, maximum(mean))
	var g Group
	for range gainDraws / 2 {
		for i := range n {
			z.SetVec(i, src.NormFloat64())
		}
		x.MulVec(factor, z)
		up, down := 0.0, 0.0
		for i := range n {
			up, down = max(up, mean[i]+x.AtVec(i)), max(down, mean[i]-x.AtVec(i))
		}
		g.Add((up+down)/2 - best)
	}
	return max(g.Mean(), 0), math.Sqrt(g.squares() / (g.N - 1) / g.N)
}

func maximum(x []float64) float64 {
	m := math.Inf(-1)
	for _, v := range x {
		m = max(m, v)
	}
	return m
}

// root is a matrix whose product with its transpose is the covariance without its negative part.
func root(cov mat.Symmetric) *mat.Dense {
	var e mat.EigenSym
	if !e.Factorize(cov, true) {
		panic("infer: a covariance without eigenvalues")
	}
	n := cov.SymmetricDim()
	var vectors mat.Dense
	e.VectorsTo(&vectors)
	for j, v := range e.Values(nil) {
		for i := range n {
			vectors.Set(i, j, vectors.At(i, j)*math.Sqrt(max(v, 0)))
		}
	}
	return &vectors
}

// PerfectInformation is the expected value of perfect information of a decision table: benefit[s][d] of option d in state s, states with
// chances that sum to 1. It also gives the expected benefit of the option that is best on the whole, and that of the best in each state.
func PerfectInformation(benefit [][]float64, chances []float64) (best, informed, value float64) {
	means := make([]float64, len(benefit[0]))
	for s, row := range benefit {
		for d, x := range row {
			means[d] += chances[s] * x
		}
		informed += chances[s] * maximum(row)
	}
	best = maximum(means)
	return best, informed, informed - best
}
