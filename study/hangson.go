package study

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"whatbout/internal/infer"
	"whatbout/tactics"
)

// HangsOn asks what the difference between two plans hangs on: how much of the way it differs between possible truths comes from each part of what is
// in doubt. The parts are strands, which are drawn independently of each other, or stated figures with all the rest as one more part.
type HangsOn struct {
	Meeting
	Plan, Against *tactics.Plan // nil: as usual
	OpponentPlan  *tactics.Plan // nil: as usual
	Value         *Value        // nil: bouts won
	How           How
	Levers        []*Lever // parts instead of strands: moved evenly between their ends, which are what is believed unless stated; not for Shares
	Screen        int      // rows of the screening before Indices; at least 3
	Keep          int      // parts that Indices looks at one by one, the rest being one more; at least 1; of levers all are kept
	Draws         int      // Shares: draws; else rows of the design, two draws each; at least 4
	Bouts         int      // a draw, plan and moved part, at least 2
	Level         float64
	Workers       int
	Store         Store
	Progress      func(done, of int)
}

// How is a way to find out, each dearer than the one before and with less taken for granted.
type How string

// The ways.
const (
	// Shares: straight lines through draws of everything at once. Curves and interplay between parts are not seen.
	Shares How = "shares"
	// Screening: each part moved alone from many places; sizes, and whether a part acts in one direction, but no shares.
	Screening How = "screening"
	// Indices: a screening, then first-order and total indices of the parts that are left, whatever the shape.
	Indices How = "indices"
)

// Hang is what is known of one part.
type Hang struct {
	Strand
	Figures int               `json:"figures"`
	Moved   *MovedFigure      `json:"moved,omitempty"`
	Rest    bool              `json:"rest,omitempty"`   // all that is not looked at one by one
	Share   *infer.Ratio      `json:"share,omitempty"`  // of what straight lines explain
	Effect  *infer.Elementary `json:"effect,omitempty"` // per whole range, or per change from one truth to another
	Index   *infer.Index      `json:"index,omitempty"`
}

// HangsOnResult answers it, the largest part first.
type HangsOnResult struct {
	Draws, Bouts, Total int
	Screened            int      // rows of the screening
	ScreenTold          int      // parts that the screening told to move the difference
	Difference          Estimate // the plan less the other
	SD                  float64  // of the difference between truths, by straight lines (Shares) or whatever the shape (Indices); 0 where noise has it all
	SDTold              bool
	Explained           float64 // Shares: columns of figures in the regression
	Parts               []Hang
	Partial             bool
}

// Run plays and answers. Interrupted, it says what the draws that were finished tell, if they are enough.
func (q *HangsOn) Run(ctx context.Context) (*HangsOnResult, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	bank, err := NewBank(q.Meeting, q.Plan, q.Against, q.OpponentPlan)
	if err != nil {
		return nil, err
	}
	bank.Workers, bank.Store, bank.Progress = q.Workers, q.Store, q.Progress
	if q.How == Shares {
		return q.shares(ctx, bank)
	}
	parts, err := q.parts()
	if err != nil {
		return nil, err
	}
	if q.How == Screening {
		return q.screen(ctx, bank, parts, q.Draws)
	}
	return q.indices(ctx, bank, parts)
}

func (q *HangsOn) check() error {
	switch {
	case q.Draws < 4 || q.Bouts < 2:
		return errors.New("expected at least 4 draws of 2 bouts")
	case !(q.Level > .5 && q.Level < 1):
		return fmt.Errorf("a level of %v; expected above 0.5 and below 1", q.Level)
	case q.How != Shares && q.How != Screening && q.How != Indices:
		return fmt.Errorf("%q; expected %s, %s or %s", q.How, Shares, Screening, Indices)
	case q.How == Shares && len(q.Levers) > 0:
		return fmt.Errorf("figures of one's own are moved by %s and %s; %s takes everything as it is believed", Screening, Indices, Shares)
	case q.How == Indices && (q.Screen < 3 || q.Keep < 1):
		return errors.New("expected at least 3 rows of screening and 1 part to keep")
	}
	return nil
}

// parts are the strands, or the levers and all the rest.
func (q *HangsOn) parts() (out []Hang, err error) {
	strands := q.strands()
	if len(q.Levers) == 0 {
		for _, s := range strands {
			out = append(out, Hang{Strand: *s, Figures: len(s.figures[0]) + len(s.figures[1])})
		}
		return out, nil
	}
	var faults []error
	for i, l := range q.Levers {
		m, err := q.ends(*l, q.Plan, q.Level)
		faults = append(faults, err)
		if slices.ContainsFunc(q.Levers[:i], func(o *Lever) bool { return o.Dial == l.Dial && o.Whose == l.Whose }) {
			faults = append(faults, fmt.Errorf("%s is named twice", l.Dial.Name))
		}
		out = append(out, Hang{Strand: Strand{Name: m.Plain, Of: m.Of, Doubt: m.Source}, Figures: 1, Moved: &m})
	}
	return append(out, remainder(strands)), errors.Join(faults...)
}

// restName is what is not looked at by itself.
const restName = "everything else"

// remainder is one part of many strands.
func remainder(strands []*Strand) Hang {
	h := Hang{Strand: Strand{Name: restName, Doubt: "both"}, Rest: true}
	for _, s := range strands {
		h.Figures += len(s.figures[0]) + len(s.figures[1])
		for whose := range 2 {
			h.figures[whose] = append(h.figures[whose], s.figures[whose]...)
		}
		h.world, h.coin = h.world || s.world, h.coin || s.coin
	}
	return h
}

// differences plays nothing: it gives the bouts' differences of a cell under the two plans.
func (q *HangsOn) differences(bank *Bank, c Cell) []float64 {
	value := q.Value.orWin()
	other := c
	c.Plan, other.Plan = q.Plan, q.Against
	x, y := bank.Values(c), bank.Values(other)
	out := make([]float64, x.Bouts())
	for i := range out {
		out[i] = value.Of(x, i) - value.Of(y, i)
	}
	return out
}

// both gives a cell under both plans.
func (q *HangsOn) both(c Cell) []Cell {
	other := c
	c.Plan, other.Plan = q.Plan, q.Against
	return []Cell{c, other}
}

// play plays rows and gives those that are held whole.
func (q *HangsOn) play(ctx context.Context, bank *Bank, from, to int, row func(k int) []Cell) ([]int, error) {
	var cells []Cell
	whole := func(k int) (out []Cell) {
		for _, c := range row(k) {
			out = append(out, q.both(c)...)
		}
		return out
	}
	for k := from; k < to; k++ {
		cells = append(cells, whole(k)...)
	}
	err := bank.Play(ctx, cells)
	if err != nil && !interrupted(err) {
		return nil, err
	}
	var done []int
	for k := from; k < to; k++ {
		if !slices.ContainsFunc(whole(k), func(c Cell) bool { return !bank.Holds(c) }) {
			done = append(done, k)
		}
	}
	return done, err
}

// difference sums up the cells of independent draws.
func (q *HangsOn) difference(rows [][]float64) Estimate {
	groups := make([]infer.Group, len(rows))
	for k, row := range rows {
		for _, x := range row {
			groups[k].Add(x)
		}
	}
	return estimate(groups, q.Level)
}

// ordered puts parts, the largest first, in order, all the rest last.
func ordered(parts []Hang, size func(*Hang) float64) {
	slices.SortStableFunc(parts, func(a, b Hang) int {
		if a.Rest != b.Rest {
			return cmp.Compare(is(a.Rest), is(b.Rest))
		}
		return cmp.Compare(size(&b), size(&a))
	})
}

func root(x float64) float64 { return math.Sqrt(max(x, 0)) }
