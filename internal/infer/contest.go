package infer

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
)

// Contest tells, over draws (possible truths), which of several options is best and what taking each would cost. All lists are by option.
type Contest struct {
	Chance         []float64 // of being best; options that are the same share it
	ChanceError    []float64 // standard error over another set of draws and bouts
	Loss           []float64 // expected loss of taking it against knowing the truth
	LossError      []float64
	Simulation     []float64 // the part of Loss that is the simulation's: against knowing the means over draws
	Remaining      float64   // of the option with the least Loss: the rest, what knowing the truth would win (expected value of perfect information)
	RemainingError float64
	Resolved       bool // false: the draws' differences are no larger than the luck of their bouts, and Remaining is no knowledge
}

// Contend works a contest out. groups(i, j) gives the paired differences of option i less option j, a group a draw, over the draws that both have,
// the first of all; it must be that of (j, i) with the signs changed.
//
// To count how often an option has the highest mean of a draw would be wrong twice: the luck of a draw's few bouts would pass for a difference
// between truths, and the highest of several noisy means is too high. So luck is taken out first: the differences of truths are taken as normal,
// with the variance between draws that [Split] finds for every pair (from which their covariance follows by double centring; what comes out
// negative is 0), around means that are known up to their simulation error, which is normal with the variance of every pair's mean. Chance and
// losses are integrals over both, by the same normal points whatever the values. Standard errors are a jackknife over blocks of draws. With two
// options Chance is what [Better] says up to the shape of the draws, which is kept there and normal here.
func Contend(options int, groups func(i, j int) []Group) Contest {
	c := contend(options, groups)
	c.ChanceError, c.LossError = make([]float64, options), make([]float64, options)
	blocks := make([]Contest, jackBlocks)
	for b := range blocks {
		blocks[b] = contend(options, func(i, j int) []Group { return without(groups(i, j), b) })
	}
	for i := range options {
		c.ChanceError[i] = jackError(blocks, func(x *Contest) float64 { return x.Chance[i] })
		c.LossError[i] = jackError(blocks, func(x *Contest) float64 { return x.Loss[i] })
	}
	c.RemainingError = jackError(blocks, func(x *Contest) float64 { return x.Remaining })
	return c
}

// without leaves one block of draws out: every jackBlocks-th draw, so that a block is of the same draws for all pairs.
func without(groups []Group, block int) (out []Group) {
	for k, g := range groups {
		if k%jackBlocks != block {
			out = append(out, g)
		}
	}
	return out
}

func jackError(blocks []Contest, of func(*Contest) float64) float64 {
	var values Group
	for i := range blocks {
		values.Add(of(&blocks[i]))
	}
	return math.Sqrt(values.squares() * (values.N - 1) / values.N)
}

func contend(options int, groups func(i, j int) []Group) Contest {
	means, between, errors, resolved := nestOf(options, groups)
	truth, mean := halves(between), halves(errors)
	c := Contest{Chance: make([]float64, options), Loss: make([]float64, options), Simulation: make([]float64, options), Resolved: resolved}
	known, doubted := make([]float64, options), make([]float64, options)
	tie := 1e-9 * (math.Sqrt(max(mat.Trace(between), 0)+mat.Trace(errors)) + math.SmallestNonzeroFloat64)
	normals := points(2 * options)
	for _, z := range normals {
		for i := range options {
			known[i] = means[i] + along(mean, i, z[:options])
			doubted[i] = known[i] + along(truth, i, z[options:])
		}
		c.count(known, doubted, tie, 1/float64(len(normals)))
	}
	best := 0
	for i, l := range c.Loss {
		if l < c.Loss[best] {
			best = i
		}
	}
	c.Remaining = max(c.Loss[best]-c.Simulation[best], 0)
	return c
}

// count adds a point's share.
func (c *Contest) count(known, doubted []float64, tie, share float64) {
	bestKnown, best := largest(known), largest(doubted)
	ties := 0.0
	for _, x := range doubted {
		if best-x <= tie {
			ties++
		}
	}
	for i, x := range doubted {
		if best-x <= tie {
			c.Chance[i] += share / ties
		}
		c.Loss[i] += share * (best - x)
		c.Simulation[i] += share * (bestKnown - known[i])
	}
}

func largest(x []float64) float64 {
	best := math.Inf(-1)
	for _, v := range x {
		best = max(best, v)
	}
	return best
}

// nestOf gives the means, less their own mean, and the centred covariances of the truths and of the means' errors. Means are those of the
// differences from the option with most draws.
func nestOf(options int, groups func(i, j int) []Group) (means []float64, between, errors *mat.SymDense, resolved bool) {
	variances, squares := mat.NewSymDense(options, nil), mat.NewSymDense(options, nil)
	most, hub := 0, 0
	for i := range options {
		for j := range i {
			c := Split(groups(i, j))
			variances.SetSym(i, j, c.Between)
			squares.SetSym(i, j, c.SE()*c.SE())
			resolved = resolved || c.Resolved()
			if c.K > most {
				most, hub = c.K, j
			}
		}
	}
	means = make([]float64, options)
	centre := 0.0
	for i := range options {
		if i != hub {
			means[i] = Split(groups(i, hub)).Mean
		}
		centre += means[i] / float64(options)
	}
	for i := range means {
		means[i] -= centre
	}
	return means, centred(variances), centred(squares), resolved
}

// centred makes the covariance of values less their mean from the variances of all differences (double centring; Gower 1966, Biometrika 53,
// 325–338).
func centred(differences *mat.SymDense) *mat.SymDense {
	n := differences.SymmetricDim()
	rows, all := make([]float64, n), 0.0
	for i := range n {
		for j := range n {
			rows[i] += differences.At(i, j) / float64(n)
		}
		all += rows[i] / float64(n)
	}
	out := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			out.SetSym(i, j, (rows[i]+rows[j]-all-differences.At(i, j))/2)
		}
	}
	return out
}

// halves is the symmetric matrix L with L·L the covariance, its negative parts taken as 0. Any other root would do, but its columns may turn with the
// last bit of the covariance, and the points' small error with them.
func halves(cov *mat.SymDense) *mat.Dense {
	n := cov.SymmetricDim()
	var e mat.EigenSym
	if !e.Factorize(cov, true) {
		panic("infer: a covariance without eigenvalues")
	}
	var vectors mat.Dense
	e.VectorsTo(&vectors)
	values := e.Values(nil) // rising
	roots := mat.NewDiagDense(n, nil)
	for j, v := range values {
		if v > 1e-12*values[n-1] { // less is negative, or rounding that would tell apart what is the same
			roots.SetDiag(j, math.Sqrt(v))
		}
	}
	var out mat.Dense
	out.Product(&vectors, roots, vectors.T())
	return &out
}

func along(l *mat.Dense, i int, z []float64) (sum float64) {
	for j, x := range z {
		sum += l.At(i, j) * x
	}
	return sum
}

// contestPoints make the error of a chance by these points at most .004.
const contestPoints = 8192

// points are normal numbers, each point with its mirror image, the same in every call.
func points(dimensions int) [][]float64 {
	r := rand.New(rand.NewPCG(0x636f6e74657374, uint64(dimensions)))
	out := make([][]float64, 0, 2*contestPoints)
	for range contestPoints {
		z, mirrored := make([]float64, dimensions), make([]float64, dimensions)
		for i := range z {
			z[i] = r.NormFloat64()
			mirrored[i] = -z[i]
		}
		out = append(out, z, mirrored)
	}
	return out
}
