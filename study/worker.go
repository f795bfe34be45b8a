package study

import (
	"context"

	"whatbout/internal/infer"
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
	player
	q    *Comparison
	keys *keyer
}

// play fills the slot of draw k: every plan over the same figures and the same luck.
func (w *worker) play(ctx context.Context, s *slot, k int, assumptions bool) error {
	s.base = make([]infer.Group, len(Measures))
	s.pairs = grid[infer.Pairs](len(w.q.Plans)-1, len(Measures))
	var base Values
	for p, plan := range w.q.Plans {
		v, err := w.cell(ctx, Cell{Plan: plan, Reply: w.q.OpponentPlan, Draw: k, Bouts: w.q.Bouts, Tape: !assumptions, Set: w.q.set(p)})
		if err != nil {
			return err
		}
		if p == 0 {
			base = v
			sum(s.base, base)
		} else {
			pair(s.pairs[p-1], v, base)
		}
	}
	if assumptions {
		if err := w.playInFull(ctx, s, base, k); err != nil {
			return err
		}
	}
	s.done = true
	return nil
}

// cell gives a cell's values, from the store if they are there.
func (w *worker) cell(ctx context.Context, c Cell) (Values, error) {
	var key Key
	if w.q.Store != nil {
		key = w.keys.key(&c)
	}
	v, _, err := w.values(ctx, &c, w.q.Store, key)
	return v, err
}

func sum(groups []infer.Group, v Values) {
	for i := range v.Bouts() {
		for m := range groups {
			groups[m].Add(v.At(i, m))
		}
	}
}

func pair(pairs []infer.Pairs, plan, base Values) {
	for i := range plan.Bouts() {
		for m := range pairs {
			pairs[m].Add(plan.At(i, m), base.At(i, m))
		}
	}
}

func grid[T any](rows, columns int) [][]T {
	out := make([][]T, rows)
	for i := range out {
		out[i] = make([]T, columns)
	}
	return out
}
