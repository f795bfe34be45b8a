package main

import (
	"context"
	"fmt"
	"io"
	"sync"

	"whatbout/calibrate"
	"whatbout/demo"
	"whatbout/fighter"
	"whatbout/study"
	"whatbout/tactics"
)

// counting keeps played cells for the next study and counts the bouts that were really played.
type counting struct {
	sync.Mutex
	held  map[study.Key][]byte
	bouts int
}

func (c *counting) Get(k study.Key) ([]byte, bool) {
	c.Lock()
	defer c.Unlock()
	v, ok := c.held[k]
	return v, ok
}

func (c *counting) Put(k study.Key, v []byte) error {
	c.Lock()
	defer c.Unlock()
	c.held[k] = v
	c.bouts += len(v) / 8 / len(study.Measures)
	return nil
}

// studyBouts are a draw's: the same for compare, choose and adjust, so that they can share what was played.
const studyBouts = 8

// asked is a study that was run: the bouts its answer rests on, and what plainer ways take for as sure an answer.
type asked struct {
	name  string
	rests int
	plain string
}

// studies prints how many bouts each study needed against plainer ways: luck of its own for every plan, and nothing kept between studies.
func (s *scene) studies(w io.Writer, set settings) error {
	kept := &counting{held: map[study.Key][]byte{}}
	m := study.Meeting{Fighter: s.red, Opponent: s.blue, Rules: s.rules, Seed: 1}
	plans := []*tactics.Plan{demo.AsUsual, ladder[0], ladder[2], demo.StayClose}
	fmt.Fprintf(w, "\n%-8s %12s %12s   %s\n", "study", "rests on", "played", "the plain way")
	rests := 0
	for _, run := range []func(context.Context, *counting) (asked, error){
		func(ctx context.Context, k *counting) (a asked, err error) {
			q := s.comparison(plans, set.draws)
			q.Bouts, q.Store = studyBouts, k
			r, err := q.Run(ctx)
			if err != nil {
				return a, err
			}
			plain := "any number"
			if d := r.Find(demo.StayClose.Name, "win"); d.Saved != nil {
				plain = fmt.Sprintf("%.0f with luck of its own (%.2f times, for \"stay close\")", *d.Saved*float64(r.Played), *d.Saved)
			}
			return asked{"compare", r.Played, plain}, nil
		},
		func(ctx context.Context, k *counting) (a asked, err error) {
			v, err := study.ReadValue("win")
			if err != nil {
				return a, err
			}
			q := &study.Choice{Meeting: m, Plans: plans, Value: v, Tolerance: .01, First: min(100, set.draws), Draws: 4 * set.draws, Bouts: studyBouts, Level: .95, AcceptHarm: true, Store: k}
			r, err := q.Run(ctx)
			if err != nil {
				return a, err
			}
			return asked{"choose", r.Work.Bouts + r.Work.Tape, fmt.Sprintf("%d with equal shares, %d in two stages with luck of its own (race alone: %d; %s)", r.Work.Equal, r.Work.TwoStage,
				r.Work.Bouts, r.Verdict)}, nil
		},
		func(ctx context.Context, k *counting) (a asked, err error) {
			q := &study.Adjust{Meeting: m, Plans: plans[:3], Replies: []*tactics.Plan{demo.AsUsual, ladder[1], ladder[4]}, Draws: set.draws, Bouts: studyBouts, Level: .95,
				AcceptHarm: true, Store: k}
			r, err := q.Run(ctx)
			if err != nil {
				return a, err
			}
			return asked{"adjust", r.Played, fmt.Sprintf("%.0f with luck of its own (%.2f times)", r.Saved*float64(r.Played), r.Saved)}, nil
		},
		func(ctx context.Context, k *counting) (a asked, err error) { return s.nextAsked(ctx, k, m, set) },
	} {
		before := kept.bouts
		a, err := run(context.Background(), kept)
		if err != nil {
			return err
		}
		rests += a.rests
		fmt.Fprintf(w, "%-8s %12d %12d   %s\n", a.name, a.rests, kept.bouts-before, a.plain)
	}
	fmt.Fprintf(w, "%-8s %12d %12d   played after one another, with what was played kept (--resume)\n", "all", rests, kept.bouts)
	return nil
}

// nextAsked values tape; the plain way plays two levels for every row of its answer, as bench/information does for one.
func (s *scene) nextAsked(ctx context.Context, k *counting, m study.Meeting, set settings) (a asked, err error) {
	if set.nextDraws == 0 {
		return asked{"next", 0, "not run"}, nil
	}
	q := &study.Next{Meeting: m, Plans: []*tactics.Plan{demo.AsUsual, demo.StayClose}, Draws: set.nextDraws, Bouts: 2, Level: .95, Minutes: []float64{15}, Store: k}
	yields, err := calibrate.Yields(&fighter.Pair{Red: s.red, Blue: s.blue}, s.rules)
	if err != nil {
		return a, err
	}
	for c, y := range yields {
		q.Adds[c], q.Shares[c] = y.Adds, y.Share
	}
	r, err := q.Run(ctx)
	if err != nil {
		return a, err
	}
	rows := len(r.Tape) + len(r.Groups) + 2
	return asked{"next", r.Played, fmt.Sprintf("%.0f with luck of its own (%.2f times); %d rows by two levels of 100 truths and 600 pairs: %d", r.Saved*float64(r.Played), r.Saved,
		rows, rows*100*600*2)}, nil
}
