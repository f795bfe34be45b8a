package tactics

import (
	"errors"
	"fmt"
	"math/bits"
)

// MaxRules is the largest number of rules of a plan.
const MaxRules = 32

// Compiled is a plan ready for a bout: for each rule the facts under which it holds as two words, and its multiples. It is not
// changed after Compile and may be shared.
type Compiled struct {
	Plan    *Plan
	byPoint [NumPoints][]condition
	rules   []compiledRule
	tempo   uint32 // the rules that keep the tempo
}

// condition holds when as many of the wanted bits are set as facts are named: a fact has at most one value.
type condition struct {
	want  Facts
	named int
	rule  uint8
}

type compiledRule struct {
	at        Point
	multiples []float64
}

// Compile checks a plan and makes it ready. It returns all faults joined, and then no plan.
func Compile(p *Plan) (*Compiled, error) {
	if len(p.Rules) > MaxRules {
		return nil, fmt.Errorf("plan %q has %d rules; at most %d can be followed", p.Name, len(p.Rules), MaxRules)
	}
	c := &Compiled{Plan: p}
	var faults []error
	if err := p.Adherence.check(); err != nil {
		faults = append(faults, fmt.Errorf("plan %q: %w", p.Name, err))
	}
	for i := range p.Rules {
		r := &p.Rules[i]
		if err := c.add(r); err != nil {
			faults = append(faults, fmt.Errorf("plan %q, rule %q: %w", p.Name, r.Name, err))
		}
	}
	if len(faults) == 0 {
		faults = append(faults, c.leavesSomething())
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	return c, nil
}

// add compiles one rule. A rule with faults is not added.
func (c *Compiled) add(r *Rule) error {
	if r.At >= NumPoints {
		return fmt.Errorf("there is no choice point %d", r.At)
	}
	when, whenFault := compileWhen(r)
	multiples, whatFault := compileWhat(r)
	if err := errors.Join(whenFault, whatFault, checkRule(r)); err != nil {
		return err
	}
	when.rule = uint8(len(c.rules))
	if r.KeepTempo {
		c.tempo |= 1 << when.rule
	}
	c.rules = append(c.rules, compiledRule{r.At, multiples})
	c.byPoint[r.At] = append(c.byPoint[r.At], when)
	return nil
}

func compileWhen(r *Rule) (condition, error) {
	out := condition{named: len(r.When)}
	var faults []error
	for fact := range NumFacts {
		values, named := r.When[fact]
		if named && len(values) == 0 {
			faults = append(faults, fmt.Errorf("no value of %s counts; leave the fact out or name one", fact))
		}
		if named && !fact.knownAt(r.At) {
			faults = append(faults, fmt.Errorf("%s is known at believe and defend only, not at %s", fact, r.At))
		}
		for _, v := range values {
			if v < 0 || v >= len(fact.Values()) {
				faults = append(faults, fmt.Errorf("%s has no value %d", fact, v))
				continue
			}
			out.want.Set(fact, v)
		}
	}
	for fact := range r.When {
		if fact >= NumFacts {
			faults = append(faults, fmt.Errorf("there is no fact %d", fact))
		}
	}
	return out, errors.Join(faults...)
}

func compileWhat(r *Rule) ([]float64, error) {
	out := ones(len(Alternatives(r.At)))
	var faults []error
	if len(r.Only) > 0 {
		clear(out)
	}
	for _, word := range r.Only {
		is, err := expand(r.At, word)
		faults = append(faults, err)
		for _, i := range is {
			out[i] = 1
		}
	}
	seen := map[string]bool{}
	for _, m := range r.Multiples {
		is, err := expand(r.At, m.What)
		faults = append(faults, err)
		if !(m.By >= 0 && m.By <= MaxMultiple) {
			faults = append(faults, fmt.Errorf("a multiple of %v; expected 0 to %d", m.By, MaxMultiple))
		}
		if seen[m.What] {
			faults = append(faults, fmt.Errorf("%q is re-weighted twice; give one multiple", m.What))
		}
		seen[m.What] = true
		for _, i := range is {
			out[i] *= m.By
		}
	}
	return out, errors.Join(faults...)
}

// MaxMultiple is the largest multiple a rule may ask for; what is done twenty times as often is another fighter.
const MaxMultiple = 20

// checkRule finds what is wrong with a rule as a whole.
func checkRule(r *Rule) error {
	var faults []error
	if len(r.Only) == 0 && len(r.Multiples) == 0 {
		faults = append(faults, errors.New("it re-weights nothing; give never, only or multiple"))
	}
	if r.KeepTempo && r.At != Initiate {
		faults = append(faults, fmt.Errorf("keep_tempo counts at initiate only; shares at %s renormalise anyway", r.At))
	}
	if len(r.Only) > 0 && r.At == Believe {
		faults = append(faults, errors.New("only says nothing at believe; give a multiple of real"))
	}
	if r.Adherence != nil {
		faults = append(faults, r.Adherence.check())
	}
	return errors.Join(faults...)
}

func (a Adherence) check() error {
	if !(a.Share >= 0 && a.Share <= 1) || !(a.SD >= 0 && a.SD <= 0.5) {
		return fmt.Errorf("an adherence of share %v, sd %v; expected a share of 0 to 1 and an sd of 0 to 0.5", a.Share, a.SD)
	}
	return nil
}

// leavesSomething refuses rules that forbid everything at a point: one alone when it holds, or those together that always hold.
func (c *Compiled) leavesSomething() error {
	var faults []error
	for at := range NumPoints {
		if at == Believe {
			continue
		}
		always := ones(len(Alternatives(at)))
		alone := false
		for _, k := range c.byPoint[at] {
			m := c.rules[k.rule].multiples
			if allZero(m) {
				alone = true
				faults = append(faults, fmt.Errorf("plan %q, rule %q: it forbids everything at the %s point; leave something to do",
					c.Plan.Name, c.Plan.Rules[k.rule].Name, at))
			}
			if k.always(c.Plan.Rules[k.rule].When) {
				multiply(always, m)
			}
		}
		if !alone && allZero(always) {
			faults = append(faults, fmt.Errorf("plan %q: its rules together forbid everything at the %s point; leave something to do",
				c.Plan.Name, at))
		}
	}
	return errors.Join(faults...)
}

// always reports whether the condition names every value of each of its facts.
func (k *condition) always(when map[Fact][]int) bool {
	all := 0
	for fact := range when {
		all += len(fact.Values())
	}
	return bits.OnesCount64(k.want[0])+bits.OnesCount64(k.want[1]) == all
}

func ones(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = 1
	}
	return out
}

func multiply(out, by []float64) {
	for i, m := range by {
		out[i] *= m
	}
}

func allZero(xs []float64) bool {
	for _, x := range xs {
		if x != 0 {
			return false
		}
	}
	return true
}
