// Command bouts prints how fast bouts are played and what playing plans on the same luck wins: bouts a second on one core and two, beside
// the yardstick of workload W2 in the same run; memory taken a bout; the time to an answer; for mild and drastic plans, how far
// winning stays in step; and how many bouts each study needs against plainer ways.
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"whatbout/bench/workload"
	"whatbout/demo"
	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

// settings say how much is played.
type settings struct {
	rounds, bouts, replications int     // of the race between bouts and the yardstick
	within                      float64 // bouts in 100
	draws                       int     // for the tables of plans and of studies
	nextDraws                   int     // of next, which needs more than twice its figures
}

// scene is the demo's meeting at the centre of every figure.
type scene struct {
	red, blue *fighter.Profile
	rules     *tape.RuleSet
}

func newScene() (*scene, error) {
	pair, err := demo.Pair()
	if err != nil {
		return nil, err
	}
	rules, err := tape.RuleSetNamed("mma-3x5")
	return &scene{pair.Red, pair.Blue, rules}, err
}

func (s *scene) bout() (*sim.Bout, error) {
	b := sim.NewBout()
	b.Setup(s.rules, sim.AverageWorld())
	for c, p := range []*fighter.Profile{s.red, s.blue} {
		if err := b.Sides[c].Load(p.Body, p.Centre(), nil, nil, s.rules); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// onCores plays bouts on so many workers, which take them in chunks of 16 from a common counter, and returns bouts a second.
func (s *scene) onCores(cores, first, count int) (float64, error) {
	bouts := make([]*sim.Bout, cores)
	for i := range bouts {
		var err error
		if bouts[i], err = s.bout(); err != nil {
			return 0, err
		}
		bouts[i].Run(kernel.NewKey(0)) // the first takes memory
	}
	var taken atomic.Int64
	var group sync.WaitGroup
	start := time.Now()
	for _, b := range bouts {
		group.Go(func() {
			const chunk = 16
			for at := int(taken.Add(chunk)) - chunk; at < count; at = int(taken.Add(chunk)) - chunk {
				for i := at; i < min(at+chunk, count); i++ {
					b.Run(kernel.NewKey(1, uint64(first+i)))
				}
			}
		})
	}
	group.Wait()
	return float64(count) / time.Since(start).Seconds(), nil
}

// race prints bouts a second beside the yardstick's replications a second, for each the best of rounds in turn (the machine may be
// shared).
func (s *scene) race(w io.Writer, set settings) error {
	programs, err := workload.Programs()
	if err != nil {
		return err
	}
	var one, two, yardstick float64
	for round := range set.rounds {
		single, err := s.onCores(1, round*set.bouts, set.bouts)
		if err != nil {
			return err
		}
		both, err := s.onCores(2, round*set.bouts, set.bouts)
		if err != nil {
			return err
		}
		_, took := programs[workload.Readable].Measure(round*set.replications, set.replications)
		one, two, yardstick = max(one, single), max(two, both), max(yardstick, float64(set.replications)/took.Seconds())
	}
	fmt.Fprintf(w, "bouts a second, one core                %8.0f\n", one)
	fmt.Fprintf(w, "bouts a second, two workers             %8.0f (%.2f times one; GOMAXPROCS %d)\n", two, two/one, runtime.GOMAXPROCS(0))
	fmt.Fprintf(w, "readable W2 replications a second       %8.0f\n", yardstick)
	fmt.Fprintf(w, "bouts to readable replications          %8.3f (aim: 0.200)\n", one/yardstick)
	return nil
}

// memory prints what a bout takes after a worker's first.
func (s *scene) memory(w io.Writer, bouts int) error {
	b, err := s.bout()
	if err != nil {
		return err
	}
	b.Run(kernel.NewKey(0))
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	for i := range bouts {
		b.Run(kernel.NewKey(2, uint64(i)))
	}
	runtime.ReadMemStats(&after)
	fmt.Fprintf(w, "allocations a bout, after the first     %8.3f (choice tables and the longest list of events still grow over the first bouts)\n",
		float64(after.Mallocs-before.Mallocs)/float64(bouts))
	return nil
}

// answer prints how long it takes to know the demo's difference well enough.
func (s *scene) answer(w io.Writer, set settings) error {
	q := s.comparison([]*tactics.Plan{demo.AsUsual, demo.StayClose}, 20000)
	q.Within = set.within / 100
	start := time.Now()
	r, err := q.Run(context.Background())
	if err != nil {
		return err
	}
	win := r.Find(demo.StayClose.Name, "win")
	fmt.Fprintf(w, "compare --within %g: %.1f s, %d draws, %d bouts, reached %t: %+.1f bouts in 100 (simulation %+.1f to %+.1f)\n", set.within,
		time.Since(start).Seconds(), r.Draws, r.Played, r.Within.Reached, 100*win.Mean, 100*win.Simulation.Low, 100*win.Simulation.High)
	return nil
}

func (s *scene) comparison(plans []*tactics.Plan, draws int) *study.Comparison {
	return &study.Comparison{Fighter: s.red, Opponent: s.blue, Plans: plans, Rules: s.rules, Seed: 1, Draws: draws, Bouts: 24, Level: .95}
}

// steps prints how far winning stays in step under each plan, with one standard error. That of bouts saved is by the delta method for
// equal variances, where a pair is worth 1/(1-ρ).
func (s *scene) steps(w io.Writer, set settings) error {
	r, err := s.comparison(append([]*tactics.Plan{demo.AsUsual}, ladder...), set.draws).Run(context.Background())
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "\n%-24s %18s %22s %20s\n", "plan against as usual", "correlation of win", "worth so many bouts", "difference in 100")
	for _, p := range ladder {
		d := r.Find(p.Name, "win")
		saved := "all"
		if d.Saved != nil {
			saved = fmt.Sprintf("%.2f ± %.2f", *d.Saved, *d.Saved**d.Saved*d.CorrelationError)
		}
		fmt.Fprintf(w, "%-24s %11.3f ± %.3f %22s %13.1f ± %.1f\n", p.Name, d.Correlation, d.CorrelationError, saved, 100*d.Mean, 100*d.Simulation.Half()/1.96)
	}
	fmt.Fprintf(w, "%d pairs a plan; ± one standard error\n", r.Draws*r.Bouts)
	return nil
}

// report prints everything.
func report(w io.Writer, set settings) error {
	s, err := newScene()
	if err != nil {
		return err
	}
	for _, part := range []func() error{
		func() error { return s.race(w, set) },
		func() error { return s.memory(w, set.bouts) },
		func() error { return s.answer(w, set) },
		func() error { return s.steps(w, set) },
		func() error { return s.studies(w, set) },
	} {
		if err := part(); err != nil {
			return err
		}
	}
	return nil
}

func main() {
	set := settings{rounds: 5, bouts: 600, replications: 2000, within: 1, draws: 300, nextDraws: 2000}
	only := flag.Bool("studies", false, "print only how many bouts each study needs")
	flag.Parse()
	run := report
	if *only {
		run = func(w io.Writer, set settings) error {
			s, err := newScene()
			if err != nil {
				return err
			}
			return s.studies(w, set)
		}
	}
	if err := run(os.Stdout, set); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
