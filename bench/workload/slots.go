package workload

import (
	"math/bits"

	"whatbout/sim/kernel"
)

// replication is one on the kernel: slots 0 and 1 hold the agents' next actions, the others the resolves under way.
type replication struct {
	*compiled
	stream   kernel.Stream
	calendar kernel.Calendar
	mode     [agents]int
	free     uint32 // bit set of the free resolve slots
	tally    Tally
}

const allFree = (1<<pending - 1) << agents

// run plays one replication under the key.
func (c *compiled) run(key kernel.Key) Tally {
	r := replication{compiled: c, stream: key.Stream(), calendar: kernel.NewCalendar(agents + pending), free: allFree}
	for agent := range agents {
		r.calendar.Schedule(agent, kernel.Exponential(r.stream.Uint64(), c.mean[0]))
	}
	for {
		slot, now := r.calendar.Next()
		if now > horizon {
			return r.tally
		}
		if slot < agents {
			r.act(slot, now)
		} else {
			r.resolved(slot, now)
		}
	}
}

// act takes four numbers of the stream: action and response; success and resolve; delay and next mode; the next waiting time. It
// draws them first, from a copy of the stream that can live in registers.
func (r *replication) act(agent int, now int64) {
	stream := r.stream
	choice, luck, later, gap := stream.Uint64(), stream.Uint64(), stream.Uint64(), stream.Uint64()
	r.stream = stream

	mode := r.mode[agent]
	next := r.next[mode].Pick(uint32(later))
	r.mode[agent] = next
	r.calendar.Schedule(agent, now+kernel.Exponential(gap, r.mean[next]))

	action := r.action[mode].Pick(uint32(choice >> 32))
	response := r.response[r.mode[1-agent]].Pick(uint32(choice))
	hit := kernel.Hit(uint32(luck>>32), r.success[mode][action&(actions-1)][response&7])
	if uint64(uint32(luck)) < r.compiled.resolve {
		r.open(now + r.wait(uint32(later>>32)))
	}
	r.tally.actions++
	r.tally.successes += hit
	r.tally.note(now, agent, hit)
}

// wait is the delay of a resolve; six standard deviations below its mean it would be negative.
func (c *compiled) wait(u uint32) int64 {
	return max(0, c.delay+c.spread*int64(kernel.Normal(u))/kernel.NormalUnit)
}

// open schedules a resolve in the first free slot.
func (r *replication) open(at int64) {
	if r.free == 0 {
		r.tally.dropped++
		return
	}
	r.calendar.Schedule(bits.TrailingZeros32(r.free), at)
	r.free &= r.free - 1
}

// resolved takes one number of the stream.
func (r *replication) resolved(slot int, now int64) {
	r.free |= 1 << slot
	good := kernel.Hit(r.stream.Uint32(), r.compiled.good)
	r.tally.resolves++
	r.tally.good += good
	r.tally.note(now, slot, good)
}
