package study

import (
	"context"
	"fmt"
	"math/bits"

	"whatbout/internal/infer"
	"whatbout/sim/kernel"
	"whatbout/tactics"
)

// sharing is what was played of a plan's sets of rules.
type sharing struct {
	q      *Credit
	bank   *Bank
	n      int                      // rules
	plans  map[uint32]*tactics.Plan // by set
	wide   [][][]infer.Group        // by wide form, measure and draw
	narrow [][]infer.Group          // by narrow form and draw, of bouts won
	usual  [][]infer.Group          // by measure and draw
	luck   float64                  // sum over draws and sets of the variance of winning within a draw
	sets   int                      // that luck was summed over
	draws  int                      // finished
	played int                      // bouts, what is the same counted once
	all    *questions               // of every draw, where all sets are played
}

// questions are what is asked of one draw. Wide forms are asked of every measure: the effect, each rule alone, each left out, each one's share;
// narrow ones of bouts won: what the others make of each, all together, each pair, and each group.
type questions struct {
	wide, narrow []form
	sets         []uint32 // that they need
}

func newSharing(q *Credit) (*sharing, error) {
	bank, err := NewBank(q.Meeting, q.Plan, q.OpponentPlan)
	if err != nil {
		return nil, err
	}
	bank.Workers, bank.Store = q.Workers, q.Store
	s := &sharing{q: q, bank: bank, n: len(q.Plan.Rules), plans: map[uint32]*tactics.Plan{}}
	s.plans[0], s.plans[infer.Everybody(s.n)] = nil, q.Plan
	if s.exact() {
		s.all = s.ask(infer.Shapley(s.n))
	}
	return s, nil
}

func (s *sharing) exact() bool { return s.n <= ExactRules }

// of gives the questions of a draw.
func (s *sharing) of(k int) *questions {
	if s.all != nil {
		return s.all
	}
	return s.ask(infer.Walk(s.order(k)))
}

// order shuffles the rules for a draw (Fisher & Yates).
func (s *sharing) order(k int) []int {
	luck := kernel.NewKey(s.q.Seed, uint64(k), 0x6f72646572).Stream()
	out := make([]int, s.n)
	for i := range out {
		j := int(luck.Below(uint64(i + 1)))
		out[i], out[j] = out[j], i
	}
	return out
}

// ask puts the questions together from the margins of the shares.
func (s *sharing) ask(shares []form) *questions {
	q, everybody := &questions{}, infer.Everybody(s.n)
	alone, last := make([]form, s.n), make([]form, s.n)
	together := form{{With: everybody, Weight: 1}}
	for i := range s.n {
		one := uint32(1) << i
		alone[i], last[i] = form{{With: one, Weight: 1}}, form{{With: everybody, Without: everybody &^ one, Weight: 1}}
		together = append(together, infer.Margin{With: one, Weight: -1})
		q.narrow = append(q.narrow, form{last[i][0], {With: one, Weight: -1}})
	}
	q.wide = append(q.wide, form{{With: everybody, Weight: 1}})
	q.wide = append(append(append(q.wide, alone...), last...), shares...)
	q.narrow = append(q.narrow, together)
	for _, p := range s.pairs() {
		i, j := uint32(1)<<p[0], uint32(1)<<p[1]
		q.narrow = append(q.narrow, form{{With: i | j, Weight: 1}, {With: i, Weight: -1}, {With: j, Weight: -1}})
	}
	for _, group := range s.q.Groups {
		var sum form
		for _, i := range group {
			sum = append(sum, shares[i]...)
		}
		q.narrow = append(q.narrow, sum)
	}
	q.sets = setsOf(q.wide, q.narrow)
	return q
}

// pairs are the rules two by two, where their sets are played; of a plan of two rules all together says the same.
func (s *sharing) pairs() (out [][2]int) {
	if !s.exact() || s.n < 3 {
		return nil
	}
	for i := range s.n {
		for j := i + 1; j < s.n; j++ {
			out = append(out, [2]int{i, j})
		}
	}
	return out
}

// setsOf lists the sets that forms need, each once.
func setsOf(forms ...[]form) (out []uint32) {
	seen := map[uint32]bool{}
	for _, some := range forms {
		for _, f := range some {
			for _, m := range f {
				for _, set := range []uint32{m.Without, m.With} {
					if !seen[set] {
						seen[set] = true
						out = append(out, set)
					}
				}
			}
		}
	}
	return out
}

// plan gives the plan with a set of its rules, in their order; it is the same plan whenever the set is asked for.
func (s *sharing) plan(set uint32) (*tactics.Plan, error) {
	if p, known := s.plans[set]; known {
		return p, nil
	}
	p := *s.q.Plan
	p.Name, p.Rules = fmt.Sprintf("%s, %d of its %d rules", p.Name, bits.OnesCount32(set), s.n), nil
	for i, r := range s.q.Plan.Rules {
		if set>>i&1 == 1 {
			p.Rules = append(p.Rules, r)
		}
	}
	s.plans[set] = &p
	return &p, s.bank.Add(&p)
}

// mostAtOnce is about how many bouts are held at a time: their measures take half a kilobyte each.
const mostAtOnce = 50000

// play plays draws some at a time, adds them up and forgets their bouts. Interrupted, it has added up the draws that were finished.
func (s *sharing) play(ctx context.Context) error {
	atOnce := s.q.atOnce
	if atOnce == 0 {
		atOnce = mostAtOnce
	}
	for from := 0; from < s.q.Draws; {
		to := min(from+max(atOnce/(len(s.of(from).sets)*s.q.Bouts), 1), s.q.Draws)
		cells, err := s.cells(from, to)
		if err != nil {
			return err
		}
		s.bank.Progress = func(done, of int) {
			if s.q.Progress != nil {
				s.q.Progress(from+(to-from)*done/max(of, 1), s.q.Draws)
			}
		}
		err = s.bank.Play(ctx, cells)
		for k := from; k < to; k++ {
			s.add(k)
		}
		clear(s.bank.held)
		if err != nil {
			return err
		}
		from = to
	}
	return nil
}

func (s *sharing) cells(from, to int) (out []Cell, err error) {
	for k := from; k < to; k++ {
		for _, set := range s.of(k).sets {
			plan, err := s.plan(set)
			if err != nil {
				return nil, err
			}
			out = append(out, s.cell(plan, k))
		}
	}
	return out, nil
}

func (s *sharing) cell(plan *tactics.Plan, k int) Cell {
	return Cell{Plan: plan, Reply: s.q.OpponentPlan, Draw: k, Bouts: s.q.Bouts}
}

// add adds a draw up if all of it was played.
func (s *sharing) add(k int) {
	asked, values, keys := s.of(k), map[uint32]Values{}, map[Key]bool{}
	for _, set := range asked.sets {
		c := s.cell(s.plans[set], k)
		if !s.bank.Holds(c) {
			return
		}
		values[set], keys[s.bank.keyOf(&c)] = s.bank.Values(c), true
		g := s.bank.Group(c, winMeasure)
		s.luck += (g.SumSq - g.Sum*g.Sum/g.N) / (g.N - 1)
	}
	s.draws, s.sets, s.played = s.draws+1, s.sets+len(asked.sets), s.played+len(keys)*s.q.Bouts
	if s.wide == nil {
		s.wide, s.narrow = grid[[]infer.Group](len(asked.wide), len(Measures)), make([][]infer.Group, len(asked.narrow))
		s.usual = make([][]infer.Group, len(Measures))
	}
	for m := range Measures {
		for i, f := range asked.wide {
			s.wide[i][m] = append(s.wide[i][m], groupOf(f, values, m))
		}
		s.usual[m] = append(s.usual[m], s.bank.Group(s.cell(nil, k), m))
	}
	for i, f := range asked.narrow {
		s.narrow[i] = append(s.narrow[i], groupOf(f, values, winMeasure))
	}
}

// groupOf asks every bout of a draw.
func groupOf(f form, values map[uint32]Values, measure int) (g infer.Group) {
	for b := range values[0].Bouts() {
		g.Add(infer.Sum(f, func(set uint32) float64 { return values[set].At(b, measure) }))
	}
	return g
}
