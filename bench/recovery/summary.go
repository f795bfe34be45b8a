package main

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/fighter"
)

// summary is the ranks of one class.
type summary struct{ shares []float64 }

type summaries map[string]*summary

func (s summaries) classes() []string { return slices.Sorted(maps.Keys(s)) }

// spoil changes a league's tape before it is calibrated, or a profile after: a planted fault. Either may be nil.
type spoil struct {
	tape    func(*league)
	profile func(*fighter.Profile)
}

// measure ranks the truths of so many leagues, with a fault planted or nil.
func measure(seed uint64, leagues, fighters, rounds int, fault *spoil) (summaries, error) {
	sums := summaries{}
	for k := range leagues {
		l, err := newLeague(seed+uint64(k), fighters, rounds)
		if err != nil {
			return nil, err
		}
		if fault != nil && fault.tape != nil {
			fault.tape(l)
		}
		profiles, err := l.calibrated()
		if err != nil {
			return nil, err
		}
		for i, id := range l.ids {
			if fault != nil && fault.profile != nil {
				fault.profile(profiles[id])
			}
			for _, r := range ranks(profiles[id], l.truths[i]) {
				sums.add(r)
			}
		}
	}
	return sums, nil
}

func (s summaries) add(r rank) {
	c := r.class()
	if s[c] == nil {
		s[c] = &summary{}
	}
	s[c].shares = append(s[c].shares, r.share)
}

// inside gives the share of truths in the middle of their posteriors, as much of it as level.
func (s *summary) inside(level float64) float64 {
	n := 0.0
	for _, x := range s.shares {
		if math.Abs(x-.5) < level/2 {
			n++
		}
	}
	return n / float64(len(s.shares))
}

// zs gives the ranks as normal deviates; one at the very edge is held within 8.
func (s *summary) zs() []float64 {
	out := make([]float64, len(s.shares))
	for i, x := range s.shares {
		out[i] = distuv.UnitNormal.Quantile(min(max(x, 1e-15), 1-1e-15))
	}
	return out
}

func (s *summary) mean() float64 { return stat.Mean(s.zs(), nil) }
func (s *summary) sd() float64   { return stat.StdDev(s.zs(), nil) }

// uniform gives the chance of ranks that lie as far from uniform as these (Kolmogorov-Smirnov), if they were independent and uniform.
func (s *summary) uniform() float64 {
	sorted := slices.Sorted(slices.Values(s.shares))
	n, most := float64(len(sorted)), 0.0
	for i, x := range sorted {
		most = max(most, x-float64(i)/n, float64(i+1)/n-x)
	}
	return kolmogorov(most * math.Sqrt(n))
}

// kolmogorov gives the chance that √n times the largest distance is at least x, for large n (Kolmogorov 1933): 2 Σ (-1)^(k-1) exp(-2k²x²).
func kolmogorov(x float64) float64 {
	if x < .2 {
		return 1 // to 15 digits
	}
	sum, sign := 0.0, 2.0
	for k := 1.0; k < 100; k++ {
		sum += sign * math.Exp(-2*k*k*x*x)
		sign = -sign
	}
	return min(max(sum, 0), 1)
}
