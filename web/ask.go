package web

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/plans"
	"whatbout/report"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

const (
	level   = .95 // of every interval
	asUsual = "as usual"
	moved   = "as usual, as moved" // without a plan
)

// ask is a state with everything that it names.
type ask struct {
	State    *State
	Same     bool // there is nothing to compare
	q        study.Comparison
	inputs   []report.Input
	warnings []string
	again    string
	keys     [2]string     // of who fights
	shipped  bool          // one of them comes with the program
	whole    *tactics.Plan // that the state's plan starts from; may be nil
}

// asker gathers what a state names, and every fault on the way.
type asker struct {
	*Server
	*ask
	fighter, opponent *thing[*fighter.Profile]
	plan              *thing[*tactics.Plan]
	faults            []error
}

// ask reads what a state names. The error lists all faults.
func (s *Server) ask(state *State) (*ask, error) {
	a := &asker{Server: s, ask: &ask{State: state}}
	a.people()
	a.plans()
	a.rules()
	if err := errors.Join(a.faults...); err != nil {
		return nil, err
	}
	a.q.Seed, a.q.Draws, a.q.Bouts, a.q.Level = state.Seed, state.Draws, state.Bouts, level
	if a.plan != nil {
		a.whole = a.plan.Value
	}
	a.warn()
	a.again = a.line()
	return a.ask, nil
}

// key names the answer by all that it follows from: a file may change under its name.
func (a *ask) key() string {
	key := a.State.String()
	for _, in := range a.inputs {
		key += " " + in.SHA256
	}
	return key
}

func (a *asker) fault(err error) { a.faults = append(a.faults, err) }

// read notes what was read, each file once.
func (a *asker) read(inputs ...report.Input) {
	for _, in := range inputs {
		if !slices.Contains(a.inputs, in) {
			a.inputs = append(a.inputs, in)
		}
	}
}

func (a *asker) people() {
	keys := [2]string{a.State.Fighter, a.State.Opponent}
	for i := range keys {
		if keys[i] == "" && i < len(a.Shipped.Fighters) {
			keys[i] = a.Shipped.Fighters[i].ID
		}
	}
	a.keys = keys
	var errs [2]error
	a.fighter, errs[0] = a.person(keys[0])
	a.opponent, errs[1] = a.person(keys[1])
	if err := errors.Join(errs[:]...); err != nil {
		a.fault(err)
		return
	}
	a.q.Fighter, a.q.Opponent = a.fighter.Value, a.opponent.Value
	a.read(a.fighter.Inputs...)
	a.read(a.opponent.Inputs...)
	if a.q.Fighter.ID == a.q.Opponent.ID {
		a.fault(input.Fault{File: "the address", What: fmt.Sprintf("both corners are %q", a.q.Fighter.ID), Want: "two different fighters"})
		return
	}
	joint, in, note, err := a.joint(a.fighter, a.opponent)
	a.q.Joint = joint
	a.read(in...)
	if note != "" {
		a.warnings = append(a.warnings, note)
	}
	if err != nil {
		a.fault(err)
	}
}

func (a *asker) rules() {
	name := a.State.Rules
	if data, err := tape.RuleSetFile(name); err == nil {
		a.read(report.Input{Name: "rulesets/" + name + ".yaml", SHA256: input.SHA256(data)})
		if a.q.Rules, err = tape.RuleSetNamed(name); err != nil {
			a.fault(err)
		}
		return
	}
	rules, in, err := readFile(a.Server, name, &a.folder.rules)
	if err != nil {
		a.fault(err)
		return
	}
	a.q.Rules = rules
	a.read(in)
}

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

// warn says what to know before believing the answer.
func (a *asker) warn() {
	a.shipped = a.fighter.From == fromProgram || a.opponent.From == fromProgram
	if a.Shipped.Note != "" && a.shipped {
		a.warnings = append(a.warnings, a.Shipped.Note)
	}
	a.warnings = append(a.warnings, report.UsualNote)
	for _, p := range append(slices.Clone(a.q.Plans), a.q.OpponentPlan) {
		a.warnings = append(a.warnings, report.Followed(p)...)
	}
	if len(a.State.Moved) > 0 || a.State.Pin != nil && len(a.State.Pin.Moved) > 0 {
		a.warnings = append(a.warnings, report.MovedNote)
	}
}

// line is what gives the same answer again: the command, or where no command can, the address of this page.
func (a *asker) line() string {
	st := a.State
	shipped := a.fighter.From == fromProgram && a.opponent.From == fromProgram
	usualPair := shipped && a.q.Fighter == a.Shipped.Fighters[0] && a.q.Opponent == a.Shipped.Fighters[1]
	files := a.fighter.From == fromFolder && a.opponent.From == fromFolder
	line := fmt.Sprintf("whatbout compare --rules %s --seed %d --draws %d --bouts %d --level %g", shellWord(st.Rules), st.Seed, st.Draws, st.Bouts, level)
	for _, m := range st.Moved {
		line += " --set " + shellWord(m.String())
	}
	if files {
		line += " --fighter " + shellWord(a.fighter.Key) + " --opponent " + shellWord(a.opponent.Key)
	}
	plan, plain := a.planWords()
	if st.Pin != nil || !st.Reply.Empty() || !plain || !usualPair && !files {
		return "whatbout serve, and in the browser the address that it prints followed by ?" + st.String()
	}
	return line + plan
}

// planWords name a plan as compare takes it, if it can.
func (a *asker) planWords() (words string, ok bool) {
	t := &a.State.Tactics
	switch {
	case t.Plan == "":
		for _, name := range t.Phrases {
			words += " --rule " + name
		}
		return words, len(t.Phrases) > 0
	case len(t.Without) > 0 || len(t.Phrases) > 0:
		return "", false
	case a.plan.From == fromFolder:
		return " " + shellWord(a.plan.Key), true
	}
	return "", a.plan.From == fromProgram && a.plan.Value == a.Shipped.Plans[0] && a.fighter.From == fromProgram
}

// shellWord quotes a word for a shell where it needs that.
func shellWord(s string) string {
	if s != "" && strings.Trim(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-./+,:@=") == "" {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

// planKey names a shipped plan in an address.
func planKey(p *tactics.Plan) string { return strings.ReplaceAll(p.Name, " ", "-") }
