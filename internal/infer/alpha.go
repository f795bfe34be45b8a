package infer

import (
	"math/rand/v2"
	"slices"
)

// Metric says how far apart two values are.
type Metric uint8

// The metrics: equal or not, and the squared distance.
const (
	Nominal Metric = iota
	IntervalMetric
)

// Alpha is Krippendorff's alpha (Krippendorff 2011, Computing Krippendorff's Alpha-Reliability): 1 - observed/expected disagreement.
// A unit lists the values that coders gave it, in any order; who gave none is left out, and a unit with fewer than two values is not
// pairable and dropped. Count is the pairable units. Bounds are bootstrap percentiles over units, from resamples samples of src (at least
// two; not nil): they take units to be independent.
//
// For nominal values Observed and Expected are agreements (1 - disagreement). For the interval metric chance has no share of agreement:
// Expected is 0 and Observed alpha itself.
func Alpha(units [][]float64, metric Metric, level float64, resamples int, src rand.Source) Coefficient {
	p := pairable(units)
	method := "Krippendorff's alpha, nominal, bootstrap over units"
	if metric == IntervalMetric {
		method = "Krippendorff's alpha, interval, bootstrap over units"
	}
	n := float64(len(p))
	if len(p) == 0 {
		return coefficient(0, 0, 0, level, method)
	}
	s := newAlphaSums(p, metric)
	all := make([]int, len(p))
	for i := range all {
		all[i] = i
	}
	observed, expected := s.disagreement(all)
	if expected == 0 {
		return coefficient(1, 1, n, level, method)
	}
	c := coefficient(1-observed, 1-expected, n, level, method)
	if metric == IntervalMetric {
		c = coefficient(1-observed/expected, 0, n, level, method)
	}
	c.Apart = s.apart()
	c.percentile(bootstrap(len(p), resamples, src, func(pick []int) (float64, bool) {
		do, de := s.disagreement(pick)
		return 1 - do/de, de > 0
	}), resamples)
	return c
}

// pairable keeps units of two values and more, moved so that large values (clocks) lose no digits when squared.
func pairable(units [][]float64) (out [][]float64) {
	base, found := 0.0, false
	for _, u := range units {
		if len(u) < 2 {
			continue
		}
		if !found {
			base, found = slices.Min(u), true
		}
		moved := slices.Clone(u)
		for i := range moved {
			moved[i] -= base
		}
		out = append(out, moved)
	}
	return out
}

// alphaSums holds what each unit adds to the sums over all pairable values, so that a bootstrap sample costs a few additions a unit.
type alphaSums struct {
	metric Metric
	values int // distinct ones
	of     [][]int
	sizes  []float64
	within []float64 // disagreement within the unit, times its size
	sum    []float64
	square []float64
	count  []float64 // scratch, by distinct value
}

func newAlphaSums(units [][]float64, metric Metric) *alphaSums {
	var distinct []float64
	for _, u := range units {
		distinct = append(distinct, u...)
	}
	slices.Sort(distinct)
	distinct = slices.Compact(distinct)
	s := &alphaSums{metric: metric, values: len(distinct), count: make([]float64, len(distinct))}
	for _, u := range units {
		index := make([]int, len(u))
		sum, square := 0.0, 0.0
		for i, x := range u {
			index[i], _ = slices.BinarySearch(distinct, x)
			sum, square = sum+x, square+x*x
		}
		s.of = append(s.of, index)
		s.sizes = append(s.sizes, float64(len(u)))
		s.sum, s.square = append(s.sum, sum), append(s.square, square)
		s.within = append(s.within, apartWithin(u, metric)/float64(len(u)-1))
	}
	return s
}

// apartWithin sums the distance over ordered pairs.
func apartWithin(u []float64, metric Metric) (sum float64) {
	for i, x := range u {
		for _, y := range u[:i] {
			switch {
			case metric == IntervalMetric:
				sum += 2 * (x - y) * (x - y)
			case x != y:
				sum += 2
			}
		}
	}
	return sum
}

func (s *alphaSums) apart() (n float64) {
	for _, w := range s.within {
		if w > 0 {
			n++
		}
	}
	return n
}

// disagreement gives observed and expected disagreement of a sample of units.
func (s *alphaSums) disagreement(pick []int) (observed, expected float64) {
	n, sum, square := 0.0, 0.0, 0.0
	clear(s.count)
	for _, u := range pick {
		n += s.sizes[u]
		observed += s.within[u]
		sum, square = sum+s.sum[u], square+s.square[u]
		if s.metric == Nominal {
			for _, v := range s.of[u] {
				s.count[v]++
			}
		}
	}
	if s.metric == IntervalMetric {
		return observed / n, max(2*(n*square-sum*sum)/(n*(n-1)), 0)
	}
	same := 0.0
	for _, x := range s.count {
		same += x * (x - 1)
	}
	return observed / n, 1 - same/(n*(n-1))
}
