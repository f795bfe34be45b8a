package infer

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Bin is the forecasts of one stated chance: how often they came true, and what share of all they are.
type Bin struct{ Forecast, Frequency, Share float64 }

// Bins gathers forecasts by their stated chance, in increasing order. Lengths must agree and not be zero.
func Bins(forecasts []float64, happened []bool) []Bin {
	if len(forecasts) != len(happened) || len(forecasts) == 0 {
		panic(fmt.Sprintf("infer: %d forecasts of %d outcomes", len(forecasts), len(happened)))
	}
	var bins []Bin
	for i, f := range forecasts {
		at, found := slices.BinarySearchFunc(bins, f, func(b Bin, f float64) int {
			switch {
			case b.Forecast < f:
				return -1
			case b.Forecast > f:
				return 1
			}
			return 0
		})
		if !found {
			bins = slices.Insert(bins, at, Bin{Forecast: f})
		}
		bins[at].Share++
		if happened[i] {
			bins[at].Frequency++
		}
	}
	for i := range bins {
		bins[i].Frequency /= bins[i].Share
		bins[i].Share /= float64(len(forecasts))
	}
	return bins
}

// Murphy is the Brier score taken apart: Brier = Reliability - Resolution + Uncertainty (Murphy 1973, J. Appl. Meteorol. 12, 595–600).
type Murphy struct {
	Base        float64 // how often it happened
	Reliability float64 // 0 is best: stated chances come true as often as stated
	Resolution  float64 // large is good: stated chances differ where outcomes do
	Uncertainty float64 // Base·(1-Base), no merit of the forecast
	Brier       float64 // mean squared error of the stated chances
	Skill       float64 // 1 - Brier/Uncertainty; 0 where there is no uncertainty
}

// BrierOf takes the score of bins apart, with their own base rate.
func BrierOf(bins []Bin) Murphy {
	base := 0.0
	for _, b := range bins {
		base += b.Share * b.Frequency
	}
	return BrierAgainst(bins, base)
}

// BrierAgainst is [BrierOf] with a base rate from elsewhere; unless it is the bins' own, Brier is only what the parts add up to.
func BrierAgainst(bins []Bin, base float64) Murphy {
	m := Murphy{Base: base, Uncertainty: base * (1 - base)}
	for _, b := range bins {
		m.Reliability += b.Share * (b.Forecast - b.Frequency) * (b.Forecast - b.Frequency)
		m.Resolution += b.Share * (b.Frequency - base) * (b.Frequency - base)
	}
	m.Brier = m.Reliability - m.Resolution + m.Uncertainty
	if m.Uncertainty > 0 {
		m.Skill = 1 - m.Brier/m.Uncertainty
	}
	return m
}

// CRPSNormal is the continuous ranked probability score of a normal forecast, in the unit of y, 0 best (Gneiting & Raftery 2007, J. Am.
// Stat. Assoc. 102, 359–378). SD must be above 0.
func CRPSNormal(mean, sd, y float64) float64 {
	w := (y - mean) / sd
	n := distuv.UnitNormal
	return sd * (w*(2*n.CDF(w)-1) + 2*n.Prob(w) - 1/math.Sqrt(math.Pi))
}

// CRPSEnsemble is the score of draws taken as they are; fair corrects for there being only so many of them, as if for the distribution
// they come from (Ferro 2014, Q. J. R. Meteorol. Soc. 140, 1917–1923), and needs two.
func CRPSEnsemble(draws []float64, y float64) (score, fair float64) {
	s := slices.Clone(draws)
	slices.Sort(s)
	m := float64(len(s))
	distance, spread := 0.0, 0.0
	for i, x := range s {
		distance += math.Abs(x - y)
		spread += x * float64(2*i+1-len(s)) // half the sum of |x-x'| over all pairs, both orders
	}
	return distance/m - spread/(m*m), distance/m - spread/(m*(m-1))
}

// PIT is the mean probability integral transform of counts at u from 0 to 1, not randomised: for each observation the forecast's chance
// of fewer, and of at most as many. A calibrated forecast has PIT(u) near u (Czado, Gneiting & Held 2009, Biometrics 65, 1254–1261).
func PIT(fewer, atMost []float64, u float64) float64 {
	checkLengths(fewer, atMost)
	sum := 0.0
	for i, low := range fewer {
		if high := atMost[i]; high > low {
			sum += min(max((u-low)/(high-low), 0), 1)
		} else {
			sum += step(u - low)
		}
	}
	return sum / float64(len(fewer))
}
