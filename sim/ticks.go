package sim

import (
	"whatbout/sim/kernel"
)

// Bound is the rate of all decision ticks, per second: no fighter may begin acts faster than this. It does not depend on plans, so
// that the ticks, and the luck they carry, stay the same under every plan.
const Bound = 8.0

// slow is the rate of the ticks that every fighter has. A tick's draw is uniform up to Bound in acts a second; those above slow can begin
// something only for somebody whose rates go that far, so that they are a sequence of their own (a Poisson process split by its draws is
// two independent ones), and nobody else has to wait for them.
const slow = 3.0

var slowGap, quickGap = kernel.MeanGap(slow), kernel.MeanGap(Bound - slow)

// slowShare is where the draws of slow ticks end, in 1/2^32 of Bound.
const slowShare = uint64(kernel.Certain * slow / Bound)

// tickers are one fighter's ticks in a round.
type tickers struct {
	slow, quick         kernel.Ticks
	slowAt, quickAt     int64
	slowDraw, quickDraw uint64
	needsQuick          bool
}

func newTickers(key kernel.Key, needsQuick bool) tickers {
	t := tickers{slow: kernel.NewTicks(key.With(0), slowGap), quickAt: kernel.Never, needsQuick: needsQuick}
	t.slowAt, t.slowDraw = t.slow.Next()
	if needsQuick {
		t.quick = kernel.NewTicks(key.With(1), quickGap)
		t.quickAt, t.quickDraw = t.quick.Next()
	}
	return t
}

// at gives the time of the next tick.
func (t *tickers) at() int64 { return min(t.slowAt, t.quickAt) }

// take takes the next tick and gives its draw: the upper half is the coin of adherence, the lower half lies in its share of [Bound].
func (t *tickers) take() uint64 {
	if t.slowAt <= t.quickAt {
		draw := t.slowDraw
		t.slowAt, t.slowDraw = t.slow.Next()
		return draw&^(kernel.Certain-1) | uint64(low(draw))*slowShare>>32
	}
	draw := t.quickDraw
	t.quickAt, t.quickDraw = t.quick.Next()
	return draw&^(kernel.Certain-1) | (slowShare + uint64(low(draw))*(kernel.Certain-slowShare)>>32)
}
