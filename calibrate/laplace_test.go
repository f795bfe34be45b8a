package calibrate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/fighter"
)

// metropolis samples the posterior of a regression: independence Metropolis (Hastings 1970; Tierney 1994, from memory) with proposals from a
// Student distribution of ten degrees of freedom around the approximation, whose tails are heavier than a normal's, so that what the
// approximation leaves out is still proposed.
func metropolis(l *logistic, f normalFit, steps int, seed uint64) (kept [][]float64, accepted float64) {
	const freedom = 10
	d := len(f.mean)
	src := rand.New(rand.NewPCG(seed, 1))
	var chol mat.Cholesky
	if !chol.Factorize(f.cov) {
		panic("not positive definite")
	}
	var lower mat.TriDense
	chol.LTo(&lower)
	tail := distuv.ChiSquared{K: freedom, Src: src}
	propose := func() (x []float64, weight float64) {
		x, z, square := slices.Clone(f.mean), make([]float64, d), 0.0
		stretch := math.Sqrt(freedom / tail.Rand())
		for k := range x {
			z[k] = src.NormFloat64() * stretch
			square += z[k] * z[k]
			for j := range k + 1 {
				x[k] += lower.At(k, j) * z[j]
			}
		}
		return x, l.density(x) + float64(freedom+d)/2*math.Log1p(square/freedom)
	}
	at, here := propose()
	for range steps {
		if to, there := propose(); math.Log(src.Float64()) < there-here {
			at, here = to, there
			accepted++
		}
		kept = append(kept, at)
	}
	return kept, accepted / float64(steps)
}

// apart is how far sampling and the normal approximation differ at worst over a fit's coefficients, in the approximation's standard
// deviations: of means, of the 5 and 95 % points, and of the standard deviation itself. error is the sampling error of a mean, by 50 batches.
type apart struct{ mean, quantile, sd, error float64 }

func laplaceAgainstSampling(l *logistic, steps int) (worst apart) {
	f := l.fit()
	kept, accepted := metropolis(l, f, steps, 3)
	if accepted < .4 {
		panic("the sampler hardly moves")
	}
	for k := range f.mean {
		law := distuv.Normal{Mu: f.mean[k], Sigma: math.Sqrt(f.cov.At(k, k))}
		x := make([]float64, len(kept))
		for i, at := range kept {
			x[i] = at[k]
		}
		mean, sd := stat.MeanStdDev(x, nil)
		worst.mean = max(worst.mean, math.Abs(mean-law.Mu)/law.Sigma)
		worst.sd = max(worst.sd, math.Abs(sd/law.Sigma-1))
		worst.error = max(worst.error, batchError(x)/law.Sigma)
		slices.Sort(x)
		for _, p := range []float64{.05, .95} {
			worst.quantile = max(worst.quantile, math.Abs(stat.Quantile(p, stat.Empirical, x, nil)-law.Quantile(p))/law.Sigma)
		}
	}
	return worst
}

// batchError is the standard error of the mean of a walk, from the means of 50 stretches of it.
func batchError(x []float64) float64 {
	var means []float64
	for i, n := 0, len(x)/50; i < 50; i++ {
		means = append(means, stat.Mean(x[i*n:(i+1)*n], nil))
	}
	return stat.StdDev(means, nil) / math.Sqrt(50)
}

// oneSided is a fighter who met one other, and whose attempts, of which as many usually come off as logit says, all did or all did not.
func oneSided(tries, made, logit float64) *logistic {
	return &logistic{precision: []float64{1 / .09, 1 / .09}, trials: []trial{{terms: []term{{0, 1}, {1, -1}}, offset: logit, made: made, tries: tries}}}
}

// chained is the kicks above the waist of the first of the population's bouts, eight fighters each of whom met the next.
func chained() *logistic {
	var some []attempt
	t := shippedUsual().seen
	for i, a := range t.attempts {
		if f, _ := fighter.FamilyOf(a.move.Act()); f == fighter.HighKicks && max(t.who[i][0], t.who[i][1]) < 8 && i < len(t.attempts)/10 {
			a.attacker, a.with = fmt.Sprint("vole", t.who[i][0]), fmt.Sprint("vole", t.who[i][1])
			some = append(some, a)
		}
	}
	l, _, _ := skillModel(some, .3, shippedUsual())
	return l
}

// The normal approximation of the skills' posterior is good enough when means and the ends of 90 % intervals lie within a tenth of a
// standard deviation of sampling's, and standard deviations within a twentieth: an interval's coverage then changes by less than a point and
// a half (Φ(1.745)-Φ(-1.545) = .898, Φ(1.645·1.05)-Φ(-1.645·1.05) = .916). That holds for a thin tape, also where all came off or nothing
// did, for three bouts of two people, and for eight who met in a row: the largest difference is .06 standard deviations, of the ends of an
// interval (200 attempts that all failed; eight in a row). So nothing has to be mended. The sampling error of a mean is below .015.
func TestLaplaceAgainstSampling(t *testing.T) {
	cases := map[string]*logistic{
		"no 5": oneSided(5, 0, -1.2), "all 5": oneSided(5, 5, -1.2), "no 40": oneSided(40, 0, -1.2), "all 40": oneSided(40, 40, -1.2),
		"no 200": oneSided(200, 0, -1.2), "one rare one": oneSided(1, 1, -4), "eight in a row": chained(),
	}
	for f := range fighter.NumFamilies {
		var some []attempt
		for _, a := range attempts(sourcesOf(simulated(t, truth(), 5, 3), map[string]fighter.Body{}), nil) {
			if of, _ := fighter.FamilyOf(a.move.Act()); of == f {
				some = append(some, a)
			}
		}
		l, _, _ := skillModel(some, .3, shippedUsual())
		cases["two: "+f.String()] = l
	}
	for name, l := range cases {
		got := laplaceAgainstSampling(l, 30_000)
		require.Less(t, got.error, .015, name)
		require.Less(t, got.mean, .1, name)
		require.Less(t, got.quantile, .1, name)
		require.Less(t, got.sd, .05, name)
	}
}

// The comparison can fail: without priors the four groups of the bioassay leave a skewed posterior, whose mean is beyond the mode (Gelman et
// al. 2013, Bayesian Data Analysis, 3rd ed., section 3.7: the normal approximation there is rough).
func TestSamplingSeesABadApproximation(t *testing.T) {
	got := laplaceAgainstSampling(regression([]float64{-.86, -.30, -.05, .73}, []float64{0, 1, 3, 5}, repeat(5, 4)), 400_000)
	require.Greater(t, got.mean, .3)
	require.Greater(t, got.quantile, .3)
}
