package infer

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// RatePair is one stratum of a comparison of rates: events and exposure of the one and of the other.
type RatePair struct{ X1, T1, X2, T2 float64 }

// RateRatio is how many times as large the first rate is as the second, in the same strata.
type RateRatio struct {
	Interval         // of the ratio: score limits; a million stands for no upper limit, where the second rate may be 0
	Z        float64 `json:"z"`        // score test of no difference
	P        float64 `json:"p"`        // two-sided
	Expected float64 `json:"expected"` // events of the first if there is none
}

// largestRatio ends the search for limits, and stands for what lies beyond.
const largestRatio = 1e6

// StratifiedRateRatio estimates the ratio that all strata share from what is known of each stratum's sum: given x1+x2 events, x1 is binomial with
// chance ρ·t1/(ρ·t1+t2), whatever the stratum's own rate is. The estimate is the conditional maximum-likelihood one, which is that of Poisson
// regression with a term for each stratum; limits and test are by the score, its variance times the over-dispersion, at least 1 (Breslow & Day
// 1987, Statistical Methods in Cancer Research II, sections 3.6 and 4.3, from memory). Strata in which one of the two has no exposure or nothing
// happened tell nothing and are left out; with none left the second result is false.
func StratifiedRateRatio(strata []RatePair, dispersion, level float64) (RateRatio, bool) {
	var kept []RatePair
	out := RateRatio{Interval: Interval{Level: level, Kind: Confidence, Method: "conditional score"}}
	for _, s := range strata {
		if !(s.X1 >= 0 && s.X2 >= 0 && s.T1 >= 0 && s.T2 >= 0) {
			panic(fmt.Sprintf("infer: %v events in %v against %v in %v", s.X1, s.T1, s.X2, s.T2))
		}
		if s.T1 > 0 && s.T2 > 0 && s.X1+s.X2 > 0 {
			kept = append(kept, s)
			out.Count += s.X1
		}
	}
	if len(kept) == 0 {
		return out, false
	}
	dispersion = max(dispersion, 1)
	mean, variance := conditional(kept, 1)
	out.Expected, out.Z = mean, (out.Count-mean)/math.Sqrt(dispersion*variance)
	out.P = 2 * distuv.UnitNormal.Survival(math.Abs(out.Z))
	z := normalQuantile(level)
	away := func(by float64) func(ratio float64) float64 {
		return func(ratio float64) float64 {
			mean, variance := conditional(kept, ratio)
			return out.Count - mean - by*math.Sqrt(dispersion*variance)
		}
	}
	out.Low, out.Centre, out.High = crossing(away(z)), crossing(away(0)), crossing(away(-z))
	if out.High == largestRatio {
		out.warn("the second rate may be 0")
	}
	return out, true
}

// conditional gives the mean and variance of the first's events at a ratio, given each stratum's sum.
func conditional(strata []RatePair, ratio float64) (mean, variance float64) {
	for _, s := range strata {
		p := ratio * s.T1 / (ratio*s.T1 + s.T2)
		n := s.X1 + s.X2
		mean, variance = mean+n*p, variance+n*p*(1-p)
	}
	return mean, variance
}

// crossing finds where a function of a ratio turns from positive to negative: 0 where it is never positive, the largest ratio where it always is.
func crossing(f func(ratio float64) float64) float64 {
	low, high := -math.Log(largestRatio), math.Log(largestRatio)
	switch {
	case f(math.Exp(low)) <= 0:
		return 0
	case f(math.Exp(high)) >= 0:
		return largestRatio
	}
	for range 100 {
		if middle := (low + high) / 2; f(math.Exp(middle)) > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Exp((low + high) / 2)
}
