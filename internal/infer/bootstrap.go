package infer

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Resamples is a usual number of bootstrap samples for a percentile interval: each bound at 95 % rests on 50 of 2000.
const Resamples = 2000

// bootstrap draws n units with replacement and gives the statistic of each sample in which it is defined. src must not be nil.
func bootstrap(n, resamples int, src rand.Source, statistic func(pick []int) (float64, bool)) []float64 {
	if src == nil {
		panic("infer: a bootstrap needs a source of random numbers")
	}
	random := rand.New(src)
	pick := make([]int, n)
	out := make([]float64, 0, resamples)
	for range resamples {
		for i := range pick {
			pick[i] = random.IntN(n)
		}
		if x, ok := statistic(pick); ok {
			out = append(out, x)
		}
	}
	return out
}

// percentile takes over the bounds of bootstrap samples (percentile interval, Efron & Tibshirani 1993, chapter 13).
func (c *Coefficient) percentile(samples []float64, resamples int) {
	if len(samples) < 2 {
		c.warn("the bootstrap gave no second value: the bounds say nothing")
		return
	}
	over := Central(samples, c.Level)
	c.Low, c.High = over.Low, over.High
	c.SE = spread(samples)
	if left := resamples - len(samples); left > 0 {
		c.warn("not defined in %d of %d bootstrap samples, which are left out", left, resamples)
	}
	c.guard()
}

func spread(values []float64) float64 {
	var g Group
	base := slices.Min(values) // so that squares of large values do not swallow their spread
	for _, x := range values {
		g.Add(x - base)
	}
	return math.Sqrt(g.squares() / (g.N - 1))
}
