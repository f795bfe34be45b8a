package study

import (
	"context"
	"fmt"
	"runtime"

	"whatbout/internal/infer"
	"whatbout/sim/batch"
	"whatbout/tactics"
)

// Bank plays bouts for studies that ask about many plans, and never the same bouts twice: what was played is kept, and with a store it is
// kept beyond the run. It grows with what is played by 8 bytes a measure and bout.
type Bank struct {
	Meeting
	Workers  int                // 0: one a core; never changes a value
	Progress func(done, of int) // cells of the call of Play that runs; may be nil
	Store    Store              // nil: memory alone
	Played   int                // bouts played in this run, those from the store left out
	keys     *keyer
	held     map[Key]Values
	players  []*player
	plans    map[*tactics.Plan]*tactics.Compiled
}

// NewBank prepares the plans, which name all that cells may ask for, and checks that the fighters are two.
func NewBank(m Meeting, plans ...*tactics.Plan) (*Bank, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	b := &Bank{Meeting: m, held: map[Key]Values{}, plans: map[*tactics.Plan]*tactics.Compiled{}}
	var err error
	if b.keys, err = newKeyer(&b.Meeting); err != nil {
		return nil, err
	}
	return b, b.Add(append(plans, nil)...)
}

// Add prepares further plans. Do not change a plan afterwards.
func (b *Bank) Add(plans ...*tactics.Plan) error {
	compiled, err := compile(plans...)
	if err != nil {
		return err
	}
	for p, c := range compiled {
		b.plans[p] = c
	}
	for _, p := range plans {
		if err := b.keys.add(p); err != nil {
			return err
		}
	}
	return nil
}

// Play plays what is not held of the cells yet. Interrupted, it returns the context's error and holds the cells that were finished.
func (b *Bank) Play(ctx context.Context, cells []Cell) error {
	todo, keys := b.missing(cells)
	results, fresh := make([]Values, len(todo)), make([]bool, len(todo))
	for len(b.players) < b.parallel() {
		b.players = append(b.players, &player{meeting: &b.Meeting, pair: b.pair(), plans: b.plans})
	}
	err := batch.Run(ctx, len(todo), b.parallel(), func(w, job int) (err error) {
		results[job], fresh[job], err = b.players[w].values(ctx, &todo[job], b.Store, keys[job])
		return err
	}, func(finished int) {
		if b.Progress != nil {
			b.Progress(finished, len(todo))
		}
	})
	for i, v := range results {
		if v == nil {
			continue
		}
		b.held[keys[i]] = v
		if fresh[i] {
			b.Played += todo[i].Bouts
		}
	}
	return err
}

// missing lists cells that are not held, each once.
func (b *Bank) missing(cells []Cell) (todo []Cell, keys []Key) {
	asked := map[Key]bool{}
	for i := range cells {
		key := b.keyOf(&cells[i])
		if b.held[key] == nil && !asked[key] {
			asked[key] = true
			todo, keys = append(todo, cells[i]), append(keys, key)
		}
	}
	return todo, keys
}

// keyOf gives a cell's key; asking for a plan that was not added is the caller's bug.
func (b *Bank) keyOf(c *Cell) Key {
	for _, p := range []*tactics.Plan{c.Plan, c.Reply} {
		if _, known := b.keys.plans[p]; !known {
			panic(fmt.Sprintf("study: the plan %q was not added to the bank", p.Name))
		}
	}
	if c.Bouts < 1 || c.Draw < 0 {
		panic("study: a cell without bouts, or before the first draw")
	}
	return b.keys.key(c)
}

func (b *Bank) parallel() int {
	if b.Workers > 0 {
		return min(b.Workers, maxWorkers)
	}
	return min(runtime.GOMAXPROCS(0), maxWorkers)
}

// Holds reports whether a cell was played.
func (b *Bank) Holds(c Cell) bool { return b.held[b.keyOf(&c)] != nil }

// Values gives what was played of a cell; asking for one that is not held is the caller's bug. Do not change them.
func (b *Bank) Values(c Cell) Values {
	v := b.held[b.keyOf(&c)]
	if v == nil {
		panic("study: a cell that was not played")
	}
	return v
}

// Group sums a measure over a cell's bouts.
func (b *Bank) Group(c Cell, measure int) (g infer.Group) {
	v := b.Values(c)
	for i := range v.Bouts() {
		g.Add(v.At(i, measure))
	}
	return g
}

// Pairs sums a measure over the bouts of two cells of one draw, the first's as X.
func (b *Bank) Pairs(x, y Cell, measure int) (p infer.Pairs) {
	if x.Draw != y.Draw || x.Bouts != y.Bouts {
		panic("study: cells that are not on the same luck cannot be paired")
	}
	v, w := b.Values(x), b.Values(y)
	for i := range v.Bouts() {
		p.Add(v.At(i, measure), w.At(i, measure))
	}
	return p
}
