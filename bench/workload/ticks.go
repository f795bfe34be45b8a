package workload

import (
	"math/bits"

	"whatbout/sim/kernel"
)

// ticked is the workload in the way that keeps two plans in step: each agent has ticks at the bounding rate, each tick a stream of its
// own, and the table of actions leaves room for letting the tick pass. The law of what happens is the same as in the other
// programs; the numbers are others. Ticks that pass are no events.
type ticked struct {
	*compiled
	bound kernel.Mean
	act   [modes]kernel.Table // actions at their rates; what is left of the bound passes
}

func newTicked(f *figures, c *compiled) (*ticked, error) {
	bound := f.rate[modes-1]
	t := &ticked{compiled: c, bound: kernel.MeanGap(bound)}
	for m := range modes {
		rates := make([]float64, actions)
		for a, share := range f.action[m] {
			rates[a] = share * f.rate[m]
		}
		if err := t.act[m].SetRates(rates, bound*(1+1e-9)); err != nil { // room for the rounding of the sum
			return nil, err
		}
	}
	return t, nil
}

func (c *ticked) run(key kernel.Key) (t Tally) {
	var (
		ticks    [agents]kernel.Ticks
		keys     [agents]kernel.Key
		mode     [agents]int
		luck     [agents + pending]uint32 // the draw that decides a resolve, taken at its action
		calendar = kernel.NewCalendar(agents + pending)
		free     = uint32(allFree)
	)
	advance := func(agent int) {
		at, _ := ticks[agent].Next()
		keys[agent] = ticks[agent].Key(ticks[agent].Count())
		calendar.Schedule(agent, at)
	}
	for agent := range agents {
		ticks[agent] = kernel.NewTicks(key.With(uint64(agent)), c.bound)
		advance(agent)
	}
	for {
		slot, now := calendar.Next()
		if now > horizon {
			return t
		}
		if slot >= agents {
			free |= 1 << slot
			t.resolves++
			t.good += kernel.Hit(luck[slot], c.good)
			continue
		}
		stream := keys[slot].Stream()
		advance(slot)
		u := stream.Uint64()
		m := mode[slot]
		action := c.act[m].Pick(uint32(u >> 32))
		if action == actions {
			continue
		}
		response := c.response[mode[1-slot]].Pick(uint32(u))
		v, w := stream.Uint64(), stream.Uint64()
		mode[slot] = c.next[m].Pick(uint32(v))
		t.actions++
		t.successes += kernel.Hit(uint32(w>>32), c.success[m][action][response])
		if uint64(uint32(w)) >= c.resolve {
			continue
		}
		if free == 0 {
			t.dropped++
			continue
		}
		first := bits.TrailingZeros32(free)
		free &= free - 1
		luck[first] = stream.Uint32()
		calendar.Schedule(first, now+c.wait(uint32(v>>32)))
	}
}
