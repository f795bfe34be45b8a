package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"runtime"
	"sync/atomic"

	"gonum.org/v1/gonum/stat"
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
	truthBouts  = 2000
	chainLeague = 12 // fighters; neighbours are compared
)

// effects are what a plan changes that the chain is held to, as study measures them.
var effects = []struct {
	name string
	of   func(*sim.Outcome) float64
}{
	{"counters_per_minute", func(o *sim.Outcome) float64 { return perMinute(o, o.Sides[0].Counters) }},
	{"head_strikes_absorbed_per_minute", func(o *sim.Outcome) float64 { return perMinute(o, o.Sides[1].HeadClean) }},
	{"score_margin", func(o *sim.Outcome) float64 { return float64(o.Chances.Margin) / (1 << 20) }},
	{"win", func(o *sim.Outcome) float64 { return float64(o.Chances.Red) / (1 << 32) }},
}

func perMinute(o *sim.Outcome, n int64) float64 { return float64(n) * 60e6 / float64(max(o.Time, 1)) }

// held is how intervals of one effect fared.
type held struct {
	intervals, inside, unresolved, within, width float64
	between, off                                 []float64 // by pair: the draws' variance, and the squared distance of truth and centre less luck
	means                                        []float64 // by pair: the variance of the draws' means, over draws and luck
}

// spread is the standard deviation that tape leaves, over all pairs, whether the bouts resolved each or not: only so is it without bias. ratio is
// the squared distance of truths from centres over its square, 1 if tape's doubt is as large as it says; its standard error is of pairs,
// by the delta method.
func (h *held) spread() (sd, ratio, se float64) {
	between, off := stat.Mean(h.between, nil), stat.Mean(h.off, nil)
	if between <= 0 {
		return 0, math.NaN(), math.NaN()
	}
	ratio = off / between
	left := make([]float64, len(h.off))
	for i := range left {
		left[i] = h.off[i] - ratio*h.between[i]
	}
	return math.Sqrt(between), ratio, stat.StdDev(left, nil) / math.Sqrt(float64(len(left))) / between
}

// rightly is what a right posterior would reach with the spread and luck of all pairs.
func (h *held) rightly(bouts int) float64 {
	between := stat.Mean(h.between, nil)
	return rightly(between, float64(bouts)*(stat.Mean(h.means, nil)-between), chainDraws/2, bouts, truthBouts, chainLevel)
}

// hundredths says a share, or that there is none.
func hundredths(x float64) string {
	if math.IsNaN(x) {
		return "-"
	}
	return fmt.Sprintf("%.2f", x)
}

// share gives the share of n, with its standard error.
func share(x, n float64) string {
	if n == 0 {
		return "-"
	}
	q := x / n
	return fmt.Sprintf("%.2f +- %.2f", q, math.Sqrt(q*(1-q)/n))
}

// chainRun is what the whole chain is run on.
type chainRun struct {
	plan         *tactics.Plan
	rounds       []int
	pairs, bouts int
	truth        int  // bouts a pair and plan
	coders       bool // two coders who err, and sight that is lost; else one coder who errs nowhere and sees everything
	outside      bool // the two fixed truths outside the prior instead of truths drawn from it
}

// chain prints how often the tape interval of the plan's effect held the truth, and how wide it was: a table after every league, of all leagues
// so far, so that the last one counts whenever it is stopped.
func chain(ctx context.Context, w io.Writer, r chainRun) error {
	var err error
	if r.plan, err = planNamed(chainPlan); err != nil {
		return err
	}
	fmt.Fprintf(w, "%s against as usual; %s; %s.\n", chainPlan, map[bool]string{true: "two fixed truths outside the prior", false: "truths from the prior"}[r.outside],
		map[bool]string{true: "two coders who err, a twelfth of the time out of sight", false: "one coder who errs nowhere and sees everything"}[r.coders])
	fmt.Fprintf(w, "%.0f %% tape intervals from %d draws of %d bouts; truth from %d bouts a pair and plan.\n", chainLevel*100, chainDraws/2, r.bouts, r.truth)
	fmt.Fprintln(w, "Intervals that the bouts do not resolve have no width and are counted apart: within, where the truth lies as near the mean as the upper")
	fmt.Fprintln(w, "limit of the draws' spread allows at that level. Since luck decides which are resolved, shares and widths of either kind alone lean; all pairs")
	fmt.Fprintln(w, "together give the spread that tape leaves, and off: the square of how far truths lie from centres, less luck, over the spread's; 1 if tape's")
	fmt.Fprintln(w, "doubt is what it says. Standard errors behind +-; they are of pairs of truths. right: how often so few draws and bouts would hold the")
	fmt.Fprintln(w, "truth if tape's doubt were exactly right, with that spread and luck, all normal: what inside is to be held against.")
	return r.run(ctx, func(pairs int, got [][]held) {
		fmt.Fprintf(w, "\n%-33s %6s %8s %14s %6s %10s %10s %14s %8s %14s\n", fmt.Sprintf("%d pairs", pairs), "rounds", "resolved", "inside", "right", "mean width", "unresolved", "within", "spread", "off")
		for i, e := range effects {
			for k, n := range r.rounds {
				h := got[k][i]
				sd, ratio, se := h.spread()
				fmt.Fprintf(w, "%-33s %6d %8.0f %14s %6s %10.3f %10.0f %14s %8.3f %14s\n", e.name, n, h.intervals, share(h.inside, h.intervals), hundredths(h.rightly(r.bouts)),
					h.width/max(h.intervals, 1), h.unresolved, share(h.within, h.unresolved), sd, told(ratio, se))
			}
		}
	})
}

// told says a ratio; where the spread over all pairs is not above none there is nothing to hold distances against.
func told(ratio, se float64) string {
	if math.IsNaN(ratio) {
		return "-"
	}
	return fmt.Sprintf("%.2f +- %.2f", ratio, se)
}

func planNamed(name string) (*tactics.Plan, error) {
	data, err := plans.Read(name)
	if err != nil {
		return nil, err
	}
	return tactics.Read(name, data)
}

// run holds the intervals of all pairs, by rounds and effect, and tells of what there is after every league, in their order: leagues are run
// side by side, and nothing that is told depends on how many at once.
func (r *chainRun) run(ctx context.Context, tell func(pairs int, got [][]held)) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	var leagues []chan leagueHeld
	for at := 0; at < r.pairs; at += chainLeague / 2 {
		leagues = append(leagues, make(chan leagueHeld, 1))
	}
	var next atomic.Int64
	for range runtime.GOMAXPROCS(0) {
		go func() {
			for i := int(next.Add(1)) - 1; i < len(leagues); i = int(next.Add(1)) - 1 {
				at := i * chainLeague / 2
				got, err := r.ofLeague(ctx, at, min(chainLeague/2, r.pairs-at))
				leagues[i] <- leagueHeld{got, err}
			}
		}()
	}
	all := r.none()
	for i, league := range leagues {
		one := <-league
		if one.err != nil {
			return one.err
		}
		for k := range all {
			for e := range all[k] {
				all[k][e].join(&one.got[k][e])
			}
		}
		tell(min((i+1)*chainLeague/2, r.pairs), all)
	}
	return nil
}

// leagueHeld is how the intervals of one league fared, by rounds and effect.
type leagueHeld struct {
	got [][]held
	err error
}

// none has a place for every number of rounds and effect.
func (r *chainRun) none() [][]held {
	got := make([][]held, len(r.rounds))
	for k := range got {
		got[k] = make([]held, len(effects))
	}
	return got
}

// join adds other pairs behind those there are.
func (h *held) join(o *held) {
	h.intervals, h.inside, h.unresolved, h.within, h.width = h.intervals+o.intervals, h.inside+o.inside, h.unresolved+o.unresolved, h.within+o.within, h.width+o.width
	h.between, h.off, h.means = append(h.between, o.between...), append(h.off, o.off...), append(h.means, o.means...)
}

// ofLeague holds the intervals of the first n pairs of the league that begins with a pair.
func (r *chainRun) ofLeague(ctx context.Context, at, n int) ([][]held, error) {
	got := r.none()
	truths := map[int][]effect{} // what the plan changes, by pair: the same however many rounds are coded
	for k, rounds := range r.rounds {
		l, err := r.league(uint64(1000+at), rounds)
		if err != nil {
			return nil, err
		}
		c, err := calibrate.Calibrate(l.tape, r.options())
		if err != nil {
			return nil, err
		}
		for i := range n {
			if truths[i] == nil {
				if truths[i], err = l.effectsOf(r.plan, 2*i, uint64(at+i), r.truth); err != nil {
					return nil, err
				}
			}
			if err := l.hold(ctx, got[k], c, r.plan, 2*i, uint64(at+i), r.bouts, truths[i]); err != nil {
				return nil, err
			}
		}
	}
	return got, nil
}

func (r *chainRun) league(seed uint64, rounds int) (l *league, err error) {
	if r.outside {
		two := outside()
		truths := make([]fighter.Draw, chainLeague)
		for i := range truths {
			truths[i] = two[i%2]
		}
		l, err = leagueOf(seed, truths, rounds)
	} else {
		l, err = newLeague(seed, chainLeague, rounds)
	}
	if err == nil && r.coders {
		l.people(seed)
	}
	return l, err
}

func (r *chainRun) options() calibrate.Options {
	if r.coders {
		return calibrate.Options{Coder: calibrate.UsualCoder()}
	}
	return calibrate.Options{}
}

// hold compares the plan for two neighbours and holds the intervals against the truth. Every pair has luck of its own, lest pairs of several
// leagues stray together.
func (l *league) hold(ctx context.Context, got []held, r *calibrate.Result, plan *tactics.Plan, i int, luck uint64, bouts int, truth []effect) error {
	joint, err := r.Joint()
	if err != nil {
		return err
	}
	red, blue := l.ids[i], l.ids[i+1]
	q := study.Comparison{Fighter: r.Profiles[red], Opponent: r.Profiles[blue], Joint: joint.Of(red, blue),
		Plans: []*tactics.Plan{{Name: "as usual"}, plan}, Rules: l.rules, Seed: luck, Draws: chainDraws, Bouts: bouts, Level: chainLevel, Workers: 1}
	result, err := q.Run(ctx)
	if err != nil {
		return err
	}
	for k, e := range effects {
		d := result.Find(plan.Name, e.name)
		got[k].between = append(got[k].between, d.Tape.Between)
		got[k].means = append(got[k].means, float64(chainDraws/2)*d.Tape.MeanSE*d.Tape.MeanSE)
		// The centre strays by luck and by what draws differ by, over fresh draws; the truth by its own bouts.
		off := truth[k].mean - d.Tape.Centre
		got[k].off = append(got[k].off, off*off-d.Tape.MeanSE*d.Tape.MeanSE-truth[k].se*truth[k].se)
		switch {
		case !d.Tape.Resolved:
			got[k].unresolved++
			if math.Abs(truth[k].mean-d.Tape.Centre) <= distuv.UnitNormal.Quantile((1+chainLevel)/2)*d.Tape.AtMost {
				got[k].within++
			}
		default:
			got[k].intervals++
			got[k].width += d.Tape.High - d.Tape.Low
			if d.Tape.Low <= truth[k].mean && truth[k].mean <= d.Tape.High {
				got[k].inside++
			}
		}
	}
	return nil
}

// effect is what a plan changes in truth, with the standard error of the bouts it was played in.
type effect struct{ mean, se float64 }

// effectsOf plays what the plan changes in truth, over the same luck with and without it.
func (l *league) effectsOf(plan *tactics.Plan, i int, luck uint64, bouts int) ([]effect, error) {
	compiled, err := tactics.Compile(plan)
	if err != nil {
		return nil, err
	}
	changes := make([][]float64, len(effects)) // by bout
	for k := range changes {
		changes[k] = make([]float64, bouts)
	}
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
		for bout := range bouts {
			o := b.Run(kernel.NewKey(0x7472757468, luck, uint64(bout)))
			for k, e := range effects {
				changes[k][bout] += sign * e.of(&o)
			}
		}
	}
	out := make([]effect, len(effects))
	for k, x := range changes {
		out[k] = effect{stat.Mean(x, nil), stat.StdDev(x, nil) / math.Sqrt(float64(bouts))}
	}
	return out, nil
}
