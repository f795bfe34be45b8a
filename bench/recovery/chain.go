package main

import (
	"context"
	"fmt"
	"io"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/plans"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/study"
	"whatbout/tactics"
)

// The whole chain: truth, tape, calibration, comparison of a plan with fighting as usual. Draws and bouts are few, since hundreds of
// comparisons are played; the level is one that so few draws still reach.
const (
	chainPlan   = "answer-every-attack"
	chainLevel  = .8
	chainDraws  = 64 // of both doubts; half as many of tape doubt alone
	truthBouts  = 1500
	chainLeague = 12 // fighters; neighbours are compared
)

// effects are what a plan changes that the chain is held to, as study measures them.
var effects = []struct {
	name string
	of   func(*sim.Outcome) float64
}{
	{"counters_per_minute", func(o *sim.Outcome) float64 { return perMinute(o, o.Sides[0].Counters) }},
	{"head_strikes_absorbed_per_minute", func(o *sim.Outcome) float64 { return perMinute(o, o.Sides[1].HeadClean) }},
	{"win", func(o *sim.Outcome) float64 {
		if int(o.Verdict.Winner) == 0 {
			return 1
		}
		return 0
	}},
}

func perMinute(o *sim.Outcome, n int64) float64 { return float64(n) * 60e6 / float64(max(o.Time, 1)) }

// held is how intervals of one effect fared.
type held struct{ intervals, inside, unresolved, within, width float64 }

// share gives the share of n, with its standard error.
func share(x, n float64) string {
	if n == 0 {
		return "-"
	}
	q := x / n
	return fmt.Sprintf("%.2f +- %.2f", q, math.Sqrt(q*(1-q)/n))
}

// chain prints how often the tape interval of the plan's effect held the truth, and how wide it was.
func chain(ctx context.Context, w io.Writer, rounds []int, pairs, bouts int) error {
	data, err := plans.Read(chainPlan)
	if err != nil {
		return err
	}
	plan, err := tactics.Read(chainPlan, data)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "%s against as usual, %d pairs of truths; %.0f %% tape intervals from %d draws of %d bouts; truth from %d bouts a pair and plan.\n",
		chainPlan, pairs, chainLevel*100, chainDraws/2, bouts, truthBouts)
	fmt.Fprintln(w, "Intervals that the bouts do not resolve have no width and are counted apart: within, where the truth lies as near the mean as the upper")
	fmt.Fprintln(w, "limit of the draws' spread allows at that level. Standard errors behind +-; they are of pairs of truths.")
	fmt.Fprintf(w, "%-33s %6s %8s %14s %10s %10s %14s\n", "effect", "rounds", "resolved", "inside", "mean width", "unresolved", "within")
	for _, n := range rounds {
		got, err := chained(ctx, plan, n, pairs, bouts)
		if err != nil {
			return err
		}
		for i, e := range effects {
			h := got[i]
			fmt.Fprintf(w, "%-33s %6d %8.0f %14s %10.3f %10.0f %14s\n", e.name, n, h.intervals, share(h.inside, h.intervals),
				h.width/max(h.intervals, 1), h.unresolved, share(h.within, h.unresolved))
		}
	}
	return nil
}

func chained(ctx context.Context, plan *tactics.Plan, rounds, pairs, bouts int) ([]held, error) {
	got := make([]held, len(effects))
	for at := 0; at < pairs; {
		l, err := newLeague(uint64(1000+at), chainLeague, rounds)
		if err != nil {
			return nil, err
		}
		r, err := calibrate.Calibrate(l.tape, calibrate.Options{})
		if err != nil {
			return nil, err
		}
		for i := 0; i+1 < chainLeague && at < pairs; i, at = i+2, at+1 {
			if err := l.hold(ctx, got, r, plan, i, bouts); err != nil {
				return nil, err
			}
		}
	}
	return got, nil
}

// hold compares the plan for two neighbours and holds the intervals against the truth.
func (l *league) hold(ctx context.Context, got []held, r *calibrate.Result, plan *tactics.Plan, i, bouts int) error {
	joint, err := r.Joint()
	if err != nil {
		return err
	}
	truth, err := l.effectsOf(plan, i)
	if err != nil {
		return err
	}
	red, blue := l.ids[i], l.ids[i+1]
	q := study.Comparison{Fighter: r.Profiles[red], Opponent: r.Profiles[blue], Joint: joint.Of(red, blue),
		Plans: []*tactics.Plan{{Name: "as usual"}, plan}, Rules: l.rules, Seed: uint64(i), Draws: chainDraws, Bouts: bouts, Level: chainLevel}
	result, err := q.Run(ctx)
	if err != nil {
		return err
	}
	for k, e := range effects {
		switch d := result.Find(plan.Name, e.name); {
		case !d.Tape.Resolved:
			got[k].unresolved++
			if math.Abs(truth[k]-d.Tape.Centre) <= distuv.UnitNormal.Quantile((1+chainLevel)/2)*d.Tape.AtMost {
				got[k].within++
			}
		default:
			got[k].intervals++
			got[k].width += d.Tape.High - d.Tape.Low
			if d.Tape.Low <= truth[k] && truth[k] <= d.Tape.High {
				got[k].inside++
			}
		}
	}
	return nil
}

// effectsOf plays what the plan changes in truth, over the same luck with and without it.
func (l *league) effectsOf(plan *tactics.Plan, i int) ([]float64, error) {
	compiled, err := tactics.Compile(plan)
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(effects))
	b := sim.NewBout()
	b.Setup(l.rules, sim.AverageWorld())
	body := fighter.AverageBody()
	if err := b.Sides[1].Load(body, l.truths[i+1], nil, nil, l.rules); err != nil {
		return nil, err
	}
	for sign, p := range map[float64]*tactics.Compiled{-1: nil, 1: compiled} {
		var shares []float64
		if p != nil {
			shares = p.Shares(0)
		}
		if err := b.Sides[0].Load(body, l.truths[i], p, shares, l.rules); err != nil {
			return nil, err
		}
		for bout := range truthBouts {
			o := b.Run(kernel.NewKey(0x7472757468, uint64(i), uint64(bout)))
			for k, e := range effects {
				out[k] += sign * e.of(&o) / truthBouts
			}
		}
	}
	return out, nil
}
