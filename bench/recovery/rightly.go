package main

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/internal/infer"
)

// rightly is how often the interval of so many draws, of so many bouts each, holds the truth where draws and truth come from one normal: what to expect of
// a posterior that is exactly right. It is less than the level, since centre and spread are rough themselves. between is the variance of the draws,
// within that of bouts; NaN where draws do not differ. Good to about a hundredth.
func rightly(between, within float64, draws, bouts, truths int, level float64) float64 {
	if !(between > 0 && within > 0) {
		return math.NaN()
	}
	r := rand.New(rand.NewPCG(1, 2))
	square := distuv.ChiSquared{K: float64(bouts - 1), Src: r}
	groups, n := make([]infer.Group, draws), float64(bouts)
	resolved, inside := 0.0, 0.0
	for range 2000 {
		truth := math.Sqrt(between+within/float64(truths)) * r.NormFloat64()
		for i := range groups {
			mean := math.Sqrt(between+within/n) * r.NormFloat64()
			groups[i] = infer.Group{N: n, Sum: n * mean, SumSq: n*mean*mean + within*square.Rand()}
		}
		if s := infer.Spread(groups, level); s.Resolved {
			resolved++
			if s.Low <= truth && truth <= s.High {
				inside++
			}
		}
	}
	return inside / resolved
}
