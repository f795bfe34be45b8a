package infer

import (
	"slices"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// Median is the median with the interval between two order statistics, which covers with at least the level whatever the distribution
// (Hahn & Meeker 1991, Statistical Intervals, section 5.2). Without values it says nothing; with too few for the level its bounds are their
// whole range, with a warning. Count is the values.
func Median(values []float64, level float64) Interval {
	i := Interval{Level: level, Kind: Confidence, Method: "order statistics", Count: float64(len(values))}
	p, n := tail(level), len(values)
	if n == 0 {
		i.warn("nothing was counted")
		return i
	}
	s := slices.Clone(values)
	slices.Sort(s)
	i.Centre = (s[(n-1)/2] + s[n/2]) / 2
	// The largest k with P(fewer than k of n below the median) ≤ p.
	half := distuv.Binomial{N: float64(n), P: .5}
	k := sort.Search(n/2, func(k int) bool { return half.CDF(float64(k)) > p })
	if k == 0 {
		i.warn("%d values are too few for this level: the bounds are their whole range", n)
		k = 1
	}
	i.Low, i.High = s[k-1], s[n-k]
	return i
}
