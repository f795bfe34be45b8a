package study

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/internal/infer"
)

// Difference is plan less baseline in one measure.
type Difference struct {
	Plan     string `json:"plan"`
	Baseline string `json:"baseline"`
	Outcome  string `json:"outcome"`
	Doubts
	ProbabilityBetter float64    `json:"probability_better"` // of the expected difference, given the model; ½ if nothing ever differs
	ProbabilityError  float64    `json:"probability_better_se"`
	ProbabilityOther  *float64   `json:"probability_better_if_draws_differ,omitempty"` // where draws are not told apart: if they differ by as much as AtMost
	Pairs             int        `json:"pairs"`                                        // of bouts on the same luck, in the draws of both doubts
	Correlation       float64    `json:"correlation"`                                  // within draws, that pairing won
	CorrelationError  float64    `json:"correlation_se"`
	Saved             *float64   `json:"saved,omitempty"` // separate bouts that one paired bout is worth; nil: nothing differs in any
	SignResolved      Resolution `json:"sign_resolved"`
}

// Resolution says how far a difference can be told from none.
type Resolution string

// The degrees.
const (
	// Resolved: all doubt leaves the sign.
	Resolved Resolution = "yes"
	// MeanResolved: the mean is told from none, but some possible truths lie on the other side.
	MeanResolved Resolution = "mean only"
	// Unresolved: the simulation cannot tell the mean from none; more bouts might.
	Unresolved Resolution = "no"
	// Same: no bout differed.
	Same Resolution = "same"
)

func (q *Comparison) difference(all, tapeOnly []slot, p, m int) Difference {
	groups, ofTape := differences(all, p, m), differences(tapeOnly, p, m)
	d := Difference{Plan: q.Plans[p].Name, Baseline: q.Plans[0].Name, Outcome: Measures[m].Name, Doubts: doubts(groups, ofTape, q.Level)}
	better := infer.BetterOf(groups, ofTape, Measures[m].Lower)
	d.ProbabilityBetter, d.ProbabilityError = better.Value, better.SE
	if !better.Resolved && d.AllDoubt.AtMost > 0 {
		d.ProbabilityOther = new(otherChance(&d, Measures[m].Lower))
	}
	pairing := infer.PoolPairs(pairs(all, p, m))
	d.Pairs, d.Correlation, d.CorrelationError = int(pairing.Pairs), pairing.Correlation, pairing.SE
	if saved, finite := pairing.Saved(); finite {
		d.Saved = &saved
	}
	d.SignResolved = resolution(&d)
	return d
}

// otherChance is the chance of being better if draws differ by as much as they may without being told apart, normally.
func otherChance(d *Difference, lower bool) float64 {
	mean := d.Mean
	if lower {
		mean = -mean
	}
	se := d.Simulation.Width() / 2 / distuv.UnitNormal.Quantile((1+d.Simulation.Level)/2)
	return distuv.UnitNormal.CDF(mean / math.Hypot(d.AllDoubt.AtMost, se))
}

// resolution compares the intervals with none.
func resolution(d *Difference) Resolution {
	low, high := possible(d)
	switch {
	case d.Mean == 0 && d.Simulation.Width() == 0 && d.AllDoubt.AtMost == 0:
		return Same
	case d.Simulation.Holds(0):
		return Unresolved
	case low <= 0 && high >= 0:
		return MeanResolved
	}
	return Resolved
}

// possible is the all-doubt interval. Where the draws could not be told apart that has no width, which is no knowledge: the spread may
// then be as large as its upper limit.
func possible(d *Difference) (low, high float64) {
	if d.AllDoubt.Resolved {
		return d.AllDoubt.Low, d.AllDoubt.High
	}
	half := distuv.UnitNormal.Quantile((1+d.AllDoubt.Level)/2) * d.AllDoubt.AtMost
	return min(d.Mean-half, d.Simulation.Low), max(d.Mean+half, d.Simulation.High)
}

func pairs(slots []slot, p, m int) []infer.Pairs {
	out := make([]infer.Pairs, len(slots))
	for i := range slots {
		out[i] = slots[i].pairs[p-1][m]
	}
	return out
}

// differences is plan less baseline, a group a draw.
func differences(slots []slot, p, m int) []infer.Group {
	out := make([]infer.Group, len(slots))
	for i := range slots {
		out[i] = slots[i].pairs[p-1][m].Difference()
	}
	return out
}
