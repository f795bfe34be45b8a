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

// Tornado asks which of many figures move what a plan is worth against another most, each moved alone from end to end of what is believed of
// it, or of a stated range, while all else is drawn as it is believed to be. Both ends and both plans are on the same luck.
type Tornado struct {
	Meeting
	Plan, Against *tactics.Plan // nil: as usual
	OpponentPlan  *tactics.Plan // nil: as usual
	Value         *Value        // nil: bouts won
	Levers        []*Lever
	Lenient       bool // levers that cannot be moved are left out and named, instead of refused
	Draws         int  // at least 4
	Bouts         int  // a draw, plan and end, at least 2
	Level         float64
	Workers       int
	Store         Store
	Progress      func(done, of int)
}

// Bar is what moving one figure from its low to its high end does.
type Bar struct {
	MovedFigure
	AtLow  Estimate `json:"at_low"`  // the plan less the other
	AtHigh Estimate `json:"at_high"` // the same
	Effect Estimate `json:"effect"`  // at high less at low
	Own    Estimate `json:"own"`     // at high less at low, of the plan by itself
	Told   bool     `json:"told"`    // Effect is told from none although so many figures were looked at (Bonferroni)
}

// TornadoResult answers it, told effects first, the largest first.
type TornadoResult struct {
	Draws, Bouts, Total int
	Bars                []Bar
	LeftOut             []string // with the reason
	Saved               *float64 // separate bouts that one bout on shared luck is worth; nil: nothing differs
	Partial             bool
}

// Run plays it. Interrupted, it returns what was done together with the context's error, if that is at least two draws.
func (q *Tornado) Run(ctx context.Context) (*TornadoResult, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	moved, left, err := q.moved()
	if err != nil {
		return nil, err
	}
	bank, err := NewBank(q.Meeting, q.Plan, q.Against, q.OpponentPlan)
	if err != nil {
		return nil, err
	}
	bank.Workers, bank.Store, bank.Progress = q.Workers, q.Store, q.Progress
	var cells []Cell
	for k := range q.Draws {
		cells = append(cells, q.cells(moved, k)...)
	}
	err = bank.Play(ctx, cells)
	if err != nil && !interrupted(err) {
		return nil, err
	}
	var done []int
	for k := range q.Draws {
		if !slices.ContainsFunc(q.cells(moved, k), func(c Cell) bool { return !bank.Holds(c) }) {
			done = append(done, k)
		}
	}
	if len(done) < 2 {
		return nil, errors.Join(errors.New("too few draws were finished to say anything"), err)
	}
	r := &TornadoResult{Draws: len(done), Bouts: q.Bouts, Total: len(done) * len(moved) * 4 * q.Bouts, LeftOut: left, Partial: err != nil}
	q.bars(r, bank, moved, done)
	return r, err
}

func (q *Tornado) check() error {
	switch {
	case q.Draws < 4 || q.Bouts < 2:
		return errors.New("a tornado needs at least 4 draws of 2 bouts")
	case !(q.Level > .5 && q.Level < 1):
		return fmt.Errorf("a level of %v; expected above 0.5 and below 1", q.Level)
	case len(q.Levers) == 0:
		return errors.New("a tornado needs at least one figure")
	}
	seen := map[string]bool{}
	for _, l := range q.Levers {
		name := []string{"fighter:", "opponent:"}[l.Whose] + l.Dial.Name
		if seen[name] {
			return fmt.Errorf("%s is named twice", name)
		}
		seen[name] = true
	}
	return nil
}

// moved gives every lever its ends.
func (q *Tornado) moved() (out []MovedFigure, left []string, err error) {
	var faults []error
	for _, l := range q.Levers {
		m, err := q.ends(*l, q.Plan, q.Level)
		switch {
		case err == nil:
			out = append(out, m)
		case q.Lenient:
			left = append(left, err.Error())
		default:
			faults = append(faults, err)
		}
	}
	if err := errors.Join(faults...); err != nil {
		return nil, nil, err
	}
	if len(out) == 0 {
		return nil, nil, errors.New("none of these figures can be moved")
	}
	return out, left, nil
}

// cell is draw k under a plan with one figure at an end.
func (q *Tornado) cell(plan *tactics.Plan, m *MovedFigure, at float64, k int) Cell {
	return Cell{Plan: plan, Reply: q.OpponentPlan, Draw: k, Bouts: q.Bouts, Set: []Setting{m.at(at)}}
}

// corners are the four of a figure and draw: the other plan and the plan at the low end, then at the high end.
func (q *Tornado) corners(m *MovedFigure, k int) [4]Cell {
	return [4]Cell{q.cell(q.Against, m, m.Low, k), q.cell(q.Plan, m, m.Low, k), q.cell(q.Against, m, m.High, k), q.cell(q.Plan, m, m.High, k)}
}

func (q *Tornado) cells(moved []MovedFigure, k int) (out []Cell) {
	for i := range moved {
		corners := q.corners(&moved[i], k)
		out = append(out, corners[:]...)
	}
	return out
}

// contrasts of the four corners: the difference at the low and at the high end, its change, and the change of the plan's own.
var tornadoContrasts = [4][4]float64{{-1, 1, 0, 0}, {0, 0, -1, 1}, {1, -1, -1, 1}, {0, -1, 0, 1}}

// bars sums up every figure and puts them in order.
func (q *Tornado) bars(r *TornadoResult, bank *Bank, moved []MovedFigure, draws []int) {
	apart, paired := 0.0, 0.0
	sure := 1 - (1-q.Level)/float64(len(moved))
	for i := range moved {
		m := &moved[i]
		var sums [4][]infer.Group
		var singles [4][]infer.Group
		for _, k := range draws {
			q.sum(bank, m, k, &sums, &singles)
		}
		effect := infer.Split(sums[2])
		among := effect.Simulation(sure)
		r.Bars = append(r.Bars, Bar{MovedFigure: *m, AtLow: estimate(sums[0], q.Level), AtHigh: estimate(sums[1], q.Level), Effect: estimate(sums[2], q.Level),
			Own: estimate(sums[3], q.Level), Told: !among.Holds(0)})
		paired += effect.MSW
		for _, s := range singles {
			apart += infer.Split(s).MSW
		}
	}
	if paired > 1e-12*apart {
		saved := apart / paired
		r.Saved = &saved
	}
	slices.SortStableFunc(r.Bars, func(a, b Bar) int {
		if a.Told != b.Told {
			return cmp.Compare(order(b.Told), order(a.Told))
		}
		return cmp.Compare(math.Abs(b.Effect.Mean), math.Abs(a.Effect.Mean))
	})
}

func order(x bool) int { return int(is(x)) }

// sum adds one draw of a figure: its contrasts and its corners.
func (q *Tornado) sum(bank *Bank, m *MovedFigure, k int, sums, singles *[4][]infer.Group) {
	value := q.Value.orWin()
	var corners [4]Values
	for c, cell := range q.corners(m, k) {
		corners[c] = bank.Values(cell)
	}
	var contrast, single [4]infer.Group
	for i := range q.Bouts {
		var x [4]float64
		for c := range corners {
			x[c] = value.Of(corners[c], i)
			single[c].Add(x[c])
		}
		for c, weights := range tornadoContrasts {
			sum := 0.0
			for corner, w := range weights {
				sum += w * x[corner]
			}
			contrast[c].Add(sum)
		}
	}
	for c := range contrast {
		sums[c], singles[c] = append(sums[c], contrast[c]), append(singles[c], single[c])
	}
}
