package calibrate

import (
	"math"
	"slices"
	"sort"

	"whatbout/internal/infer"
)

// fisher is the two-sided chance of shares at least as unlike as a of n and b of m if both were one share: Fisher's exact test, adding up
// every table with the same margins that is no likelier than the one seen (Fisher 1935, The Design of Experiments, chapter 2). The numbers
// are whole.
func fisher(a, n, b, m float64) float64 {
	hits := a + b
	low, high := max(0, hits-m), min(n, hits)
	seen := hypergeometric(a, n, m, hits)
	sum := 0.0
	for x := low; x <= high; x++ {
		if p := hypergeometric(x, n, m, hits); p <= seen*(1+1e-7) { // tables as likely as the one seen, but for rounding
			sum += p
		}
	}
	return min(sum, 1)
}

// hypergeometric is the chance that x of n are hits when so many of n+m are.
func hypergeometric(x, n, m, hits float64) float64 {
	return math.Exp(choose(n, x) + choose(m, hits-x) - choose(n+m, hits))
}

// choose is the logarithm of the number of ways to take k of n.
func choose(n, k float64) float64 {
	a, _ := math.Lgamma(n + 1)
	b, _ := math.Lgamma(k + 1)
	c, _ := math.Lgamma(n - k + 1)
	return a - b - c
}

// falseDiscovery adjusts chances for there being many of them: of the comparisons with an adjusted chance of at most q, about the share q is
// expected to be no difference (Benjamini & Hochberg 1995, JRSS-B 57, 289–300).
func falseDiscovery(p []float64) []float64 {
	order := make([]int, len(p))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return p[order[i]] < p[order[j]] })
	out := make([]float64, len(p))
	least := 1.0
	for rank, i := range slices.Backward(order) {
		least = min(least, p[i]*float64(len(p))/float64(rank+1))
		out[i] = least
	}
	return out
}

// rateDifference is the interval of a difference of two rates per minute, squared and added from the Garwood limits of each (Zou & Donner
// 2008, Stat. Med. 27, 1693–1702), and the two-sided chance of as large a difference from equal rates. Counts may be fractional.
func rateDifference(x1, t1, x2, t2, level float64) (infer.Interval, float64) {
	a, b := infer.Garwood(x1, t1, level), infer.Garwood(x2, t2, level)
	d := a.Centre - b.Centre
	i := infer.Interval{Level: level, Centre: d, Kind: infer.Confidence, Method: "square-and-add of Garwood limits", Count: x1 + x2,
		Low: d - math.Hypot(a.Centre-a.Low, b.High-b.Centre), High: d + math.Hypot(a.High-a.Centre, b.Centre-b.Low)}
	p := infer.CompareRates(x1, t1, x2, t2).ScoreP
	return i, 2 * min(p, 1-p)
}
