package study

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"whatbout/internal/infer"
	"whatbout/sim/batch"
	"whatbout/tactics"
)

// Adjust asks what plans are worth when the opponent adjusts: every plan of the fighter is played against every plan of the opponent, and the
// matrix of bouts won and half of those that nobody wins is solved as a zero-sum game. All meetings of a draw are on the same luck.
//
// As in [Choice], no plan is taken that raises a price above as usual, over all replies alike, unless AcceptHarm is set; nor one that a best
// mixture would use and that may raise one. The opponent is not held to that.
type Adjust struct {
	Meeting
	Plans      []*tactics.Plan // the fighter's; the first is fighting as usual
	Replies    []*tactics.Plan // the opponent's; the first is fighting as usual
	Draws      int             // from 20
	Bouts      int             // a draw and meeting, from 2
	Level      float64         // of every interval, above 0.5 and below 1
	Slack      float64         // what a mixture may give away and still be as good, as a share of bouts; above 0
	AcceptHarm bool
	Workers    int // 0: one a core; never changes the result
	Store      Store
	Progress   func(done, of int) // cells
}

// fewestAdjust is as few draws as a matrix may be told from: cross-fitting needs two in each of ten folds.
const fewestAdjust = 20

// Run plays and solves. Interrupted, it says what the draws that were finished tell, if they are enough.
func (q *Adjust) Run(ctx context.Context) (*AdjustResult, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	bank, err := NewBank(q.Meeting, slices.Concat(q.Plans, q.Replies)...)
	if err != nil {
		return nil, err
	}
	bank.Store, bank.Workers, bank.Progress = q.Store, q.Workers, q.Progress
	interruption := bank.Play(ctx, q.cells(q.Draws, false, nil))
	if interruption != nil && !interrupted(interruption) {
		return nil, interruption
	}
	m := q.matrix(bank)
	if len(m.draws) < fewestAdjust {
		return nil, errors.Join(fmt.Errorf("%d draws were finished, and %d are needed to tell anything", len(m.draws), fewestAdjust), interruption)
	}
	r, err := m.result()
	if err != nil {
		return nil, err
	}
	if interruption == nil {
		if interruption = bank.Play(ctx, q.cells(tapeDraws(q.Draws), true, r.used)); interruption == nil {
			r.AllDoubt, r.Tape = infer.SpreadBoth(m.mixed(r, false), m.mixed(r, true), q.Level)
		} else if !interrupted(interruption) {
			return nil, interruption
		}
	}
	r.Played, r.Partial = m.bouts(r, interruption == nil), interruption != nil
	return r, interruption
}

// bouts counts what the answer rests on, those of plans of the same content once.
func (m *matrix) bouts(r *AdjustResult, tape bool) int {
	seen := map[[2]Key]bool{}
	draws := 0
	for i, p := range m.q.Plans {
		for j, reply := range m.q.Replies {
			pair := [2]Key{m.bank.keys.plans[p], m.bank.keys.plans[reply]}
			if !seen[pair] {
				seen[pair] = true
				draws += len(m.draws)
				if tape && r.used(i, j) {
					draws += tapeDraws(m.q.Draws)
				}
			}
		}
	}
	return draws * m.q.Bouts
}

func (q *Adjust) check() error {
	if q.Slack == 0 {
		q.Slack = .005
	}
	switch {
	case len(q.Plans) < 1 || len(q.Replies) < 1 || len(q.Plans)+len(q.Replies) < 3:
		return errors.New("nothing to adjust to; name a plan beside fighting as usual")
	case len(q.Plans[0].Rules)+len(q.Replies[0].Rules) > 0:
		return errors.New("the first plan of both sides must be fighting as usual")
	case q.Draws < fewestAdjust || q.Bouts < 2:
		return fmt.Errorf("expected at least %d draws of 2 bouts", fewestAdjust)
	case !(q.Level > .5 && q.Level < 1):
		return fmt.Errorf("a level of %v; expected above 0.5 and below 1", q.Level)
	case !(q.Slack > 0):
		return fmt.Errorf("a slack of %v; expected above 0", q.Slack)
	}
	return nil
}

func (q *Adjust) cell(plan, reply, draw int, tape bool) Cell {
	return Cell{Plan: q.Plans[plan], Reply: q.Replies[reply], Draw: draw, Bouts: q.Bouts, Tape: tape}
}

// cells lists the meetings of so many draws, draw by draw, so that an interrupted run has some draws of all; used says which, nil all.
func (q *Adjust) cells(draws int, tape bool, used func(plan, reply int) bool) (out []Cell) {
	for k := range draws {
		for i := range q.Plans {
			for j := range q.Replies {
				if used == nil || used(i, j) {
					out = append(out, q.cell(i, j, k, tape))
				}
			}
		}
	}
	return out
}

// matrix is what was played, by draws that were finished.
type matrix struct {
	q       *Adjust
	bank    *Bank
	draws   []int
	payoffs [][][]float64 // draw mean by draw, plan and reply
}

func (q *Adjust) matrix(bank *Bank) *matrix {
	m := &matrix{q: q, bank: bank}
	for k := range q.Draws {
		if !slices.ContainsFunc(q.cells(1, false, nil), func(c Cell) bool { c.Draw = k; return !bank.Holds(c) }) {
			m.draws = append(m.draws, k)
		}
	}
	m.payoffs = make([][][]float64, len(m.draws))
	_ = batch.Run(context.Background(), len(m.draws), q.Workers, func(_, at int) error {
		pay := grid[float64](len(q.Plans), len(q.Replies))
		for i := range pay {
			for j := range pay[i] {
				pay[i][j] = m.group(i, j, m.draws[at]).Mean()
			}
		}
		m.payoffs[at] = pay
		return nil
	}, nil)
	return m
}

var lossMeasure = MeasureNamed("loss")

// payoff is a bout won and half of one that nobody wins, so that both corners' payoffs sum to one.
func payoff(v Values, bout int) float64 {
	return (1 + v.At(bout, winMeasure) - v.At(bout, lossMeasure)) / 2
}

func (m *matrix) values(plan, reply, draw int, tape bool) Values {
	return m.bank.Values(m.q.cell(plan, reply, draw, tape))
}

func (m *matrix) group(plan, reply, draw int) (g infer.Group) {
	v := m.values(plan, reply, draw, false)
	for b := range v.Bouts() {
		g.Add(payoff(v, b))
	}
	return g
}

// groups are the draws of one meeting.
func (m *matrix) groups(plan, reply int) (out []infer.Group) {
	for _, k := range m.draws {
		out = append(out, m.group(plan, reply, k))
	}
	return out
}

// prices are what a plan costs against as usual, over these replies alike.
func (m *matrix) prices(plan int, replies []int) (out []Price) {
	for _, measure := range prices {
		pairs := make([]infer.Pairs, len(m.draws))
		for at, k := range m.draws {
			for _, j := range replies {
				x, y := m.values(plan, j, k, false), m.values(0, j, k, false)
				for b := range x.Bouts() {
					pairs[at].Add(x.At(b, measure), y.At(b, measure))
				}
			}
		}
		out = append(out, priceOf(measure, pairs, m.q.Level))
	}
	return out
}

// mixed are bouts as both mixtures weigh them, a group a draw.
func (m *matrix) mixed(r *AdjustResult, tape bool) (out []infer.Group) {
	draws := m.draws
	if tape {
		draws = nil
		for k := range tapeDraws(m.q.Draws) {
			draws = append(draws, k)
		}
	}
	for _, k := range draws {
		sums := make([]float64, m.q.Bouts)
		for i := range r.Yours {
			for j := range r.Theirs {
				if !r.used(i, j) {
					continue
				}
				v, w := m.values(i, j, k, tape), r.Yours[i].Share.Share.Centre*r.Theirs[j].Share.Share.Centre
				for b := range sums {
					sums[b] += w * payoff(v, b)
				}
			}
		}
		var g infer.Group
		for _, x := range sums {
			g.Add(x)
		}
		out = append(out, g)
	}
	return out
}
