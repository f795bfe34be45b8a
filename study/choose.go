package study

import (
	"context"
	"errors"
	"fmt"

	"whatbout/internal/infer"
	"whatbout/tactics"
)

// Choice asks which of several plans to take. The first is fighting as usual, against which prices are held. Plans get draws where they lower the
// expected loss of the choice most ([infer.Race]), all on the same luck, until that loss is within Tolerance as far as the simulation goes.
//
// No plan is chosen that raises a price above as usual (see [Harm]) unless AcceptHarm is set: plans that do are barred at once, played no
// further, and shown. One that may raise a price is played on as long as it leads, until it does or is within the margin; if the draws run out
// before that it is barred too.
type Choice struct {
	Meeting
	Plans        []*tactics.Plan
	OpponentPlan *tactics.Plan // nil: as usual
	Value        *Value        // what counts
	Tolerance    float64       // expected loss that the simulation may leave, in the value's unit per bout; above 0
	First        int           // draws of every plan before the first look; from 20, 0: 100
	Draws        int           // at most, of one plan
	Bouts        int           // a draw and plan, from 2
	Level        float64       // of every interval, above 0.5 and below 1
	AcceptHarm   bool
	Workers      int // 0: one a core; never changes the result
	Store        Store
	Progress     func(done, of int) // cells of this look
}

// fewestFirst is as few draws as a first look may have: blocks of the jackknife need one each.
const fewestFirst = 20

// Run plays the choice. Interrupted, it returns what was done together with the context's error, if every plan has draws enough to say anything.
func (q *Choice) Run(ctx context.Context) (*ChoiceResult, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	f, err := newField(q)
	if err != nil {
		return nil, err
	}
	look, interruption := f.race(ctx)
	if interruption != nil && (!interrupted(interruption) || look == nil) {
		return nil, interruption
	}
	r, err := f.result(ctx, look, interruption)
	if err != nil && !interrupted(err) {
		return nil, err
	}
	r.Partial = interruption != nil || err != nil
	return r, errors.Join(interruption, err)
}

func (q *Choice) check() error {
	if q.First == 0 {
		q.First = infer.FirstLook
	}
	switch {
	case len(q.Plans) < 2:
		return errors.New("nothing to choose from; name a plan beside fighting as usual")
	case len(q.Plans[0].Rules) > 0:
		return fmt.Errorf("the first plan is %q; expected fighting as usual, which has no rules", q.Plans[0].Name)
	case q.First < fewestFirst || q.Draws < q.First || q.Bouts < 2:
		return fmt.Errorf("expected at least %d draws before the first look, no fewer in all, and 2 bouts a draw", fewestFirst)
	case !(q.Level > 0.5 && q.Level < 1):
		return fmt.Errorf("a level of %v; expected above 0.5 and below 1", q.Level)
	case !(q.Tolerance > 0):
		return fmt.Errorf("a tolerance of %v; expected above 0", q.Tolerance)
	}
	return nil
}

// field is what was played of all plans.
type field struct {
	q      *Choice
	bank   *Bank
	rows   [][]Values  // by plan and draw
	values [][]float64 // by plan and draw: the mean value of its bouts
	tape   int         // cells of tape's figures alone that were played
}

func newField(q *Choice) (*field, error) {
	bank, err := NewBank(q.Meeting, append(q.Plans, q.OpponentPlan)...)
	if err != nil {
		return nil, err
	}
	bank.Workers, bank.Store, bank.Progress = q.Workers, q.Store, q.Progress
	return &field{q: q, bank: bank, rows: make([][]Values, len(q.Plans)), values: make([][]float64, len(q.Plans))}, nil
}

func (f *field) cell(plan, draw int) Cell {
	return Cell{Plan: f.q.Plans[plan], Reply: f.q.OpponentPlan, Draw: draw, Bouts: f.q.Bouts}
}

// look is how the choice stands.
type look struct {
	infer.Standing
	prices [][]Price // by plan; of as usual none
	in     []bool    // not barred
	looks  int
}

// race plays on from look to look until the rule says stop. Interrupted, it looks at what there is.
func (f *field) race(ctx context.Context) (*look, error) {
	rule := infer.Race{Tolerance: f.q.Tolerance, First: f.q.First, Most: f.q.Draws}
	next := make([]int, len(f.q.Plans))
	for i := range next {
		next[i] = rule.First
	}
	for looks := 1; ; looks++ {
		err := f.play(ctx, next)
		if !f.enough() {
			return nil, err
		}
		l := f.look(rule)
		l.looks = looks
		if err != nil || l.Next == nil {
			return l, err
		}
		next = f.withUsual(l.Next)
	}
}

// look judges the prices and lets the rule look. A leader that may raise a price gets a quarter more draws, and is barred when it has all.
func (f *field) look(rule infer.Race) *look {
	l := &look{}
	l.prices, l.in = f.judge()
	for {
		l.Standing = rule.Look(f.values, l.in)
		n := len(f.values[l.Leader])
		if l.Next != nil || f.q.AcceptHarm || !stands(l.prices[l.Leader], MayRaise) {
			return l
		}
		if n < rule.Most {
			l.Next = f.lengths()
			l.Next[l.Leader] = min(n+(n+3)/4, rule.Most)
			return l
		}
		l.in[l.Leader] = false
	}
}

func (f *field) lengths() []int {
	out := make([]int, len(f.rows))
	for i, rows := range f.rows {
		out[i] = len(rows)
	}
	return out
}

// withUsual gives fighting as usual as many draws as any plan: gains and prices are told against it.
func (f *field) withUsual(next []int) []int {
	for _, n := range next {
		next[0] = max(next[0], n)
	}
	return next
}

// play plays each plan on to so many draws. After an interruption the draws up to the first that is missing count.
func (f *field) play(ctx context.Context, draws []int) error {
	var cells []Cell
	for k := range largest(draws) { // draw by draw, so that an interrupted run has some of all plans
		for i, n := range draws {
			if k >= len(f.rows[i]) && k < n {
				cells = append(cells, f.cell(i, k))
			}
		}
	}
	err := f.bank.Play(ctx, cells)
	for i, n := range draws {
		for k := len(f.rows[i]); k < n && f.bank.Holds(f.cell(i, k)); k++ {
			v := f.bank.Values(f.cell(i, k))
			f.rows[i] = append(f.rows[i], v)
			f.values[i] = append(f.values[i], f.mean(v))
		}
	}
	return err
}

func largest(x []int) (most int) {
	for _, v := range x {
		most = max(most, v)
	}
	return most
}

func (f *field) mean(v Values) (sum float64) {
	for i := range v.Bouts() {
		sum += f.q.Value.Of(v, i) / float64(v.Bouts())
	}
	return sum
}

func (f *field) enough() bool {
	for _, rows := range f.rows {
		if len(rows) < fewestFirst {
			return false
		}
	}
	return true
}

// judge holds every plan's prices against as usual and says which plans are not barred by one that is raised.
func (f *field) judge() (all [][]Price, in []bool) {
	all, in = make([][]Price, len(f.rows)), make([]bool, len(f.rows))
	in[0] = true
	for i := 1; i < len(f.rows); i++ {
		for _, m := range prices {
			all[i] = append(all[i], priceOf(m, f.pairs(i, m), f.q.Level))
		}
		in[i] = f.q.AcceptHarm || !stands(all[i], Raises)
	}
	return all, in
}

// pairs are a plan's bouts of a measure with those as usual, draw by draw.
func (f *field) pairs(plan, measure int) []infer.Pairs {
	out := make([]infer.Pairs, min(len(f.rows[plan]), len(f.rows[0])))
	for k := range out {
		x, y := f.rows[plan][k], f.rows[0][k]
		for b := range x.Bouts() {
			out[k].Add(x.At(b, measure), y.At(b, measure))
		}
	}
	return out
}

// gains are paired differences in value of two plans, a group a draw, over the draws that both have.
func (f *field) gains(i, j int) []infer.Group { return gains(f.q.Value, f.rows[i], f.rows[j]) }

func gains(value *Value, x, y []Values) []infer.Group {
	out := make([]infer.Group, min(len(x), len(y)))
	for k := range out {
		for b := range x[k].Bouts() {
			out[k].Add(value.Of(x[k], b) - value.Of(y[k], b))
		}
	}
	return out
}
