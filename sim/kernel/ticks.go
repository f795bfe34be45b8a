package kernel

// Ticks is the sequence of moments of one agent in one period: a Poisson process at a bounding rate, each moment with a draw and a key of
// its own. All come from the agent's key alone. What happens at earlier ticks, whether the agent was free, and what anybody plans cannot
// move a later tick or touch its draws; two runs that differ only in plans meet the same ticks with the same luck.
//
// The caller thins: at a tick, if the agent is free, it acts with probability (total rate)/bound (see [Table.SetRates], which the lower
// half of the tick's draw is for) and lets the tick pass otherwise. As the ticks have no memory, acts then come as competing exponential clocks of the state's rates would
// bring them (Lewis & Shedler 1979), as long as no total exceeds the bound.
type Ticks struct {
	mean  Mean
	at    int64
	count uint64
	draws Stream // gap and draw of every tick in turn
	keys  Key
}

// The first word below the agent's key: what the draws are for.
const (
	wordDraws uint64 = iota
	wordKeys
)

// NewTicks returns the ticks under key (seed, draw, replication, period, agent) with the mean gap of the bounding rate (see [MeanGap]),
// starting at time 0 of the period.
func NewTicks(key Key, mean Mean) Ticks {
	return Ticks{mean: mean, draws: key.With(wordDraws).Stream(), keys: key.With(wordKeys)}
}

// Next returns the next tick: its time in microseconds, which is later than the one before, and its draw.
func (t *Ticks) Next() (at int64, draw uint64) {
	t.at += Exponential(t.draws.Uint64(), t.mean)
	t.count++
	return t.at, t.draws.Uint64()
}

// Count is how many ticks there have been.
func (t *Ticks) Count() uint64 { return t.count }

// Key is the key of the tick that came when the count was n, whose stream holds all further draws that are made because of it.
func (t *Ticks) Key(n uint64) Key { return t.keys.With(n) }
