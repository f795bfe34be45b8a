package web

import (
	"fmt"
	"slices"
	"strings"

	"whatbout/internal/input"
	"whatbout/plans"
	"whatbout/report"
	"whatbout/study"
	"whatbout/tactics"
)

// plans puts together what is compared: the state's way against the pinned one; without a pin against as usual in the world as moved; and
// where nothing is followed, the world as moved against the world as it is believed to be.
func (a *asker) plans() {
	own, now := a.way(&a.State.Way), a.settings(a.State.Moved)
	base, before := &tactics.Plan{Name: asUsual}, now
	switch {
	case a.State.Pin != nil:
		base, before = a.way(a.State.Pin), a.settings(a.State.Pin.Moved)
		base = renamed(base, "pinned: "+base.Name)
	case len(own.Rules) == 0:
		before = nil
	}
	if len(own.Rules) == 0 && len(now) > 0 {
		own = renamed(own, moved)
	}
	if own.Name == base.Name {
		own = renamed(own, own.Name+" again")
	}
	a.Same = a.same()
	a.q.Plans, a.q.Set = []*tactics.Plan{base, own}, [][]study.Setting{before, now}
	if !a.State.Reply.Empty() {
		a.q.OpponentPlan = a.tactics(&a.State.Reply, nil)
	}
}

// same reports whether both sides of the comparison are one.
func (a *asker) same() bool {
	if a.State.Pin == nil {
		return a.State.Empty() && len(a.State.Moved) == 0
	}
	return a.State.Pin.key() == a.State.Way.key()
}

// key names a way by what it says.
func (y *Way) key() string {
	var w queryWriter
	y.write(&w, "")
	return w.String()
}

func renamed(p *tactics.Plan, name string) *tactics.Plan {
	out := *p
	out.Name = name
	return &out
}

func (a *asker) way(y *Way) *tactics.Plan { return a.tactics(&y.Tactics, &a.plan) }

// tactics puts a plan together; the whole plan that it starts from is kept in whole, if that is asked for.
func (a *asker) tactics(t *Tactics, whole **thing[*tactics.Plan]) *tactics.Plan {
	var parts []*tactics.Plan
	if t.Plan != "" {
		p, err := a.Server.plan(t.Plan)
		if err != nil {
			a.fault(err)
			return &tactics.Plan{Name: asUsual}
		}
		a.read(p.Inputs...)
		if whole != nil && *whole == nil {
			*whole = p
		}
		parts = append(parts, a.without(p.Value, t.Without))
	}
	for _, name := range t.Phrases {
		if p := a.phrase(name); p != nil {
			parts = append(parts, p)
		}
	}
	switch len(parts) {
	case 0:
		return &tactics.Plan{Name: asUsual}
	case 1:
		return parts[0]
	}
	var names []string
	for _, p := range parts {
		names = append(names, p.Name)
	}
	out := tactics.Combine(strings.Join(names, " + "), parts...)
	if _, err := tactics.Compile(out); err != nil {
		a.fault(fmt.Errorf("these rules do not go together: %w", err))
	}
	return out
}

// without leaves rules out of a plan.
func (a *asker) without(p *tactics.Plan, out []int) *tactics.Plan {
	if len(out) == 0 {
		return p
	}
	less := *p
	less.Rules = nil
	for i, rule := range p.Rules {
		if !slices.Contains(out, i+1) {
			less.Rules = append(less.Rules, rule)
		}
	}
	if last := out[len(out)-1]; last > len(p.Rules) {
		a.fault(input.Fault{File: "the address", What: fmt.Sprintf("without=%d, but %q has %d rules", last, p.Name, len(p.Rules)), Want: "the number of one of them"})
	}
	less.Name = fmt.Sprintf("%s, %d of its %d rules", p.Name, len(less.Rules), len(p.Rules))
	return &less
}

// phrase reads a named rule of plans/.
func (a *asker) phrase(name string) *tactics.Plan {
	data, err := plans.Read(name)
	if err != nil {
		a.fault(fmt.Errorf("%w; %s", err, input.DidYouMean(name, plans.Names())))
		return nil
	}
	a.read(report.Input{Name: "plans/" + name + ".yaml", SHA256: input.SHA256(data)})
	p, err := tactics.Read(name, data)
	if err != nil {
		a.fault(err)
	}
	return p
}

func (a *asker) settings(all []Moved) (out []study.Setting) {
	for _, m := range all {
		s, err := m.setting()
		if err != nil {
			a.fault(input.Fault{File: "the address", What: err.Error()})
			continue
		}
		out = append(out, s)
	}
	return out
}
