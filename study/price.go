package study

import (
	"whatbout/internal/infer"
)

// prices are what a plan may not raise above fighting as usual unless harm is accepted.
var prices = []int{MeasureNamed("head_strikes_absorbed"), MeasureNamed("knockdowns_suffered"), MeasureNamed("loss_by_stoppage")}

// HarmMargin is how far above as usual, as a share of its figure, a price may come out while the simulation cannot tell it from none.
const HarmMargin = .02

// Harm says how a plan stands to a price.
type Harm string

// The stands.
const (
	Raises    Harm = "raises"    // the interval of the mean lies above as usual
	MayRaise  Harm = "may raise" // not told from as usual, but more than HarmMargin above it
	NotTold   Harm = "not told"  // not told from as usual, and no more than HarmMargin above it
	Lowers    Harm = "lowers"    // the interval lies below as usual
	Unchanged Harm = "unchanged" // no bout differs
)

// Price is what a plan costs in one measure of harm, against as usual.
type Price struct {
	Outcome    string         `json:"outcome"`
	Usual      float64        `json:"as_usual"`
	Difference float64        `json:"difference"`
	Simulation infer.Interval `json:"simulation"`
	Chance     float64        `json:"chance_raised"` // over all doubt, given the model
	Stand      Harm           `json:"stand"`
}

// stands reports whether one of a plan's prices stands like that.
func stands(prices []Price, as Harm) bool {
	for i := range prices {
		if prices[i].Stand == as {
			return true
		}
	}
	return false
}

// priceOf compares a plan's bouts with those as usual on the same luck.
func priceOf(measure int, pairs []infer.Pairs, level float64) Price {
	groups, usual := make([]infer.Group, len(pairs)), infer.Pairs{}
	for k, p := range pairs {
		groups[k] = p.Difference()
		usual.Merge(p)
	}
	c := infer.Split(groups)
	p := Price{Outcome: Measures[measure].Name, Usual: usual.Y / usual.N, Difference: c.Mean, Simulation: c.Simulation(level), Stand: NotTold,
		Chance: infer.Better(groups, false).Value}
	switch {
	case c.Mean == 0 && c.MSB == 0 && c.MSW == 0:
		p.Stand = Unchanged
	case p.Simulation.Low > 0:
		p.Stand = Raises
	case p.Simulation.High < 0:
		p.Stand = Lowers
	case c.Mean > HarmMargin*p.Usual:
		p.Stand = MayRaise
	}
	return p
}
