package tactics

import (
	"errors"
	"fmt"
)

// MaxRules is the largest number of rules of a plan.
const MaxRules = 32

// Compiled is a plan ready for a bout: for each rule the facts under which it holds as two words, and its multiples.
type Compiled struct {
	Plan    *Plan
	byPoint [NumPoints][]int
	rules   []compiledRule
}

type compiledRule struct {
	allowed   Facts
	multiples []float64
	keepTempo bool
}

// Compile checks a plan and makes it ready. It returns all faults joined.
func Compile(p *Plan) (*Compiled, error) {
	if len(p.Rules) > MaxRules {
		return nil, fmt.Errorf("plan %q has %d rules; at most %d can be followed", p.Name, len(p.Rules), MaxRules)
	}
	c := &Compiled{Plan: p}
	var faults []error
	for i := range p.Rules {
		r := &p.Rules[i]
		rule, err := compileRule(r)
		if err != nil {
			faults = append(faults, fmt.Errorf("plan %q, rule %q: %w", p.Name, r.Name, err))
		}
		c.rules = append(c.rules, rule)
		c.byPoint[r.At] = append(c.byPoint[r.At], i)
	}
	return c, errors.Join(faults...)
}

func compileRule(r *Rule) (compiledRule, error) {
	out := compiledRule{multiples: make([]float64, len(Alternatives(r.At))), keepTempo: r.KeepTempo}
	out.allowed = Facts{^uint64(0), ^uint64(0)}
	for fact, values := range r.When {
		var has Facts
		for _, v := range values {
			has.Set(fact, v)
		}
		for v := range fact.Values() {
			var bit Facts
			bit.Set(fact, v)
			for w := range bit {
				out.allowed[w] &^= bit[w] &^ has[w]
			}
		}
	}
	for i := range out.multiples {
		out.multiples[i] = 1
	}
	var faults []error
	if len(r.Only) > 0 {
		clear(out.multiples)
		for _, word := range r.Only {
			is, err := expand(r.At, word)
			faults = append(faults, err)
			for _, i := range is {
				out.multiples[i] = 1
			}
		}
	}
	for _, m := range r.Multiples {
		is, err := expand(r.At, m.What)
		faults = append(faults, err)
		if !(m.By >= 0 && m.By <= 20) {
			faults = append(faults, fmt.Errorf("a multiple of %v; expected 0 to 20", m.By))
		}
		for _, i := range is {
			out.multiples[i] *= m.By
		}
	}
	if allZero(out.multiples) && r.At != Believe {
		faults = append(faults, fmt.Errorf("it forbids everything at the %s point; leave something to do", r.At))
	}
	return out, errors.Join(faults...)
}

func allZero(xs []float64) bool {
	for _, x := range xs {
		if x != 0 {
			return false
		}
	}
	return true
}

// Rules gives how many rules the plan has at a point.
func (c *Compiled) Rules(at Point) int { return len(c.byPoint[at]) }

// Active gives the rules at a point that hold under the facts, as bits.
func (c *Compiled) Active(at Point, facts *Facts) uint32 {
	mask := uint32(0)
	for _, i := range c.byPoint[at] {
		a := &c.rules[i].allowed
		if facts[0]&^a[0]|facts[1]&^a[1] == 0 {
			mask |= 1 << i
		}
	}
	return mask
}

// Multipliers fills out, one value an alternative of the point, with the product of the multiples of the rules in mask.
func (c *Compiled) Multipliers(at Point, mask uint32, out []float64) {
	for i := range out {
		out[i] = 1
	}
	for _, r := range c.byPoint[at] {
		if mask>>r&1 == 1 {
			for i, m := range c.rules[r].multiples {
				out[i] *= m
			}
		}
	}
}

// BeliefOdds is the multiple of the odds of taking an onset as real under the rules in mask.
func (c *Compiled) BeliefOdds(mask uint32) float64 {
	var out [1]float64
	c.Multipliers(Believe, mask, out[:])
	return out[0]
}

// KeepTempo reports whether a rule in mask keeps the tempo.
func (c *Compiled) KeepTempo(mask uint32) bool {
	for i := range c.rules {
		if mask>>i&1 == 1 && c.rules[i].keepTempo {
			return true
		}
	}
	return false
}
