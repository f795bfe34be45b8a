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

// Comparison asks what each plan changes against the first.
type Comparison struct {
	Fighter, Opponent *fighter.Profile
	Plans             []*tactics.Plan // the first is the baseline; a plan without rules is "as usual"
	OpponentPlan      *tactics.Plan   // nil: as usual
	Rules             *tape.RuleSet
	Seed              uint64
	Draws             int     // of both doubts; the tape interval gets half as many of its own
	Bouts             int     // a draw and plan
	Level             float64 // of every interval
	Workers           int
	Progress          func(done, of int)
}

// Doubts is a figure with the three kinds of doubt.
type Doubts struct {
	Mean             float64        `json:"mean"`
	Simulation       infer.Interval `json:"simulation"`
	Tape             infer.Interval `json:"tape"`
	AllDoubt         infer.Interval `json:"all_doubt"`
	TapeResolved     bool           `json:"tape_resolved"`
	AllDoubtResolved bool           `json:"all_doubt_resolved"`
}

// PlanResult is every measure under one plan.
type PlanResult struct {
	Name     string            `json:"name"`
	Intent   string            `json:"intent,omitempty"`
	Outcomes map[string]Doubts `json:"outcomes"`
}

// Difference is plan less baseline in one measure.
type Difference struct {
	Plan     string `json:"plan"`
	Baseline string `json:"baseline"`
	Outcome  string `json:"outcome"`
	Doubts
	ProbabilityBetter float64 `json:"probability_better"`
	Pairs             int     `json:"pairs"`
	Correlation       float64 `json:"correlation"`
}

// Result answers a comparison.
type Result struct {
	Draws, TapeDraws, Bouts int
	Plans                   []PlanResult
	Differences             []Difference
	Partial                 bool // interrupted; what was finished is what is here
}

// slot holds the bouts of one draw.
type slot struct {
	done  bool
	plans [][]infer.Group // plan, measure
	diffs [][]infer.Group
	pairs [][]infer.Pairs
}

// Run plays the comparison. Interrupted, it returns what was done together with the context's error, if that is enough to say
// anything (two draws of each kind).
func (q *Comparison) Run(ctx context.Context) (*Result, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	compiled, opponent, err := q.compile()
	if err != nil {
		return nil, err
	}
	tapeDraws := q.Draws / 2
	slots := make([]slot, q.Draws+tapeDraws)
	workers := make([]*worker, 256)
	err = batch.Run(ctx, len(slots), min(q.Workers, len(workers)), func(w, job int) error {
		if workers[w] == nil {
			workers[w] = &worker{q: q, bout: sim.NewBout(), plans: compiled, opponent: opponent}
		}
		// The two kinds are interleaved so that an interrupted run has some of both.
		k, tapeOnly := job, false
		if job < 3*tapeDraws {
			k, tapeOnly = job/3*2+job%3, job%3 == 2
			if tapeOnly {
				k = job / 3
			}
		} else {
			k = job - tapeDraws
		}
		at := k
		if tapeOnly {
			at = q.Draws + k
		}
		return workers[w].play(&slots[at], k, !tapeOnly)
	}, func(n int) {
		if q.Progress != nil {
			q.Progress(n, len(slots))
		}
	})
	if err != nil && !errors.Is(err, context.Canceled) && !errors.Is(err, context.DeadlineExceeded) {
		return nil, err
	}
	return q.reduce(finished(slots[:q.Draws]), finished(slots[q.Draws:]), err)
}

func (q *Comparison) check() error {
	switch {
	case q.Fighter.ID == q.Opponent.ID:
		return fmt.Errorf("both corners are %q; name two different fighters", q.Fighter.ID)
	case q.Draws < 4 || q.Bouts < 2:
		return errors.New("a comparison needs at least 4 draws of 2 bouts")
	case !(q.Level > 0.5 && q.Level < 1):
		return fmt.Errorf("a level of %v; expected above 0.5 and below 1", q.Level)
	case len(q.Plans) < 1:
		return errors.New("no plan to compare")
	}
	return nil
}

func (q *Comparison) compile() ([]*tactics.Compiled, *tactics.Compiled, error) {
	out := make([]*tactics.Compiled, len(q.Plans))
	var faults []error
	for i, p := range q.Plans {
		c, err := tactics.Compile(p)
		out[i], faults = c, append(faults, err)
	}
	var opponent *tactics.Compiled
	if q.OpponentPlan != nil {
		c, err := tactics.Compile(q.OpponentPlan)
		opponent, faults = c, append(faults, err)
	}
	return out, opponent, errors.Join(faults...)
}

func finished(slots []slot) (out []slot) {
	for _, s := range slots {
		if s.done {
			out = append(out, s)
		}
	}
	return out
}

// worker is the memory of one goroutine.
type worker struct {
	q        *Comparison
	bout     *sim.Bout
	plans    []*tactics.Compiled
	opponent *tactics.Compiled
	values   [][]float64 // of the baseline: bout, measure
}

// play fills the slot of draw k: every plan over the same figures and the same luck.
func (w *worker) play(s *slot, k int, assumptions bool) error {
	q := w.q
	red := q.Fighter.Draw(q.Seed, uint64(k), assumptions)
	blue := q.Opponent.Draw(q.Seed, uint64(k), assumptions)
	world := sim.AverageWorld()
	if assumptions {
		world = sim.DrawWorld(q.Seed, uint64(k))
	}
	w.bout.Setup(q.Rules, world)
	follow := adherence(q.Seed, uint64(k), assumptions)
	if err := w.bout.Sides[1].Load(q.Opponent.Body, blue, w.opponent, follow(w.opponent), q.Rules); err != nil {
		return err
	}
	n := len(Measures)
	s.plans, s.diffs, s.pairs = grid[infer.Group](len(w.plans), n), grid[infer.Group](len(w.plans), n), grid[infer.Pairs](len(w.plans), n)
	if w.values == nil {
		w.values = grid[float64](q.Bouts, n)
	}
	for p, plan := range w.plans {
		if err := w.bout.Sides[0].Load(q.Fighter.Body, red, plan, follow(plan), q.Rules); err != nil {
			return err
		}
		for i := range q.Bouts {
			o := w.bout.Run(kernel.NewKey(q.Seed, uint64(k), uint64(i)))
			for m := range Measures {
				x := Measures[m].of(&o, 0)
				add(&s.plans[p][m], x)
				if p == 0 {
					w.values[i][m] = x
					continue
				}
				y := w.values[i][m]
				add(&s.diffs[p][m], x-y)
				s.pairs[p][m].Merge(infer.Pairs{N: 1, X: y, Y: x, XX: y * y, YY: x * x, XY: x * y})
			}
		}
		if err := w.bout.Sides[0].Fault(); err != nil {
			return err
		}
	}
	s.done = true
	return nil
}

func grid[T any](rows, columns int) [][]T {
	out := make([][]T, rows)
	for i := range out {
		out[i] = make([]T, columns)
	}
	return out
}

func add(g *infer.Group, x float64) { g.N, g.Sum, g.SumSq = g.N+1, g.Sum+x, g.SumSq+x*x }

// reduce turns draws into estimates, in draw order.
func (q *Comparison) reduce(all, tapeOnly []slot, err error) (*Result, error) {
	if len(all) < 2 || len(tapeOnly) < 2 {
		return nil, errors.Join(errors.New("too few draws were finished to say anything"), err)
	}
	r := &Result{Draws: len(all), TapeDraws: len(tapeOnly), Bouts: q.Bouts, Partial: err != nil}
	for p, plan := range q.Plans {
		pr := PlanResult{Name: plan.Name, Intent: plan.Intent, Outcomes: map[string]Doubts{}}
		for m := range Measures {
			pr.Outcomes[Measures[m].Name] = doubts(column(all, p, m, plansOf), column(tapeOnly, p, m, plansOf), q.Level)
			if p == 0 {
				continue
			}
			diffs := column(all, p, m, diffsOf)
			d := Difference{Plan: plan.Name, Baseline: q.Plans[0].Name, Outcome: Measures[m].Name, Pairs: len(all) * q.Bouts}
			d.Doubts = doubts(diffs, column(tapeOnly, p, m, diffsOf), q.Level)
			d.ProbabilityBetter = infer.Better(diffs, Measures[m].Lower).Value
			var pairs infer.Pairs
			for i := range all {
				pairs.Merge(all[i].pairs[p][m])
			}
			d.Correlation = pairs.Correlation()
			r.Differences = append(r.Differences, d)
		}
		r.Plans = append(r.Plans, pr)
	}
	return r, err
}

func plansOf(s *slot) [][]infer.Group { return s.plans }
func diffsOf(s *slot) [][]infer.Group { return s.diffs }

func column(slots []slot, p, m int, of func(*slot) [][]infer.Group) []infer.Group {
	out := make([]infer.Group, len(slots))
	for i := range slots {
		out[i] = of(&slots[i])[p][m]
	}
	return out
}

func doubts(all, tapeOnly []infer.Group, level float64) Doubts {
	a, t := infer.Split(all), infer.Split(tapeOnly)
	return Doubts{
		Mean: a.Mean, Simulation: a.Simulation(level),
		Tape: infer.Central(infer.Shrunk(tapeOnly), level), TapeResolved: t.Resolved(),
		AllDoubt: infer.Central(infer.Shrunk(all), level), AllDoubtResolved: a.Resolved(),
	}
}

// Find gives the difference of a plan in a measure.
func (r *Result) Find(plan, outcome string) *Difference {
	for i := range r.Differences {
		if d := &r.Differences[i]; d.Plan == plan && d.Outcome == outcome {
			return d
		}
	}
	return nil
}
