package study

import (
	"context"
	"errors"
	"fmt"
	"runtime"

	"whatbout/fighter"
	"whatbout/sim/batch"
	"whatbout/tactics"
	"whatbout/tape"
)

// Comparison asks what each plan changes against the first.
type Comparison struct {
	Fighter, Opponent *fighter.Profile
	Joint             *fighter.Joint  // of the skills of both; nil: drawn apart
	Plans             []*tactics.Plan // the first is the baseline; a plan without rules is "as usual"
	OpponentPlan      *tactics.Plan   // nil: as usual
	Rules             *tape.RuleSet
	Seed              uint64
	Draws             int     // of both doubts, from 4; with Within the most that will be played
	Bouts             int     // a draw and plan, from 2
	Level             float64 // of every interval, above 0.5 and below 1
	Within            float64 // half-width wanted for every difference in bouts won, as a share; 0: play all Draws
	Workers           int     // 0: one a core; never changes the result
	Batch             int     // draws handed out at a time, 0: as many as there are to the next look; never changes the result
	Store             Store   // nil: nothing is kept beyond the run
	Progress          func(done, of int)
	Set               [][]Setting   // what is moved under each plan, in the order of Plans; missing: nothing
	Looks             []int         // with Seen and without Within: draws, rising, after which to tell what there is; never changes the result
	Seen              func(*Result) // is told at each look but the last, which Run returns
}

// set is what is moved under plan p.
func (q *Comparison) set(p int) []Setting {
	if p < len(q.Set) {
		return q.Set[p]
	}
	return nil
}

// maxWorkers is how many workers have memory of their own.
const maxWorkers = 256

// Run plays the comparison. Interrupted, it returns what was done together with the context's error, if that is enough to say
// anything (two draws of each kind).
func (q *Comparison) Run(ctx context.Context) (*Result, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	shared, err := q.prepare()
	if err != nil {
		return nil, err
	}
	stop, err := q.stopping()
	if err != nil {
		return nil, err
	}
	n := &nest{q: q, workers: make([]*worker, maxWorkers)}
	for i := range n.workers {
		n.workers[i] = &worker{q: q, keys: shared.keys, player: player{meeting: shared.meeting, pair: shared.meeting.pair(), plans: shared.plans}}
	}
	err = n.grow(ctx, stop)
	if err != nil && !interrupted(err) {
		return nil, err
	}
	return q.reduce(n, stop, err)
}

func interrupted(err error) bool {
	return errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
}

func (q *Comparison) meeting() *Meeting {
	return &Meeting{Fighter: q.Fighter, Opponent: q.Opponent, Joint: q.Joint, Rules: q.Rules, Seed: q.Seed}
}

func (q *Comparison) check() error {
	if err := q.meeting().check(); err != nil {
		return err
	}
	switch {
	case q.Draws < 4 || q.Bouts < 2:
		return errors.New("a comparison needs at least 4 draws of 2 bouts")
	case !(q.Level > 0.5 && q.Level < 1):
		return fmt.Errorf("a level of %v; expected above 0.5 and below 1", q.Level)
	case len(q.Plans) < 1:
		return errors.New("no plan to compare")
	}
	return nil
}

// prepared is what all workers of a comparison share.
type prepared struct {
	meeting *Meeting
	plans   map[*tactics.Plan]*tactics.Compiled
	keys    *keyer
}

func (q *Comparison) prepare() (*prepared, error) {
	p := &prepared{meeting: q.meeting()}
	all := append([]*tactics.Plan{q.OpponentPlan}, q.Plans...)
	var err error
	if p.plans, err = compile(all...); err != nil {
		return nil, err
	}
	if p.keys, err = newKeyer(p.meeting); err != nil {
		return nil, err
	}
	for _, plan := range all {
		if err := p.keys.add(plan); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// nest is the draws played so far.
type nest struct {
	q       *Comparison
	workers []*worker
	all     []slot // draws of both doubts
	tape    []slot // draws of tape's figures alone, assumptions at their centre
	done    int    // jobs, for progress
}

// tapeDraws is how many draws of tape doubt alone go with k of both. A quarter is enough where there are many; 200 put five draws beyond
// each bound at 95 %, so fewer than that are half.
func tapeDraws(k int) int { return max(k/4, min(k/2, 200)) }

// grow adds draws from look to look until the rule says stop.
func (n *nest) grow(ctx context.Context, stop *stopping) error {
	for {
		look, more := stop.next(len(n.all))
		if !more {
			return nil
		}
		for k := len(n.all); k < look; k = len(n.all) {
			to := look
			if n.q.Batch > 0 {
				to = min(k+n.q.Batch, look)
			}
			if err := n.extend(ctx, to, stop.jobs(look)); err != nil {
				return err
			}
		}
		stop.look(n)
		if err := n.tell(stop); err != nil {
			return err
		}
	}
}

// tell shows what there is at a look that is not the last.
func (n *nest) tell(stop *stopping) error {
	if n.q.Seen == nil || len(n.all) == stop.most {
		return nil
	}
	r, err := n.q.reduce(n, stop, nil)
	if err == nil {
		n.q.Seen(r)
	}
	return err
}

// extend plays the nest on to so many draws of both doubts and the tape draws that go with them. The two kinds are interleaved so
// that an interrupted run has some of both.
func (n *nest) extend(ctx context.Context, draws, of int) error {
	fromAll, fromTape := len(n.all), len(n.tape)
	n.all = append(n.all, make([]slot, draws-fromAll)...)
	n.tape = append(n.tape, make([]slot, tapeDraws(draws)-fromTape)...)
	tapes := len(n.tape) - fromTape
	jobs := draws - fromAll + tapes
	before := n.done
	return batch.Run(ctx, jobs, n.q.parallel(), func(w, job int) error {
		earlier, upTo := job*tapes/jobs, (job+1)*tapes/jobs
		if upTo > earlier {
			k := fromTape + earlier
			return n.workers[w].play(ctx, &n.tape[k], k, false)
		}
		k := fromAll + job - earlier
		return n.workers[w].play(ctx, &n.all[k], k, true)
	}, func(finished int) {
		n.done = before + finished
		if n.q.Progress != nil {
			n.q.Progress(n.done, of)
		}
	})
}

func (q *Comparison) parallel() int {
	if q.Workers > 0 {
		return min(q.Workers, maxWorkers)
	}
	return min(runtime.GOMAXPROCS(0), maxWorkers)
}

// finished gives the slots that hold a draw, in draw order.
func finished(slots []slot) (out []slot) {
	for _, s := range slots {
		if s.done {
			out = append(out, s)
		}
	}
	return out
}
