package study

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"whatbout/internal/infer"
	"whatbout/sim/kernel"
)

// Row k of a design has two independent samples of all parts: figures of draw 2k and of draw 2k+1, levers each at a place of its own. What is
// moved from the first sample is played on the luck of draw 2k.

// places gives the places, 0 to 1, of a lever in both samples of a row.
type places func(row int, m *MovedFigure) (first, second float64)

// even spreads levers evenly over their ranges.
func (q *HangsOn) even(row int, m *MovedFigure) (first, second float64) {
	z := q.stream(row, m)
	return float64(z.Uint32()) / (1 << 32), float64(z.Uint32()) / (1 << 32)
}

// steps puts levers on the four levels of Morris (1991), two thirds of the range apart.
func (q *HangsOn) steps(row int, m *MovedFigure) (first, second float64) {
	z := q.stream(row, m)
	low := float64(z.Uint32()>>31) / 3
	if z.Uint32()>>31 == 0 {
		return low, low + morrisStep
	}
	return low + morrisStep, low
}

const morrisStep = 2. / 3

// stream is that of a lever in a row, whatever other levers there are.
func (q *HangsOn) stream(row int, m *MovedFigure) kernel.Stream {
	key := kernel.NewKey(q.Seed, uint64(row), 0x6c65766572)
	for _, c := range m.Figure + "/" + []string{"fighter", "opponent"}[m.Lever.Whose] {
		key = key.With(uint64(c))
	}
	return key.Stream()
}

// base is the first (or second) sample of a row.
func (q *HangsOn) base(parts []Hang, at places, row, sample int) Cell {
	c := Cell{Reply: q.OpponentPlan, Draw: 2*row + sample, Bouts: q.Bouts}
	for i := range parts {
		if m := parts[i].Moved; m != nil {
			x := [2]float64{}
			x[0], x[1] = at(row, m)
			c.Set = append(c.Set, m.at(m.Low+x[sample]*(m.High-m.Low)))
		}
	}
	return c
}

// with is the first sample of a row with one part from the second.
func (q *HangsOn) with(parts []Hang, at places, row, part int) Cell {
	c := q.base(parts, at, row, 0)
	if m := parts[part].Moved; m != nil {
		_, second := at(row, m)
		for i := range c.Set {
			if c.Set[i].Dial == m.Lever.Dial && c.Set[i].Whose == m.Lever.Whose {
				c.Set[i].At = m.Low + second*(m.High-m.Low)
			}
		}
		return c
	}
	c.Exchange = &Exchange{From: 2*row + 1, Strands: []*Strand{&parts[part].Strand}}
	return c
}

// screen moves each part alone, once a row.
func (q *HangsOn) screen(ctx context.Context, bank *Bank, parts []Hang, rows int) (*HangsOnResult, error) {
	done, played := q.play(ctx, bank, 0, rows, func(k int) []Cell {
		cells := []Cell{q.base(parts, q.steps, k, 0)}
		for i := range parts {
			cells = append(cells, q.with(parts, q.steps, k, i))
		}
		return cells
	})
	if played != nil && !interrupted(played) {
		return nil, played
	}
	if len(done) < 3 {
		return nil, errors.Join(errors.New("too few rows were finished to say anything"), played)
	}
	r := &HangsOnResult{Draws: len(done), Screened: len(done), Bouts: q.Bouts, Total: 2 * len(done) * (len(parts) + 1) * q.Bouts, Partial: played != nil}
	var bases [][]float64
	for _, k := range done {
		bases = append(bases, q.differences(bank, q.base(parts, q.steps, k, 0)))
	}
	r.Difference = q.difference(bases)
	level := 1 - (1-q.Level)/float64(len(parts)) // Bonferroni, for so many parts
	for i := range parts {
		h := parts[i]
		moves, steps := make([][]float64, len(done)), make([]float64, len(done))
		for n, k := range done {
			moves[n], steps[n] = less(q.differences(bank, q.with(parts, q.steps, k, i)), bases[n]), 1
			if m := h.Moved; m != nil {
				first, second := q.steps(k, m)
				steps[n] = second - first
			}
		}
		e := infer.ElementaryEffects(moves, steps, level)
		h.Effect = &e
		r.ScreenTold += order(e.Told)
		r.Parts = append(r.Parts, h)
	}
	ordered(r.Parts, func(h *Hang) float64 { return h.Effect.Size })
	return r, played
}

func less(x, y []float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = x[i] - y[i]
	}
	return out
}

// indices screens, keeps the largest parts, makes one of the rest, and finds the indices of these on rows of their own. Figures that were named are all
// kept, and not screened.
func (q *HangsOn) indices(ctx context.Context, bank *Bank, parts []Hang) (*HangsOnResult, error) {
	screened, kept, from := &HangsOnResult{}, parts, 0
	if len(parts) > q.Keep+1 && len(q.Levers) == 0 { // who names figures has chosen
		var err error
		if screened, err = q.screen(ctx, bank, parts, q.Screen); screened == nil || err != nil {
			return screened, err
		}
		kept, from = q.kept(screened.Parts), q.Screen // what was kept for what these rows say is not judged by them
	}
	rows := func(k int) []Cell {
		cells := []Cell{q.base(kept, q.even, k, 0), q.base(kept, q.even, k, 1)}
		for i := range kept {
			cells = append(cells, q.with(kept, q.even, k, i))
		}
		return cells
	}
	done, played := q.play(ctx, bank, from, from+q.Draws, rows)
	if played != nil && !interrupted(played) {
		return nil, played
	}
	switch {
	case len(done) < 3 && screened.Parts == nil:
		return nil, errors.Join(errors.New("too few rows were finished to say anything"), played)
	case len(done) < 3:
		return screened, played
	}
	return q.indexed(bank, kept, screened, done, played), played
}

// kept are the largest parts and, as one, all others.
func (q *HangsOn) kept(screened []Hang) []Hang {
	var others []*Strand
	for i := q.Keep; i < len(screened); i++ {
		others = append(others, &screened[i].Strand)
	}
	all := remainder(others)
	all.Name = fmt.Sprintf("%s (%d parts)", restName, len(others))
	return append(slices.Clone(screened[:q.Keep]), all)
}

// indexed sums up the rows.
func (q *HangsOn) indexed(bank *Bank, kept []Hang, screened *HangsOnResult, done []int, played error) *HangsOnResult {
	var design []infer.Freeze
	var bases [][]float64
	for _, k := range done {
		f := infer.Freeze{A: q.differences(bank, q.base(kept, q.even, k, 0)), B: q.differences(bank, q.base(kept, q.even, k, 1))}
		for i := range kept {
			f.With = append(f.With, q.differences(bank, q.with(kept, q.even, k, i)))
		}
		design, bases = append(design, f), append(bases, f.A, f.B)
	}
	found := infer.SobolIndices(design, q.Level)
	r := &HangsOnResult{Draws: len(done), Screened: screened.Screened, ScreenTold: screened.ScreenTold, Bouts: q.Bouts, Total: screened.Total + 2*len(done)*(len(kept)+2)*q.Bouts,
		Difference: q.difference(bases), SD: root(found.Variance), SDTold: found.Told, Partial: played != nil}
	for i := range kept {
		h := kept[i]
		h.Index = &found.Inputs[i]
		r.Parts = append(r.Parts, h)
	}
	ordered(r.Parts, func(h *Hang) float64 { return h.Index.Total.Value })
	return r
}
