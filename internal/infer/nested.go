package infer

import (
	"math"
	"slices"
)

// Shrunk gives every draw's mean with the luck of its bouts taken out: moved to the grand mean by √(τ²/(τ²+σ²/n)), n its own bouts,
// which makes the spread of the results τ. (Pulling each as far as its own best guess asks would make them too narrow: Louis 1984, J.
// Am. Stat. Assoc. 79, 393–398.) Unresolved draws all become the grand mean. Only mean and spread are restored: what luck did to the
// shape stays.
func Shrunk(groups []Group) []float64 { return shrunk(Split(groups), groups) }

func shrunk(c Components, groups []Group) []float64 {
	out := make([]float64, len(groups))
	for i, g := range groups {
		by := 0.0
		if c.Resolved() {
			by = c.shrinkage(g.N)
		}
		out[i] = c.Mean + by*(g.Mean()-c.Mean)
	}
	return out
}

// shrinkage is what draws of n bouts are pulled to the mean by so that their spread is τ. Where τ is pooled with other draws' their own may lie
// closer than luck alone would have it, and are pushed out.
func (c Components) shrinkage(n float64) float64 {
	apart := c.Between + c.MSW/n
	if c.pooled > 0 {
		apart = c.VarMeans
	}
	if apart == 0 {
		return 0
	}
	return math.Sqrt(c.Between / apart)
}

// Central is the central interval over draws, by quantiles of type 6 (Hyndman & Fan 1996, Am. Stat. 50, 361–365; Weibull): the
// p-quantile is order statistic p(K+1), so that a further draw falls inside with the level's probability, whatever their distribution.
// Type 7, the default of many libraries, would hold it with (K-1)/(K+1) of that. Equal draws stand at their mean rank: means of few
// bouts lie on a lattice, and a bound should not jump from point to point (mid-quantiles; Ma, Genton & Parzen 2011, Ann. Inst. Stat. Math.
// 63, 227–243). With K+1 below 2/(1-level) the interval cannot reach its level; it is then the whole range, with a warning. Centre is
// the mean of the draws. There must be at least two.
func Central(draws []float64, level float64) Interval {
	k := len(draws)
	if k < 2 {
		panic("infer: an interval over draws needs two of them")
	}
	s := slices.Clone(draws)
	slices.Sort(s)
	i := Interval{Level: level, Low: quantile(s, tail(level)), High: quantile(s, 1-tail(level)), Kind: OverDraws,
		Method: "quantiles of type 6", Count: float64(k)}
	for _, x := range s {
		i.Centre += x / float64(k)
	}
	switch beyond := tail(level) * float64(k+1); {
	case beyond < 1-1e-9: // at a level like 0.9 the tail is 0.05 less rounding
		i.warn("%d draws are too few for this level: the bounds are their whole range", k)
	case beyond < 5-1e-9:
		i.warn("each bound rests on fewer than 5 of %d draws", k)
	}
	return i
}

// quantile interpolates between distinct values, each at its mean rank, and holds to the range.
func quantile(sorted []float64, p float64) float64 {
	at := p * float64(len(sorted)+1)
	last, lastRank := sorted[0], 0.0
	for i := 0; i < len(sorted); {
		end := i
		for end < len(sorted) && sorted[end] == sorted[i] {
			end++
		}
		rank := float64(i+1+end) / 2
		if at <= rank {
			if i == 0 {
				return sorted[0]
			}
			return last + (at-lastRank)/(rank-lastRank)*(sorted[i]-last)
		}
		last, lastRank, i = sorted[i], rank, end
	}
	return last
}

// Spreading is how far draws differ once luck is out.
type Spreading struct {
	Interval
	Resolved bool    `json:"resolved"` // false: the bounds are both the grand mean, and only AtMost says anything
	SD       float64 `json:"sd"`       // τ
	AtMost   float64 `json:"at_most"`  // upper 95 % confidence limit of τ
	Between  float64 `json:"-"`        // estimate of τ² without bias, below 0 where luck has it so: to be averaged over many
	MeanSE   float64 `json:"-"`        // of the grand mean, over fresh draws and luck
}

// Spread is the central interval over shrunken draws: of tape doubt, if the draws had tape's figures alone, of all doubt if they had all.
func Spread(groups []Group, level float64) Spreading {
	return spreading(Split(groups), groups, level)
}

func spreading(c Components, groups []Group, level float64) Spreading {
	s := Spreading{Interval: Central(shrunk(c, groups), level), Resolved: c.Resolved(), SD: c.SD(), AtMost: c.AtMost(.95), Between: c.Between, MeanSE: c.SE()}
	s.Method = "shrunken draw means, " + s.Method
	if !s.Resolved && s.AtMost > 0 {
		s.Warnings = nil
		s.warn("not resolved: the draws differ by no more than the luck of their bouts; more bouts a draw would tell")
	}
	return s
}

// Above is the share of values above zero, ties counting half.
func Above(values []float64) float64 {
	n := 0.0
	for _, x := range values {
		n += step(x)
	}
	return n / float64(len(values))
}

func step(x float64) float64 {
	switch {
	case x > 0:
		return 1
	case x == 0:
		return .5
	}
	return 0
}
