package tactics

import (
	"fmt"
	"math/bits"
)

// Rules gives how many rules the plan has at a point.
func (c *Compiled) Rules(at Point) int { return len(c.byPoint[at]) }

// Active gives the rules at a point that hold under the facts: bit i for rule i of the plan.
func (c *Compiled) Active(at Point, facts *Facts) uint32 {
	mask := uint32(0)
	for i := range c.byPoint[at] {
		k := &c.byPoint[at][i]
		if bits.OnesCount64(facts[0]&k.want[0])+bits.OnesCount64(facts[1]&k.want[1]) == k.named {
			mask |= 1 << k.rule
		}
	}
	return mask
}

// Multipliers fills out, one value an alternative of the point, with the product of the multiples of the point's rules in mask.
func (c *Compiled) Multipliers(at Point, mask uint32, out []float64) {
	if len(out) != len(Alternatives(at)) {
		panic(fmt.Sprintf("tactics: %d places for %d multipliers", len(out), len(Alternatives(at))))
	}
	for i := range out {
		out[i] = 1
	}
	for i := range c.byPoint[at] {
		if r := c.byPoint[at][i].rule; mask>>r&1 == 1 {
			multiply(out, c.rules[r].multiples)
		}
	}
}

// Most is the largest multiple that an act can get at initiate, whichever rules hold; at least 1.
func (c *Compiled) Most(alternative int) float64 {
	most := 1.0
	for i := range c.byPoint[Initiate] {
		most *= max(c.rules[c.byPoint[Initiate][i].rule].multiples[alternative], 1)
	}
	return most
}

// BeliefOdds is the multiple of the odds of taking an onset as real under the rules in mask.
func (c *Compiled) BeliefOdds(mask uint32) float64 {
	var out [1]float64
	c.Multipliers(Believe, mask, out[:])
	return out[0]
}

// KeepTempo reports whether a rule in mask keeps the tempo.
func (c *Compiled) KeepTempo(mask uint32) bool { return mask&c.tempo != 0 }

// Adherence is the centre of the share of decisions at which a fresh fighter follows the rule of that index, from 0 to 1.
func (c *Compiled) Adherence(rule int) float64 { return c.adherence(rule).Share }

func (c *Compiled) adherence(rule int) Adherence {
	if own := c.Plan.Rules[rule].Adherence; own != nil {
		return *own
	}
	return c.Plan.Adherence
}

// Shares gives every rule's share of decisions, from 0 to 1, z standard deviations from its centre. A fighter who follows one rule
// better than expected follows the others better, too: one z for all.
func (c *Compiled) Shares(z float64) []float64 {
	out := make([]float64, len(c.rules))
	for i := range out {
		a := c.adherence(i)
		out[i] = min(max(a.Share+float64(a.SD*z), 0), 1)
	}
	return out
}
