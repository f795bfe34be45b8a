package sim

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

func tiring(by float64) func(fighter.Draw) {
	return func(d fighter.Draw) { d[fighter.Alone(fighter.Tiring)] *= by }
}

// atTheBell is what red had left when the last round ended; half of what was missing has come back since.
func atTheBell(b *Bout) float64 { return 2*stamina(0)(b, nil) - 1 }

// inRound narrows a kind of event to one round.
func inRound(r uint8, kind is) is {
	return func(e *tape.Event) bool { return e.Round == r && kind(e) }
}

// Common practice, no source: average fighters are tired late in the last round of three, not in the first; who tires easily lands less of what
// is thrown in the last round.
func TestFightersTire(t *testing.T) {
	b := change{}.bout(t)
	var left [4]float64
	const bouts = 200
	for i := range bouts {
		b.Run(kernel.NewKey(0x746972, uint64(i)))
		left[3] += atTheBell(b) / bouts
	}
	short := change{rules: func(r *tape.RuleSet) { r.Rounds = 1 }}.bout(t)
	for i := range bouts {
		short.Run(kernel.NewKey(0x746972, uint64(i)))
		left[1] += atTheBell(short) / bouts
	}
	t.Logf("tank left after one round %.2f, after three %.2f; tired below 0.40", left[1], left[3])
	require.Greater(t, left[1], .5)
	require.Less(t, left[3], .4)
	red := allOf(of(tape.RedCorner), strikes, at(tape.Head))
	rises(t, change{red: tiring(2)}, change{red: tiring(.5)},
		expect{"tank left", stamina(0)}, expect{"clean share of head strikes, last round", share(inRound(3, red), clean)})
}
