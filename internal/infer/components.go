package infer

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Group is the bouts of one draw: how many, their sum and sum of squares. Sums of integer tallies are exact up to 2⁵³; of values whose
// mean is far larger than their spread, subtract a constant first.
type Group struct{ N, Sum, SumSq float64 }

// Add counts a value.
func (g *Group) Add(x float64) { g.N, g.Sum, g.SumSq = g.N+1, g.Sum+x, g.SumSq+x*x }

// Mean is the group's mean.
func (g Group) Mean() float64 { return g.Sum / g.N }

// squares is the sum of squares about the group's mean; rounding must not make it negative.
func (g Group) squares() float64 { return max(g.SumSq-g.Sum*g.Sum/g.N, 0) }

// Interval is Student's interval for the mean of one plain sample of at least two.
func (g Group) Interval(level float64) Interval {
	if g.N < 2 {
		panic("infer: an interval for a mean needs two values")
	}
	half := studentQuantile(level, g.N-1) * math.Sqrt(g.squares()/(g.N-1)/g.N)
	return Interval{Level: level, Low: g.Mean() - half, High: g.Mean() + half, Centre: g.Mean(), Kind: Confidence, Method: "Student t",
		Count: g.N}
}

// Components splits the variance of a one-way layout with random groups by the analysis of variance (Searle, Casella & McCulloch 1992,
// Variance Components, chapter 3).
type Components struct {
	K        int
	Total    float64 // values in all groups
	N        float64 // values a group; for unequal groups (T-Σn²/T)/(K-1), which stands for it in the expected mean square
	Mean     float64 // mean of the group means: every draw counts the same, whatever the bouts it got
	VarMeans float64 // variance of the group means, divisor K-1
	MSB, MSW float64 // mean squares between and within groups
	Between  float64 // τ² = (MSB-MSW)/N, not floored; at or below zero the groups cannot be told apart

	pooled float64 // degrees of freedom of MSB and Between where they are pooled with those of other draws; 0: K-1
}

// Split works out the components. There must be at least two groups, a value in each and two in one of them, or it panics: with one
// value a group luck would pass for a difference between groups.
func Split(groups []Group) Components {
	k := len(groups)
	if k < 2 {
		panic("infer: variance components need two groups")
	}
	c := Components{K: k}
	total, squares, within := 0.0, 0.0, 0.0
	for i, g := range groups {
		if !(g.N >= 1) {
			panic(fmt.Sprintf("infer: group %d is empty", i))
		}
		c.Total += g.N
		c.Mean += g.Mean() / float64(k)
		total += g.Sum
		squares += g.N * g.N
		within += g.squares()
	}
	c.N = (c.Total - squares/c.Total) / float64(k-1)
	for _, g := range groups {
		d, w := g.Mean()-c.Mean, g.Mean()-total/c.Total
		c.VarMeans += d * d / float64(k-1)
		c.MSB += g.N * w * w / float64(k-1)
	}
	if c.dfWithin() < 1 {
		panic("infer: one bout a draw cannot tell draws from luck")
	}
	c.MSW = within / c.dfWithin()
	c.Between = (c.MSB - c.MSW) / c.N
	return c
}

func (c Components) dfWithin() float64 { return c.Total - float64(c.K) }

// Resolved reports whether the groups differ by more than the luck within them. It is no test: half of all layouts without any
// difference come out resolved, with a small Between.
func (c Components) Resolved() bool { return c.Between > 0 }

// SD is τ, the spread of the groups' expected values; 0 where it is not resolved.
func (c Components) SD() float64 { return math.Sqrt(max(c.Between, 0)) }

// Correlation is the intraclass correlation τ²/(τ²+σ²), 0 where it is not resolved.
func (c Components) Correlation() float64 {
	if !c.Resolved() {
		return 0
	}
	return c.Between / (c.Between + c.MSW)
}

// SE is the standard error of the mean over fresh groups and fresh luck: √(MSB/(K·N)) for equal groups.
func (c Components) SE() float64 { return math.Sqrt(c.VarMeans / float64(c.K)) }

// Test is the variance ratio F = MSB/MSW and the chance of one as large from groups that do not differ. Without luck within groups F has
// no meaning: it is then 0, and the chance 1.
func (c Components) Test() (f, p float64) {
	if c.MSW == 0 {
		return 0, 1
	}
	f = c.MSB / c.MSW
	return f, distuv.F{D1: float64(c.K - 1), D2: c.dfWithin()}.Survival(f)
}

// Ratio is the interval for τ²/σ², exact for normal values in equal groups (Searle, Casella & McCulloch 1992, section 3.6). A negative
// limit stands as it comes out; it means that no difference at all is compatible. It panics if MSW is 0.
func (c Components) Ratio(level float64) Interval {
	if c.MSW == 0 {
		panic("infer: no variance within groups to compare with")
	}
	f := c.MSB / c.MSW
	i := Interval{Level: level, Centre: (f - 1) / c.N, Kind: Confidence, Method: "variance ratio", Count: float64(c.K)}
	i.Low = c.ratioLimit(1 - tail(level))
	i.High = c.ratioLimit(tail(level))
	if c.N*float64(c.K) != c.Total {
		i.warn("groups differ in size: the limits are approximate")
	}
	return i
}

func (c Components) ratioLimit(p float64) float64 {
	q := distuv.F{D1: c.dfBetween(), D2: c.dfWithin()}.Quantile(p)
	return (c.MSB/c.MSW/q - 1) / c.N
}

// AtMost is an upper confidence limit for τ, one-sided: the variance ratio's limit times MSW. It is the answer to "how large may the
// spread be that was not resolved". A ratio F below 1 counts as 1, since means that happen to lie evenly are no evidence of less than
// nothing; the limit then covers with more than its level. Where nothing varies within groups it is the χ² limit of their own spread.
func (c Components) AtMost(level float64) float64 {
	tail(level)
	if c.MSW == 0 {
		df, square := float64(c.K-1), c.VarMeans
		if c.pooled > 0 {
			df, square = c.pooled, max(c.Between, 0)
		}
		return math.Sqrt(square * df / distuv.ChiSquared{K: df}.Quantile(1-level))
	}
	c.MSB = max(c.MSB, c.MSW)
	return math.Sqrt(max(c.ratioLimit(1-level)*c.MSW, 0))
}

// Simulation is the confidence interval of the mean, by Student's t of the group means with K-1 degrees of freedom: what more draws and
// bouts would shrink. Count is the draws.
func (c Components) Simulation(level float64) Interval {
	half := studentQuantile(level, float64(c.K-1)) * c.SE()
	i := Interval{Level: level, Low: c.Mean - half, High: c.Mean + half, Centre: c.Mean, Kind: Confidence,
		Method: "Student t of draw means", Count: float64(c.K)}
	if c.K < fewDraws {
		i.warn("only %d draws: skewed draw means may miss the level", c.K)
	}
	return i
}

// Below this many draws Student's t leans on normal draw means.
const fewDraws = 30

// BetweenSE is the standard error of Between, from the mean squares of normal values (Searle, Casella & McCulloch 1992, section 3.5).
func (c Components) BetweenSE() float64 {
	return math.Sqrt(2*(c.MSB*c.MSB/c.dfBetween()+c.MSW*c.MSW/c.dfWithin())) / c.N
}
