package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"sync"

	"whatbout/calibrate"
	"whatbout/demo"
	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

// question is what is asked both ways: what so many more rounds of the two against each other teach about a plan against as usual.
type question struct {
	tape   []*tape.Coding // what there is
	rules  *tape.RuleSet
	pair   *fighter.Pair // calibrated from it
	plan   *tactics.Plan
	rounds int // of tape to come, a multiple of three
	seed   uint64
}

func newQuestion(rounds int, seed uint64) (*question, error) {
	codings, err := demo.Tape()
	if err != nil {
		return nil, err
	}
	rules, err := demo.Rules()
	if err != nil {
		return nil, err
	}
	q := &question{tape: codings, rules: rules, plan: demo.StayClose, rounds: rounds, seed: seed}
	q.pair, err = q.calibrated(nil)
	return q, err
}

// calibrated reads the tape there is together with more.
func (q *question) calibrated(more []*tape.Coding) (*fighter.Pair, error) {
	r, err := calibrate.Calibrate(append(append([]*tape.Coding(nil), q.tape...), more...), calibrate.Options{For: []string{demo.Fighter, demo.Opponent}})
	if err != nil {
		return nil, err
	}
	joint, err := r.Joint()
	if err != nil {
		return nil, err
	}
	return fighter.JoinPair(r.Profiles[demo.Fighter], r.Profiles[demo.Opponent], joint)
}

// toCome plays and codes bouts of a possible truth: tape's figures drawn from what is believed now, assumptions at their centres, since
// calibration reads tape by them.
func (q *question) toCome(k uint64) (out []*tape.Coding, err error) {
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(q.rules, sim.AverageWorld())
	red, blue := q.pair.Draw(q.seed, k, false)
	for c, d := range []fighter.Draw{red, blue} {
		if err := b.Sides[c].Load([]*fighter.Profile{q.pair.Red, q.pair.Blue}[c].Body, d, nil, nil, q.rules); err != nil {
			return nil, err
		}
	}
	like, err := demo.Coded(0)
	if err != nil {
		return nil, err
	}
	for i := range q.rounds / q.rules.Rounds {
		b.Run(kernel.NewKey(q.seed, 0x746f636f6d65, k, uint64(i)))
		bout := *like.Bout
		bout.ID, bout.Fighters = fmt.Sprintf("to-come-%d", i), [2]tape.Fighter{entered(q.pair.Red), entered(q.pair.Blue)}
		coding := &tape.Coding{Bout: &bout, Name: "events"}
		for _, e := range b.Events {
			coding.Rows = append(coding.Rows, tape.Row{Event: e})
		}
		out = append(out, coding)
	}
	return out, nil
}

func entered(p *fighter.Profile) tape.Fighter {
	stance := tape.Orthodox
	if p.Body.Southpaw {
		stance = tape.Southpaw
	}
	return tape.Fighter{ID: p.ID, Body: &tape.Physique{Stature: p.Body.Stature, Span: p.Body.Span, Leg: p.Body.Leg, Weight: p.Body.Weight, Stance: stance}}
}

// values are what is held: what is asked for, and what hangs on tape so much that the two ways can be told apart if they differ.
var values = []string{"win", "head_strikes_absorbed_per_minute", "steps_back_per_minute", "takedowns"}

// differs plays the plan and as usual for a pair and gives the difference by value, a group a draw.
func (q *question) differs(ctx context.Context, pair *fighter.Pair, seed uint64, draws, bouts int) (out [][]infer.Group, played int, err error) {
	bank, err := study.NewBank(study.Meeting{Fighter: pair.Red, Opponent: pair.Blue, Joint: pair.Joint, Rules: q.rules, Seed: seed}, q.plan)
	if err != nil {
		return nil, 0, err
	}
	var cells []study.Cell
	for k := range draws {
		for _, p := range []*tactics.Plan{q.plan, nil} {
			cells = append(cells, study.Cell{Plan: p, Draw: k, Bouts: bouts})
		}
	}
	if err := bank.Play(ctx, cells); err != nil {
		return nil, 0, err
	}
	out = make([][]infer.Group, len(values))
	for v, name := range values {
		for k := range draws {
			out[v] = append(out[v], bank.Pairs(cells[2*k], cells[2*k+1], study.MeasureNamed(name)).Difference())
		}
	}
	return out, bank.Played, nil
}

// learned is the variance of what will be believed of the difference, with its standard error, and what it took.
type learned struct {
	mean, meanError         float64 // of the difference
	variance, varianceError float64
	bouts, calibrations     int
}

// nested is two-level Monte Carlo: for every possible truth tape is played and coded, all tape is calibrated again, and the difference is played for
// what is then believed. What the inner bouts add to the variance of the means is taken off.
func (q *question) nested(ctx context.Context, outer, draws, bouts int) ([]learned, error) {
	out, means, noise := make([]learned, len(values)), make([]infer.Group, len(values)), make([]float64, len(values))
	for k := range outer {
		more, err := q.toCome(uint64(k))
		if err != nil {
			return nil, err
		}
		pair, err := q.calibrated(more)
		if err != nil {
			return nil, err
		}
		groups, played, err := q.differs(ctx, pair, q.seed+1+uint64(k), draws, bouts)
		if err != nil {
			return nil, err
		}
		for v := range values {
			c := infer.Split(groups[v])
			means[v].Add(c.Mean)
			noise[v] += c.SE() * c.SE() / float64(outer)
			out[v].bouts, out[v].calibrations = out[v].bouts+played+q.rounds/q.rules.Rounds, k+1
		}
	}
	for v := range out {
		n := means[v].N
		all := (means[v].SumSq - means[v].Sum*means[v].Sum/n) / (n - 1)
		out[v].mean, out[v].meanError = means[v].Mean(), math.Sqrt(all/n)
		out[v].variance, out[v].varianceError = all-noise[v], all*math.Sqrt(2/(n-1))
	}
	return out, nil
}

// regressed is what next says of whole rounds of both.
func (q *question) regressed(ctx context.Context, draws int) ([]learned, error) {
	n := &study.Next{Meeting: study.Meeting{Fighter: q.pair.Red, Opponent: q.pair.Blue, Joint: q.pair.Joint, Rules: q.rules, Seed: q.seed},
		Plans: []*tactics.Plan{demo.AsUsual, q.plan}, Draws: draws, Bouts: 2, Level: .95, Minutes: []float64{float64(q.rounds*q.rules.RoundSeconds) / 60},
		Store: &memory{held: map[study.Key][]byte{}}}
	yields, err := calibrate.Yields(q.pair, q.rules)
	if err != nil {
		return nil, err
	}
	for c, y := range yields {
		n.Adds[c], n.Shares[c] = y.Adds, y.Share
	}
	out := make([]learned, len(values))
	for v, name := range values {
		if n.Value, err = study.ReadValue(name); err != nil {
			return nil, err
		}
		r, err := n.Run(ctx)
		if err != nil {
			return nil, err
		}
		l := &out[v]
		l.mean, l.meanError, l.bouts = r.Differences[0].Mean, r.Differences[0].Simulation, r.Played
		for _, t := range r.Tape {
			if t.Zone == "" { // each fighter's; the figures of the two add up in a linear regression
				l.variance += t.Variance
				l.varianceError = math.Hypot(l.varianceError, t.VarianceError)
			}
		}
	}
	return out, nil
}

// memory keeps what one value played for the next.
type memory struct {
	sync.Mutex
	held map[study.Key][]byte
}

func (m *memory) Get(k study.Key) ([]byte, bool) {
	m.Lock()
	defer m.Unlock()
	v, ok := m.held[k]
	return v, ok
}

func (m *memory) Put(k study.Key, v []byte) error {
	m.Lock()
	defer m.Unlock()
	m.held[k] = v
	return nil
}

// gain is what learning wins in choosing, by normal theory.
func (l *learned) gain() float64 {
	sd := math.Sqrt(max(l.variance, 0))
	if sd == 0 {
		return 0
	}
	return sd * infer.NormalLoss(math.Abs(l.mean)/sd)
}

func (l *learned) tell(w io.Writer, how string) {
	fmt.Fprintf(w, "  %-10s %+9.4f ± %.4f   learned: variance %.6f ± %.6f, worth %.5f; %d bouts, %d calibrations\n", how, l.mean, l.meanError, l.variance,
		l.varianceError, l.gain(), l.bouts, l.calibrations)
}
