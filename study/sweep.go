package study

import (
	"context"
	"errors"
	"fmt"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/sim"
	"whatbout/sim/batch"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// Sweep asks what follows when one thing is moved and everything else stays as it is believed to be. Every point sets the dial in
// every draw of both doubts, over the same luck.
type Sweep struct {
	Fighter, Opponent  *fighter.Profile
	Joint              *fighter.Joint // of the skills of both; nil: drawn apart
	Plan, OpponentPlan *tactics.Plan  // nil: as usual
	Dial               *Dial
	Whose              int       // 0 the fighter's, 1 the opponent's
	At                 []float64 // the points, in the dial's units, rising; at least 2
	Rules              *tape.RuleSet
	Seed               uint64
	Draws              int // at least 4
	Bouts              int // a draw and point, at least 2
	Level              float64
	Workers            int
	Progress           func(done, of int)
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

// SweepPoint is what happens with the dial at one place.
type SweepPoint struct {
	At           float64             `json:"at"`
	Extrapolated bool                `json:"extrapolated"` // outside of what is believed of the dial
	Outcomes     map[string]Estimate `json:"outcomes"`
	FromFirst    map[string]Estimate `json:"from_first,omitempty"` // less the first point, on pairs with the same luck
}

// SweepResult answers a sweep.
type SweepResult struct {
	Draws, Bouts int
	Calibrated   float64        // where the dial stands without being moved
	Believed     infer.Interval // of the dial; see [Dial.Believed]
	Source       fighter.Source
	Points       []SweepPoint
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

// sweepSlot holds the bouts of one draw: point, measure.
type sweepSlot struct {
	done          bool
	values, diffs [][]infer.Group
}

// Run plays the sweep. Interrupted, it returns what was done together with the context's error, if that is at least two draws.
func (q *Sweep) Run(ctx context.Context) (*SweepResult, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	var plans [2]*tactics.Compiled
	var faults []error
	for c, p := range []*tactics.Plan{q.Plan, q.OpponentPlan} {
		if p != nil {
			compiled, err := tactics.Compile(p)
			plans[c], faults = compiled, append(faults, err)
		}
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	slots := make([]sweepSlot, q.Draws)
	workers := make([]*sweeper, 256)
	err := batch.Run(ctx, len(slots), min(q.Workers, len(workers)), func(w, k int) error {
		if workers[w] == nil {
			workers[w] = &sweeper{q: q, bout: sim.NewBout(), plans: plans, centre: q.moved().Centre(),
				first: grid[float64](q.Bouts, len(SweepMeasures))}
		}
		return workers[w].play(&slots[k], uint64(k))
	}, func(n int) {
		if q.Progress != nil {
			q.Progress(n, len(slots))
		}
	})
	if err != nil && !errors.Is(err, context.Canceled) && !errors.Is(err, context.DeadlineExceeded) {
		return nil, err
	}
	return q.reduce(slots, err)
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
	case q.Draws < 4 || q.Bouts < 2:
		return errors.New("a sweep needs at least 4 draws of 2 bouts")
	case !(q.Level > 0.5 && q.Level < 1):
		return fmt.Errorf("a level of %v; expected above 0.5 and below 1", q.Level)
	case len(q.At) < 2:
		return errors.New("a sweep needs at least 2 points")
	case q.Dial.adherence && (q.Plan == nil || q.Whose != 0):
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

// sweeper is the memory of one goroutine.
type sweeper struct {
	q      *Sweep
	bout   *sim.Bout
	plans  [2]*tactics.Compiled
	centre fighter.Draw // of the profile that is moved
	first  [][]float64  // values of the first point: bout, measure
}

// play fills the slot of draw k: every point over the same figures but one, and the same luck.
func (w *sweeper) play(s *sweepSlot, k uint64) error {
	q := w.q
	truth := draw(&fighter.Pair{Red: q.Fighter, Blue: q.Opponent, Joint: q.Joint}, q.Seed, k, true)
	w.bout.Setup(q.Rules, truth.world)
	n := len(SweepMeasures)
	s.values, s.diffs = grid[infer.Group](len(q.At), n), grid[infer.Group](len(q.At), n)
	for p, x := range q.At {
		if err := w.load(truth, x); err != nil {
			return fmt.Errorf("%s at %g: %w", q.Dial.Name, x, err)
		}
		for i := range q.Bouts {
			o := w.bout.Run(kernel.NewKey(q.Seed, k, uint64(i)))
			for m := range SweepMeasures {
				y := SweepMeasures[m].of(&o, 0)
				s.values[p][m].Add(y)
				if p == 0 {
					w.first[i][m] = y
				}
				s.diffs[p][m].Add(y - w.first[i][m])
			}
		}
		if err := errors.Join(w.bout.Sides[0].Fault(), w.bout.Sides[1].Fault()); err != nil {
			return err
		}
	}
	s.done = true
	return nil
}

// load puts both fighters of a truth into the bout, with the dial at x.
func (w *sweeper) load(t truth, x float64) error {
	q := w.q
	red, blue := t.red, t.blue
	shares := t.shares(w.plans[0])
	switch {
	case q.Dial.adherence:
		for i := range shares {
			shares[i] = x / 100
		}
	case q.Whose == 0:
		red = append(fighter.Draw(nil), red...)
		q.Dial.set(red, w.centre, x)
	default:
		blue = append(fighter.Draw(nil), blue...)
		q.Dial.set(blue, w.centre, x)
	}
	return errors.Join(w.bout.Sides[0].Load(q.Fighter.Body, red, w.plans[0], shares, q.Rules),
		w.bout.Sides[1].Load(q.Opponent.Body, blue, w.plans[1], t.shares(w.plans[1]), q.Rules))
}

// reduce turns draws into estimates, in draw order.
func (q *Sweep) reduce(slots []sweepSlot, err error) (*SweepResult, error) {
	var done []sweepSlot
	for _, s := range slots {
		if s.done {
			done = append(done, s)
		}
	}
	if len(done) < 2 {
		return nil, errors.Join(errors.New("too few draws were finished to say anything"), err)
	}
	r := &SweepResult{Draws: len(done), Bouts: q.Bouts, Partial: err != nil}
	r.Calibrated, r.Believed, r.Source = q.believed()
	for p, x := range q.At {
		point := SweepPoint{At: x, Extrapolated: x < r.Believed.Low || x > r.Believed.High, Outcomes: map[string]Estimate{}}
		if p > 0 {
			point.FromFirst = map[string]Estimate{}
		}
		values, diffs := make([]infer.Group, len(done)), make([]infer.Group, len(done))
		for m := range SweepMeasures {
			for k := range done {
				values[k], diffs[k] = done[k].values[p][m], done[k].diffs[p][m]
			}
			point.Outcomes[SweepMeasures[m].Name] = estimate(values, q.Level)
			if p > 0 {
				point.FromFirst[SweepMeasures[m].Name] = estimate(diffs, q.Level)
			}
		}
		r.Points = append(r.Points, point)
	}
	return r, err
}

// believed says where the dial stands and what is believed of it; of adherence the plan says it.
func (q *Sweep) believed() (float64, infer.Interval, fighter.Source) {
	if !q.Dial.adherence {
		p := q.moved()
		return q.Dial.Calibrated(p), q.Dial.Believed(p, q.Seed, q.Level), q.Dial.Source(p)
	}
	a, values := q.Plan.Adherence, make([]float64, beliefDraws)
	for k := range values {
		values[k] = 100 * min(max(a.Share+float64(a.SD*followCoin(q.Seed, uint64(k))), 0), 1)
	}
	return 100 * a.Share, infer.Central(values, q.Level), fighter.FromAssumption
}
