package batch

import (
	"context"
	"errors"
	"sync"

	"whatbout/sim"
	"whatbout/sim/kernel"
)

// Chunk is how many bouts one job of [Play] plays: enough that handing out jobs costs nothing.
const Chunk = 64

// Spec says which bouts to play: all of one setup.
type Spec struct {
	Setup   func(b *sim.Bout) error                     // fixes rules and world and loads both sides; called once a worker
	Key     func(bout int) kernel.Key                   // (seed, draw, bout)
	Bouts   int                                         // at least 1
	Workers int                                         // 0: one a core; never changes the result
	Before  func(bout int, b *sim.Bout) error           // loads other sides for every bout; may be nil
	See     func(bout int, b *sim.Bout, o *sim.Outcome) // is shown every bout by the worker that played it; may be nil
	Partial func(sim.Tally)                             // is given what is done so far, from one goroutine at a time; may be nil
}

// Play plays the bouts in parallel and adds them up. Interrupted, it returns what was done together with the context's error. See is
// called from several goroutines; what it keeps must have a place of its own for every bout. The same specification gives the same
// tally for any number of workers.
func Play(ctx context.Context, s Spec) (sim.Tally, error) {
	if s.Bouts < 1 || s.Setup == nil || s.Key == nil {
		return sim.Tally{}, errors.New("batch: a specification without bouts, setup or key")
	}
	jobs := (s.Bouts + Chunk - 1) / Chunk
	workers := make([]*sim.Bout, Workers(s.Workers, jobs))
	var total sim.Tally
	var adding sync.Mutex // sums of whole numbers come out the same in any order
	err := Run(ctx, jobs, len(workers), func(w, job int) error {
		if workers[w] == nil {
			workers[w] = sim.NewBout()
			if err := s.Setup(workers[w]); err != nil {
				return err
			}
		}
		part, err := s.chunk(workers[w], job)
		if err != nil {
			return err
		}
		adding.Lock()
		defer adding.Unlock()
		total.Merge(part)
		if s.Partial != nil {
			s.Partial(total)
		}
		return nil
	}, nil)
	return total, err
}

func (s *Spec) chunk(b *sim.Bout, job int) (*sim.Tally, error) {
	part := &sim.Tally{}
	for bout := job * Chunk; bout < min((job+1)*Chunk, s.Bouts); bout++ {
		if s.Before != nil {
			if err := s.Before(bout, b); err != nil {
				return nil, err
			}
		}
		o := b.Run(s.Key(bout))
		part.Add(&o)
		if s.See != nil {
			s.See(bout, b, &o)
		}
	}
	for c := range b.Sides {
		if err := b.Sides[c].Fault(); err != nil {
			return nil, err
		}
	}
	return part, nil
}
