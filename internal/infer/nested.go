// Package infer turns counts and draws into estimates with bounds: variance components, and the intervals of a mean over outer draws
// (possible truths) and inner bouts (luck). It knows no word of fighting. What is drawn and what is counted is left to the caller.
package infer

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// Interval is a range with its level, from 0 to 1.
type Interval struct {
	Level float64 `json:"level"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// Group is the bouts of one draw: how many, their sum and sum of squares.
type Group struct{ N, Sum, SumSq float64 }

// Mean is the group's mean.
func (g Group) Mean() float64 { return g.Sum / g.N }

// Components splits the variance of equal-sized groups (one-way random effects; Searle, Casella & McCulloch 1992).
type Components struct {
	K        int
	N        float64 // bouts a draw
	Mean     float64
	MSB, MSW float64 // mean squares between and within groups
	Between  float64 // (MSB-MSW)/N; at or below zero the draws cannot be told apart
}

// Split works out the components. Groups must be of one size, of two bouts at least, and there must be two of them; Split
// panics otherwise.
func Split(groups []Group) Components {
	k := len(groups)
	if k < 2 {
		panic("infer: variance components need two groups")
	}
	c := Components{K: k, N: groups[0].N}
	total, within := 0.0, 0.0
	for _, g := range groups {
		if g.N != c.N {
			panic("infer: groups differ in size")
		}
		total += g.Sum
		within += g.SumSq - g.Sum*g.Sum/g.N
	}
	c.Mean = total / (float64(k) * c.N)
	between := 0.0
	for _, g := range groups {
		d := g.Mean() - c.Mean
		between += c.N * d * d
	}
	c.MSB = between / float64(k-1)
	if c.N < 2 {
		panic("infer: one bout a draw cannot tell draws from luck")
	}
	c.MSW = max(within/(float64(k)*(c.N-1)), 0)
	c.Between = (c.MSB - c.MSW) / c.N
	return c
}

// Resolved reports whether the draws differ by more than the luck of their bouts.
func (c Components) Resolved() bool { return c.Between > 0 }

// SE is the standard error of the grand mean: draws and bouts are both samples.
func (c Components) SE() float64 { return math.Sqrt(c.MSB / (float64(c.K) * c.N)) }

// Simulation is the confidence interval of the mean: what more bouts and draws would shrink (Student's t, K-1 degrees of freedom).
func (c Components) Simulation(level float64) Interval {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(c.K - 1)}.Quantile((1 + level) / 2)
	return Interval{level, c.Mean - t*c.SE(), c.Mean + t*c.SE()}
}

// Shrunk gives every draw's mean with the luck of its bouts taken out: moved to the grand mean by √(τ²/(τ²+σ²/N)), which makes the
// spread of the results τ. Unresolved draws all become the grand mean.
func Shrunk(groups []Group) []float64 {
	c := Split(groups)
	by := 0.0
	if c.Resolved() {
		by = math.Sqrt(c.Between / (c.Between + c.MSW/c.N))
	}
	out := make([]float64, len(groups))
	for i, g := range groups {
		out[i] = c.Mean + by*(g.Mean()-c.Mean)
	}
	return out
}

// Central is the central interval over shrunken draws: quantiles of type 7 (Hyndman & Fan 1996). It panics for fewer than two.
func Central(shrunk []float64, level float64) Interval {
	if len(shrunk) < 2 {
		panic("infer: an interval over draws needs two")
	}
	s := append([]float64(nil), shrunk...)
	sort.Float64s(s)
	return Interval{level, quantile(s, (1-level)/2), quantile(s, (1+level)/2)}
}

func quantile(sorted []float64, p float64) float64 {
	at := p * float64(len(sorted)-1)
	i := min(int(at), len(sorted)-2)
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}

// Above is the share of shrunken draws above zero, ties counting half.
func Above(shrunk []float64) float64 {
	n := 0.0
	for _, x := range shrunk {
		switch {
		case x > 0:
			n++
		case x == 0:
			n += .5
		}
	}
	return n / float64(len(shrunk))
}

// Pairs sums two values over pairs of bouts on the same luck.
type Pairs struct{ N, X, Y, XX, YY, XY float64 }

// Merge adds other pairs.
func (p *Pairs) Merge(q Pairs) {
	p.N, p.X, p.Y, p.XX, p.YY, p.XY = p.N+q.N, p.X+q.X, p.Y+q.Y, p.XX+q.XX, p.YY+q.YY, p.XY+q.XY
}

// Correlation is what pairing won; 0 when either value never changes.
func (p Pairs) Correlation() float64 {
	if p.N == 0 {
		return 0
	}
	x, y, xy := p.XX/p.N-p.X*p.X/p.N/p.N, p.YY/p.N-p.Y*p.Y/p.N/p.N, p.XY/p.N-p.X*p.Y/p.N/p.N
	if x <= 0 || y <= 0 {
		return 0
	}
	return xy / math.Sqrt(x*y)
}
