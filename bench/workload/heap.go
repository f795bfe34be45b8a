package workload

import (
	"container/heap"
	"math"
	"math/bits"

	"whatbout/sim/kernel"
)

// event is an entry of the plain calendar; events come by time, then slot.
type event struct {
	at   int64
	slot int
	do   func(at int64)
}

type queue []*event

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	return q[i].at < q[j].at || q[i].at == q[j].at && q[i].slot < q[j].slot
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(*event)) }
func (q *queue) Pop() any {
	old := *q
	last := old[len(old)-1]
	*q = old[:len(old)-1]
	return last
}

// run plays the same replication as compiled.run in the plain way: container/heap, an event on the heap each, a closure each, branches
// for draws. It takes the same numbers of the same stream for the same purposes, so its tally must be the same to the last bit.
func (c *plain) run(key kernel.Key) Tally {
	var (
		t      Tally
		q      queue
		mode   [agents]int
		free   uint32 = allFree
		stream        = key.Stream()
		act    func(agent int, now int64)
	)
	push := func(slot int, at int64, do func(int64)) { heap.Push(&q, &event{at, slot, do}) }
	resolved := func(slot int, now int64) {
		free |= 1 << slot
		outcome := uint64(0)
		if uint64(stream.Uint32()) < c.good {
			outcome = 1
			t.good++
		}
		t.resolves++
		t.note(now, slot, outcome)
	}
	act = func(agent int, now int64) {
		m := mode[agent]
		u := stream.Uint64()
		action, response := scan(c.action[m], uint32(u>>32)), scan(c.response[mode[1-agent]], uint32(u))
		u = stream.Uint64()
		outcome := uint64(0)
		if u>>32 < c.success[m][action][response] {
			outcome = 1
			t.successes++
		}
		v := stream.Uint64()
		if uint64(uint32(u)) < c.resolve {
			if free == 0 {
				t.dropped++
			} else {
				slot := bits.TrailingZeros32(free)
				free &= free - 1
				push(slot, now+c.wait(uint32(v>>32)), func(at int64) { resolved(slot, at) })
			}
		}
		mode[agent] = scan(c.next[m], uint32(v))
		push(agent, now+kernel.Exponential(stream.Uint64(), c.mean[mode[agent]]), func(at int64) { act(agent, at) })
		t.actions++
		t.note(now, agent, outcome)
	}
	for agent := range agents {
		push(agent, kernel.Exponential(stream.Uint64(), c.mean[0]), func(at int64) { act(agent, at) })
	}
	for {
		e := heap.Pop(&q).(*event)
		if e.at > horizon {
			return t
		}
		e.do(e.at)
	}
}

// plain holds the tables of choice as cumulative thresholds to be scanned.
type plain struct {
	*compiled
	action, response, next [modes][]uint64
}

func newPlain(f *figures, c *compiled) *plain {
	p := &plain{compiled: c}
	for m := range modes {
		p.action[m], p.response[m], p.next[m] = cumulate(f.action[m]), cumulate(f.response[m]), cumulate(f.next[m])
	}
	return p
}

func cumulate(weights []float64) []uint64 {
	total := 0.0
	for _, w := range weights {
		total += w
	}
	thresholds, sum := make([]uint64, len(weights)), 0.0
	for i, w := range weights {
		sum += w
		thresholds[i] = uint64(math.Round(sum / total * (1 << 32)))
	}
	return thresholds
}

func scan(thresholds []uint64, u uint32) int {
	for i, threshold := range thresholds {
		if uint64(u) < threshold {
			return i
		}
	}
	panic("w2: a draw above every threshold")
}
