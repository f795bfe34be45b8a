package study

import (
	"context"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
)

// slot holds the sums of one draw's bouts.
type slot struct {
	done  bool
	base  []infer.Group   // of the baseline, by measure
	pairs [][]infer.Pairs // X the plan, Y the baseline; by plan less one, and measure
	full  [][]infer.Group // plan less baseline, where the plan is followed at every decision; by plan less one, and fullMeasures
}

// group gives a plan's own sums.
func (s *slot) group(plan, measure int) infer.Group {
	if plan == 0 {
		return s.base[measure]
	}
	p := &s.pairs[plan-1][measure]
	return infer.Group{N: p.N, Sum: p.X, SumSq: p.XX}
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
func (w *worker) play(ctx context.Context, s *slot, k int, assumptions bool) error {
	q := w.q
	if w.bout == nil {
		w.bout, w.values = sim.NewBout(), grid[float64](q.Bouts, len(Measures))
	}
	truth := draw(&fighter.Pair{Red: q.Fighter, Blue: q.Opponent, Joint: q.Joint}, q.Seed, uint64(k), assumptions)
	w.bout.Setup(q.Rules, truth.world)
	if err := w.bout.Sides[1].Load(q.Opponent.Body, truth.blue, w.opponent, truth.shares(w.opponent), q.Rules); err != nil {
		return err
	}
	s.base = make([]infer.Group, len(Measures))
	s.pairs = grid[infer.Pairs](len(w.plans)-1, len(Measures))
	for p, plan := range w.plans {
		if err := w.follow(ctx, truth.red, plan, truth.shares(plan), k, q.Bouts, func(i int, o *sim.Outcome) {
			if p == 0 {
				w.asBaseline(s, i, o)
			} else {
				w.against(s.pairs[p-1], i, o)
			}
		}); err != nil {
			return err
		}
	}
	if assumptions {
		if err := w.playInFull(ctx, s, truth.red, k); err != nil {
			return err
		}
	}
	s.done = true
	return nil
}

// follow plays a draw's bouts under one plan.
func (w *worker) follow(ctx context.Context, red fighter.Draw, plan *tactics.Compiled, shares []float64, k, bouts int, see func(int, *sim.Outcome)) error {
	q, side := w.q, &w.bout.Sides[0]
	if err := side.Load(q.Fighter.Body, red, plan, shares, q.Rules); err != nil {
		return err
	}
	for i := range bouts {
		if err := ctx.Err(); err != nil {
			return err
		}
		o := w.bout.Run(kernel.NewKey(q.Seed, uint64(k), uint64(i)))
		see(i, &o)
	}
	return side.Fault()
}

func (w *worker) asBaseline(s *slot, i int, o *sim.Outcome) {
	for m := range Measures {
		x := Measures[m].of(o, 0)
		w.values[i][m] = x
		s.base[m].Add(x)
	}
}

func (w *worker) against(pairs []infer.Pairs, i int, o *sim.Outcome) {
	for m := range Measures {
		pairs[m].Add(Measures[m].of(o, 0), w.values[i][m])
	}
}

func grid[T any](rows, columns int) [][]T {
	out := make([][]T, rows)
	for i := range out {
		out[i] = make([]T, columns)
	}
	return out
}
