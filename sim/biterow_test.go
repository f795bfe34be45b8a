package sim

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// empties keeps when each corner did something about an onset that was empty, by round.
type empties map[[2]int][]int64

func (w empties) Landed(*Bout, *Landing) {}

func (w empties) Chose(b *Bout, at tactics.Point, c int, _ *kernel.Table, _ int) {
	if at == tactics.Defend && !b.men[c].seen.real {
		w[[2]int{b.round, c}] = append(w[[2]int{b.round, c}], b.now)
	}
}

// A bite stands in the row of the feint that was bitten on, even if the feinter has begun something else since: near each bitten feint the other did
// something about an empty onset, from its onset on until the attack that it imitates would have come (450 ms after the onset; judgement of the
// engine), and as many feints are bitten on as were answered so, but for those that a strike cut short.
func TestBitesStandWithTheirFeints(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	bitten, done := 0, 0
	for i := range 40 {
		w := empties{}
		b.Watch = w
		b.Run(kernel.NewKey(0x62697465, uint64(i)))
		for _, e := range b.Events {
			if !e.Act.IsFeint() || e.Defence == tape.DefenceNone || e.Defence == tape.DefenceUncoded {
				continue
			}
			bitten++
			near := false
			for _, at := range w[[2]int{int(e.Round), int(e.Corner.Other())}] {
				near = near || at > e.Clock-500_000 && at < e.Clock+450_000
			}
			require.True(t, near, "bout %d, round %d, %d µs: %s", i, e.Round, e.Clock, e.Defence)
		}
		for _, times := range w {
			done += len(times)
		}
	}
	require.Greater(t, bitten, 500)
	require.InDelta(t, done, bitten, .05*float64(done))
}
