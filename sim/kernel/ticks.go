package kernel

// Ticks is the sequence of moments of one agent in one period: a Poisson process at a bounding rate, each moment with a key of its own.
// Both come from the agent's key alone. What happens at earlier ticks, whether the agent was free, and what anybody plans cannot
// move a later tick or touch its draws; two runs that differ only in plans meet the same ticks with the same luck.
//
// The caller thins: at a tick, if the agent is free, it acts with probability (total rate)/bound (see [Table.SetRates]) and lets the
// tick pass otherwise. As the ticks have no memory, acts then come as competing exponential clocks of the state's rates would
// bring them (Lewis & Shedler 1979), as long as no total exceeds the bound.
type Ticks struct {
	mean  Mean
	at    int64
	count uint64
	gaps  Stream
	keys  Key
}

// The first word below the agent's key: what the draws are for.
const (
	wordGaps uint64 = iota
	wordKeys
)

// NewTicks returns the ticks under key (seed, draw, replication, period, agent) with the mean gap of the bounding rate (see [MeanGap]),
// starting at time 0 of the period.
func NewTicks(key Key, mean Mean) Ticks {
	return Ticks{mean: mean, gaps: key.With(wordGaps).Stream(), keys: key.With(wordKeys)}
}

// Next returns the next tick: its time in microseconds, which is later than the one before, and its key, whose stream holds the
// draws of this tick.
func (t *Ticks) Next() (at int64, key Key) {
	t.at += Exponential(t.gaps.Uint64(), t.mean)
	key = t.keys.With(t.count)
	t.count++
	return t.at, key
}
