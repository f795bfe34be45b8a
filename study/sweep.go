package study

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/sim"
	"whatbout/tactics"
)

// Sweep asks what follows when one thing is moved and everything else stays as it is believed to be, and where on the way another plan becomes
// the better one. Every point sets the dial in every draw of both doubts, and all points and plans are over the same luck.
type Sweep struct {
	Meeting
	Plans        []*tactics.Plan // at least one; nil or without rules: as usual. Each is held against those before it
	OpponentPlan *tactics.Plan   // nil: as usual
	Value        *Value          // what plans are held against each other by; nil: bouts won
	Dial         *Dial
	Whose        int       // 0 the fighter's, 1 the opponent's
	At           []float64 // the points, in the dial's units, rising; at least 2
	Draws        int       // at least 4
	Bouts        int       // a draw, plan and point, at least 2
	Level        float64
	Workers      int // 0: one a core; never changes the result
	Store        Store
	Progress     func(done, of int)
}

// Estimate is a figure with simulation and all doubt. Unresolved draws differ no more than the luck of their bouts does.
type Estimate struct {
	Mean       float64        `json:"mean"`
	Simulation infer.Interval `json:"simulation"`
	AllDoubt   infer.Interval `json:"all_doubt"`
	Resolved   bool           `json:"all_doubt_resolved"`
}

func estimate(draws []infer.Group, level float64) Estimate {
	c, s := infer.Split(draws), infer.Spread(draws, level)
	return Estimate{Mean: c.Mean, Simulation: c.Simulation(level), AllDoubt: s.Interval, Resolved: s.Resolved}
}

// SweepPoint is what happens under one plan with the dial at one place.
type SweepPoint struct {
	At           float64             `json:"at"`
	Extrapolated bool                `json:"extrapolated"` // outside of what is believed of the dial
	Outcomes     map[string]Estimate `json:"outcomes"`
	Value        *Estimate           `json:"value,omitempty"`      // if it is not bouts won
	FromFirst    map[string]Estimate `json:"from_first,omitempty"` // less the first point, on pairs with the same luck
}

// SweepResult answers a sweep.
type SweepResult struct {
	Draws, Bouts int
	Total        int            // bouts that the figures rest on
	Calibrated   float64        // where the dial stands without being moved
	Believed     infer.Interval // of the dial; see [Dial.Believed]
	Source       fighter.Source
	Curves       [][]SweepPoint // by plan
	Contrasts    []Contrast     // of any two plans
	Partial      bool
}

// SweepMeasures are what a sweep shows, in the order of reports.
var SweepMeasures = func() []Measure {
	kicks := perMinute(func(s *sim.Counts) int64 { return s.Clean[fighter.LowKicks] + s.Clean[fighter.HighKicks] })
	named := func(name string) Measure { return Measures[MeasureNamed(name)] }
	return []Measure{
		named("win"), named("time_share_kicking"), named("time_share_long"), named("time_share_pocket"),
		{"kicks_taken_clean_per_minute", true, "kicks taken clean per minute", theirs(kicks)},
		{"kicks_landed_clean_per_minute", false, "kicks landed clean per minute", kicks},
		{"head_strikes_absorbed_per_minute", true, "clean head strikes absorbed per minute", named("head_strikes_absorbed_per_minute").of},
		named("head_strikes_per_minute"), named("steps_back_per_minute"),
		{"steps_back_by_opponent_per_minute", false, "steps back by the other per minute", theirs(Measures[MeasureNamed("steps_back_per_minute")].of)},
	}
}()

// Spaced gives n points from the first to the last, both included.
func Spaced(from, to float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = from + (to-from)*float64(i)/float64(n-1)
	}
	out[n-1] = to
	return out
}

// Run plays the sweep. Interrupted, it returns what was done together with the context's error, if that is at least two draws.
func (q *Sweep) Run(ctx context.Context) (*SweepResult, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	bank, err := NewBank(q.Meeting, append([]*tactics.Plan{q.OpponentPlan}, q.Plans...)...)
	if err != nil {
		return nil, err
	}
	bank.Workers, bank.Store, bank.Progress = q.Workers, q.Store, q.Progress
	var cells []Cell
	for k := range q.Draws {
		cells = append(cells, q.cells(k)...)
	}
	err = bank.Play(ctx, cells)
	if err != nil && !interrupted(err) {
		return nil, err
	}
	return q.reduce(bank, err)
}

// cell is draw k of a plan with the dial at a point.
func (q *Sweep) cell(plan, point, k int) Cell {
	return Cell{Plan: q.Plans[plan], Reply: q.OpponentPlan, Draw: k, Bouts: q.Bouts, Set: []Setting{{Dial: q.Dial, Whose: q.Whose, At: q.At[point]}}}
}

// cells are all of a draw.
func (q *Sweep) cells(k int) (out []Cell) {
	for plan := range q.Plans {
		for point := range q.At {
			out = append(out, q.cell(plan, point, k))
		}
	}
	return out
}

// moved is the profile whose figure is moved.
func (q *Sweep) moved() *fighter.Profile {
	if q.Whose == 1 {
		return q.Opponent
	}
	return q.Fighter
}

func (q *Sweep) check() error {
	switch {
	case q.Fighter.ID == q.Opponent.ID:
		return fmt.Errorf("both corners are %q; name two different fighters", q.Fighter.ID)
	case len(q.Plans) == 0:
		return errors.New("a sweep needs at least one plan")
	case q.Draws < 4 || q.Bouts < 2:
		return errors.New("a sweep needs at least 4 draws of 2 bouts")
	case !(q.Level > 0.5 && q.Level < 1):
		return fmt.Errorf("a level of %v; expected above 0.5 and below 1", q.Level)
	case len(q.At) < 2:
		return errors.New("a sweep needs at least 2 points")
	case q.Dial.adherence && (q.followed() == nil || q.Whose != 0):
		return errors.New("adherence is that of the fighter's plan; name a plan")
	}
	for i, x := range q.At {
		if !(x >= q.Dial.Low && x <= q.Dial.High) || i > 0 && !(x > q.At[i-1]) {
			return fmt.Errorf("%s at %v; expected rising values from %g to %g (%s)", q.Dial.Name, x, q.Dial.Low, q.Dial.High, q.Dial.Unit)
		}
	}
	if q.Dial.adherence {
		return nil
	}
	return q.Dial.check(q.moved())
}

// followed is the first plan that can be followed at all.
func (q *Sweep) followed() *tactics.Plan {
	for _, p := range q.Plans {
		if p != nil && len(p.Rules) > 0 {
			return p
		}
	}
	return nil
}

// reduce turns the draws that were finished into estimates, in draw order.
func (q *Sweep) reduce(bank *Bank, err error) (*SweepResult, error) {
	var done []int
	for k := range q.Draws {
		if !slices.ContainsFunc(q.cells(k), func(c Cell) bool { return !bank.Holds(c) }) {
			done = append(done, k)
		}
	}
	if len(done) < 2 {
		return nil, errors.Join(errors.New("too few draws were finished to say anything"), err)
	}
	r := &SweepResult{Draws: len(done), Bouts: q.Bouts, Total: len(done) * len(q.Plans) * len(q.At) * q.Bouts, Partial: err != nil}
	r.Calibrated, r.Believed, r.Source = q.believed()
	var curves [][][]Values
	for plan := range q.Plans {
		curves = append(curves, q.played(bank, done, plan))
		var curve []SweepPoint
		for point, x := range q.At {
			p := SweepPoint{At: x, Extrapolated: x < r.Believed.Low || x > r.Believed.High}
			q.outcomes(curves[plan][point], curves[plan][0], &p)
			curve = append(curve, p)
		}
		r.Curves = append(r.Curves, curve)
		for against := range plan {
			c := q.contrast(curves[plan], curves[against])
			c.Plan, c.Against = nameOf(q.Plans[plan]), nameOf(q.Plans[against])
			r.Contrasts = append(r.Contrasts, c)
		}
	}
	return r, err
}

// played gives a plan's bouts by point and draw.
func (q *Sweep) played(bank *Bank, draws []int, plan int) [][]Values {
	out := grid[Values](len(q.At), len(draws))
	for point := range out {
		for i, k := range draws {
			out[point][i] = bank.Values(q.cell(plan, point, k))
		}
	}
	return out
}

// outcomes fills in what happens at a point, draw by draw, and what changes from the first.
func (q *Sweep) outcomes(here, first []Values, p *SweepPoint) {
	p.Outcomes = map[string]Estimate{}
	for m := range SweepMeasures {
		p.Outcomes[SweepMeasures[m].Name] = estimate(groupsOf(here, oneOf(sweepColumns[m])), q.Level)
	}
	if value := q.Value.orWin(); !value.Counts("win") {
		e := estimate(groupsOf(here, value.Of), q.Level)
		p.Value = &e
	}
	if &here[0] == &first[0] {
		return
	}
	p.FromFirst = map[string]Estimate{}
	for m := range SweepMeasures {
		p.FromFirst[SweepMeasures[m].Name] = estimate(differencesOf(here, first, oneOf(sweepColumns[m])), q.Level)
	}
}

// believed says where the dial stands and what is believed of it.
func (q *Sweep) believed() (float64, infer.Interval, fighter.Source) {
	return q.Meeting.believed(q.Dial, q.Whose, q.followed(), q.Level)
}

// believed says where a dial stands and what is believed of it; of adherence the plan says it.
func (m *Meeting) believed(d *Dial, whose int, plan *tactics.Plan, level float64) (float64, infer.Interval, fighter.Source) {
	if !d.adherence {
		p := []*fighter.Profile{m.Fighter, m.Opponent}[whose]
		return d.Calibrated(p), d.Believed(p, m.Seed, level), d.Source(p)
	}
	a, values := plan.Adherence, make([]float64, beliefDraws)
	for k := range values {
		values[k] = 100 * min(max(a.Share+float64(a.SD*followCoin(m.Seed, uint64(k))), 0), 1)
	}
	return 100 * a.Share, infer.Central(values, level), fighter.FromAssumption
}
