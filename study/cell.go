package study

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"hash"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/sim"
	"whatbout/tactics"
	"whatbout/tape"
)

// Meeting is what every bout of a study shares: who meets whom, under which rules, on which luck.
type Meeting struct {
	Fighter, Opponent *fighter.Profile
	Joint             *fighter.Joint // of the skills of both; nil: drawn apart
	Rules             *tape.RuleSet
	Seed              uint64
}

func (m *Meeting) pair() *fighter.Pair {
	return &fighter.Pair{Red: m.Fighter, Blue: m.Opponent, Joint: m.Joint}
}

func (m *Meeting) check() error {
	if m.Fighter.ID == m.Opponent.ID {
		return fmt.Errorf("both corners are %q; name two different fighters", m.Fighter.ID)
	}
	return nil
}

// Setting moves one dial of one corner, in the dial's units.
type Setting struct {
	Dial  *Dial
	Whose int // 0 the fighter's, 1 the opponent's
	At    float64
}

// Cell is what is played as one: the first bouts of one draw under a pair of plans. Cells of the same draw are on the same luck, so they
// can be paired bout by bout.
type Cell struct {
	Plan, Reply *tactics.Plan // of the fighter and of the opponent; nil or without rules: as usual
	Draw        int
	Bouts       int
	Tape        bool      // only tape's figures are drawn, assumptions stand at their centres
	InFull      bool      // the plan is followed at every decision of a fresh fighter
	Exchange    *Exchange // of what was drawn, before anything is moved; nil: none
	Set         []Setting // moved in this order, after drawing
}

// Values holds every measure of a cell's bouts, bout by bout, in the order of [Measures], and behind them what only sweeps show.
type Values []float64

// At is a measure of bout i.
func (v Values) At(i, measure int) float64 { return v[i*len(columns)+measure] }

// Bouts is how many bouts there are.
func (v Values) Bouts() int { return len(v) / len(columns) }

// group sums what counts of the bouts.
func (v Values) group(of func(v Values, i int) float64) (g infer.Group) {
	for i := range v.Bouts() {
		g.Add(of(v, i))
	}
	return g
}

// pairs sums what counts of these bouts, as X, with that of others on the same luck.
func (v Values) pairs(others Values, of func(v Values, i int) float64) (p infer.Pairs) {
	for i := range v.Bouts() {
		p.Add(of(v, i), of(others, i))
	}
	return p
}

// oneOf is one measure of what is kept.
func oneOf(measure int) func(Values, int) float64 {
	return func(v Values, i int) float64 { return v.At(i, measure) }
}

// groupsOf sums what counts, a group a draw.
func groupsOf(draws []Values, of func(Values, int) float64) []infer.Group {
	out := make([]infer.Group, len(draws))
	for k, v := range draws {
		out[k] = v.group(of)
	}
	return out
}

// differencesOf is what counts less that of others on the same luck, a group a draw.
func differencesOf(draws, others []Values, of func(Values, int) float64) []infer.Group {
	out := make([]infer.Group, len(draws))
	for k, v := range draws {
		out[k] = v.pairs(others[k], of).Difference()
	}
	return out
}

// columns are what is kept of a bout: [Measures], and those of [SweepMeasures] that are not among them.
var columns, sweepColumns = func() (all []Measure, sweep []int) {
	all = slices.Clone(Measures)
	for _, m := range SweepMeasures {
		at := slices.IndexFunc(all, func(c Measure) bool { return c.Name == m.Name })
		if at < 0 {
			at, all = len(all), append(all, m)
		}
		sweep = append(sweep, at)
	}
	return all, sweep
}()

// Key names a cell by the content that its bouts follow from: engine, what is measured, rules, figures, plans without their names, settings,
// seed and draw. Equal keys mean equal values. A cell of more bouts has a key of its own.
type Key [sha256.Size]byte

// keyer hashes what the cells of a meeting share once, and each plan once.
type keyer struct {
	shared Key
	plans  map[*tactics.Plan]Key
}

func newKeyer(m *Meeting) (*keyer, error) {
	h := sha256.New()
	rules, err := json.Marshal(m.Rules)
	if err != nil {
		return nil, err
	}
	parts := [][]byte{[]byte(sim.Engine), rules, fighter.WriteProfile(m.Fighter), fighter.WriteProfile(m.Opponent)}
	if m.Joint != nil {
		parts = append(parts, fighter.WriteJoint(m.Joint.Of(m.Fighter.ID, m.Opponent.ID)))
	}
	for i := range columns {
		parts = append(parts, []byte(columns[i].Name))
	}
	for _, p := range parts {
		write(h, "%d:", len(p))
		h.Write(p)
	}
	write(h, "seed %d", m.Seed)
	return &keyer{shared: Key(h.Sum(nil)), plans: map[*tactics.Plan]Key{}}, nil
}

func write(h hash.Hash, form string, values ...any) { fmt.Fprintf(h, form, values...) }

// key is that of a cell whose plans were added.
func (k *keyer) key(c *Cell) Key {
	h := sha256.New()
	h.Write(k.shared[:])
	for _, p := range []*tactics.Plan{c.Plan, c.Reply} {
		content := k.plans[p]
		h.Write(content[:])
	}
	write(h, "draw %d bouts %d tape %t full %t", c.Draw, c.Bouts, c.Tape, c.InFull)
	if c.Exchange != nil {
		c.Exchange.write(func(form string, values ...any) { write(h, form, values...) })
	}
	for _, s := range c.Set {
		write(h, " %s of %d at %x", s.Dial.Name, s.Whose, s.At)
	}
	return Key(h.Sum(nil))
}

// add hashes a plan by its content: its name, its intent and the names of its rules move nothing, and a plan without rules is no plan.
func (k *keyer) add(p *tactics.Plan) error {
	if _, known := k.plans[p]; known {
		return nil
	}
	if p == nil || len(p.Rules) == 0 {
		k.plans[p] = Key{}
		return nil
	}
	bare := *p
	bare.Name, bare.Intent, bare.Rules = "plan", "", append([]tactics.Rule(nil), p.Rules...)
	for i := range bare.Rules {
		bare.Rules[i].Name = fmt.Sprintf("rule %d", i+1)
	}
	content, err := tactics.Write(&bare)
	k.plans[p] = sha256.Sum256(content)
	return err
}
