package web

import (
	"errors"
	"fmt"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/input"
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
