package infer

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/combin"
	"gonum.org/v1/gonum/stat/distuv"
)

// checkFactor refuses a factor that would make data know more than they say.
func checkFactor(phi float64) {
	if !(phi >= 1) || math.IsInf(phi, 1) {
		panic(fmt.Sprintf("infer: an over-dispersion factor of %v is not at least 1", phi))
	}
}

func credible(level, mean, low, high float64, method string, count float64) Interval {
	return Interval{Level: level, Low: low, High: high, Centre: mean, Kind: Credible, Method: method, Count: count}
}

// Gamma is what is believed of a rate: as if Shape events had been seen in an exposure of Rate. Its mean is Shape/Rate.
type Gamma struct{ Shape, Rate float64 }

// Update adds count events in an exposure, both divided by the over-dispersion factor phi, which is at least 1 and 1 for independent
// events (Gelman et al. 2013, Bayesian Data Analysis, section 2.6; the division is a power posterior with exponent 1/phi).
func (g Gamma) Update(count, exposure, phi float64) Gamma {
	checkFactor(phi)
	if !(count >= 0 && exposure >= 0) {
		panic(fmt.Sprintf("infer: %v events in an exposure of %v", count, exposure))
	}
	return Gamma{g.Shape + count/phi, g.Rate + exposure/phi}
}

// Dist is the distribution, for quantiles and chances; Shape and Rate must be above 0.
func (g Gamma) Dist() distuv.Gamma { return distuv.Gamma{Alpha: g.Shape, Beta: g.Rate} }

// Mean is the expected rate.
func (g Gamma) Mean() float64 { return g.Shape / g.Rate }

// SD is the standard deviation.
func (g Gamma) SD() float64 { return math.Sqrt(g.Shape) / g.Rate }

// Interval is equal-tailed around the mean. Count is the events it is worth, prior included.
func (g Gamma) Interval(level float64) Interval {
	d := g.Dist()
	return credible(level, g.Mean(), d.Quantile(tail(level)), d.Quantile(1-tail(level)), "gamma posterior", g.Shape)
}

// Beta is what is believed of a share: as if A successes and B failures had been seen.
type Beta struct{ A, B float64 }

// Update adds successes out of trials, both divided by phi (see [Gamma.Update]).
func (b Beta) Update(successes, trials, phi float64) Beta {
	checkFactor(phi)
	checkTrials(successes, trials)
	return Beta{b.A + successes/phi, b.B + (trials-successes)/phi}
}

// Dist is the distribution, for quantiles and chances; A and B must be above 0.
func (b Beta) Dist() distuv.Beta { return distuv.Beta{Alpha: b.A, Beta: b.B} }

// Mean is the expected share.
func (b Beta) Mean() float64 { return b.A / (b.A + b.B) }

// SD is the standard deviation.
func (b Beta) SD() float64 { return math.Sqrt(b.Dist().Variance()) }

// Interval is equal-tailed around the mean. Count is the trials it is worth, prior included.
func (b Beta) Interval(level float64) Interval {
	d := b.Dist()
	return credible(level, b.Mean(), d.Quantile(tail(level)), d.Quantile(1-tail(level)), "beta posterior", b.A+b.B)
}

// LogMarginal is the logarithm of the chance of one given sequence with so many successes out of trials: B(a+x, b+n-x)/B(a, b).
func (b Beta) LogMarginal(successes, trials float64) float64 {
	checkTrials(successes, trials)
	return mathext.Lbeta(b.A+successes, b.B+trials-successes) - mathext.Lbeta(b.A, b.B)
}

// LogChance is the logarithm of the beta-binomial chance of so many successes in any order.
func (b Beta) LogChance(successes, trials float64) float64 {
	return combin.LogGeneralizedBinomial(trials, successes) + b.LogMarginal(successes, trials)
}

// Dirichlet is what is believed of shares that sum to one: as if so many of each had been seen.
type Dirichlet []float64

// Update adds counts, divided by phi (see [Gamma.Update]), and returns a new value. Lengths must agree.
func (d Dirichlet) Update(counts []float64, phi float64) Dirichlet {
	checkFactor(phi)
	if len(counts) != len(d) {
		panic(fmt.Sprintf("infer: %d counts for %d shares", len(counts), len(d)))
	}
	out := make(Dirichlet, len(d))
	for i, c := range counts {
		if !(c >= 0) {
			panic(fmt.Sprintf("infer: a count of %v", c))
		}
		out[i] = d[i] + c/phi
	}
	return out
}

// Share is what is believed of one of them.
func (d Dirichlet) Share(i int) Beta { return Beta{d[i], floats.Sum(d) - d[i]} }

// Above is the chance that share i is larger than share j. Of the two alone, i has a Beta(d[i], d[j]) part, so it is exact.
func (d Dirichlet) Above(i, j int) float64 {
	return distuv.Beta{Alpha: d[j], Beta: d[i]}.CDF(.5)
}
