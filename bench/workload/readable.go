package workload

import (
	"math"
	"math/rand/v2"

	"whatbout/sim/kernel"
)

// alias is a table of Walker's method (1977, Electronics Letters 10, 127-128; tables built by Vose 1991) for up to 8 alternatives.
type alias struct {
	count uint64
	keep  [8]uint32
	other [8]uint8
}

func newAlias(weights []float64) (a alias) {
	n := len(weights)
	a.count = uint64(n)
	total := 0.0
	for _, w := range weights {
		total += w
	}
	share := make([]float64, n)
	var small, large []int
	for i, w := range weights {
		share[i] = w / total * float64(n)
		if share[i] < 1 {
			small = append(small, i)
		} else {
			large = append(large, i)
		}
	}
	for i := range n {
		a.keep[i], a.other[i] = math.MaxUint32, uint8(i)
	}
	for len(small) > 0 && len(large) > 0 {
		s, l := small[len(small)-1], large[len(large)-1]
		small = small[:len(small)-1]
		a.keep[s], a.other[s] = uint32(min(share[s]*(1<<32), math.MaxUint32)), uint8(l)
		if share[l] -= 1 - share[s]; share[l] < 1 {
			large, small = large[:len(large)-1], append(small, l)
		}
	}
	return a
}

// pick takes the cell from u·count and keeps it or not by what is left, without a branch.
func (a *alias) pick(u uint32) int {
	product := uint64(u) * a.count
	cell := product >> 32 & 7
	replace := (uint64(a.keep[cell]) - product&math.MaxUint32) >> 63
	return int(cell ^ (cell^uint64(a.other[cell]))&-replace)
}

// readable is the yardstick: a fixed slot an agent and for each resolve, alias tables, thresholds, the source by value, two draws from
// one number, counting by adding, the standard library's ziggurats. It shares nothing with the kernel but the source.
type readable struct {
	mean                   [modes]float64 // microseconds
	action, response, next [modes]alias
	success                [modes][actions][8]uint64
	resolve, good          uint64
	delay, spread          float64 // microseconds
}

func newReadable(f *figures) *readable {
	threshold := func(p float64) uint64 { return uint64(p * (1 << 32)) }
	r := &readable{resolve: threshold(f.resolve), good: threshold(f.good), delay: f.delay * 1e6, spread: f.spread * 1e6}
	for m := range modes {
		r.mean[m] = 1e6 / f.rate[m]
		r.action[m], r.response[m], r.next[m] = newAlias(f.action[m]), newAlias(f.response[m]), newAlias(f.next[m])
		for a := range actions {
			for b := range responses {
				r.success[m][a][b] = threshold(f.success[m][a][b])
			}
		}
	}
	return r
}

// never is later than any time; slots hold 8·time + slot, so that the least one tells both.
const never = math.MaxInt64

func (r *readable) run(key kernel.Key) (t Tally) {
	stream := key.Stream()
	rng := rand.New(&stream)
	var mode [agents]int
	slots := [agents + pending]int64{never, never, never, never, never, never, never, never}
	for i := range agents {
		slots[i] = int64(rng.ExpFloat64()*r.mean[0])<<3 | int64(i)
	}
	for {
		least := min(min(min(slots[0], slots[1]), min(slots[2], slots[3])), min(min(slots[4], slots[5]), min(slots[6], slots[7])))
		slot, now := least&7, least>>3
		if now > horizon {
			return t
		}
		if slot >= agents {
			slots[slot] = never
			t.resolves++
			t.good += (stream.Uint64()>>32 - r.good) >> 63
			continue
		}
		u, v := stream.Uint64(), stream.Uint64()
		m := mode[slot]
		action := r.action[m].pick(uint32(u >> 32))
		response := r.response[mode[1-slot]].pick(uint32(u))
		next := r.next[m].pick(uint32(v))
		mode[slot] = next
		slots[slot] = (now+int64(rng.ExpFloat64()*r.mean[next]))<<3 | slot
		w := stream.Uint64()
		t.actions++
		t.successes += (w>>32 - r.success[m][action&7][response&7]) >> 63
		if uint64(uint32(w)) < r.resolve {
			t.dropped += place(&slots, now+max(0, int64(r.delay+r.spread*rng.NormFloat64())))
		}
	}
}

// place puts a time in the first free slot, or returns 1 if there is none.
func place(slots *[agents + pending]int64, at int64) uint64 {
	for i := agents; i < len(slots); i++ {
		if slots[i] == never {
			slots[i] = at<<3 | int64(i)
			return 0
		}
	}
	return 1
}
