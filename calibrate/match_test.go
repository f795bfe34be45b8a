package calibrate

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"whatbout/tape"
)

const testWindow = 300_000

// drawActs draws a few acts close together, with twins and with acts that can and cannot be taken for each other.
func drawActs(t *rapid.T, what string) []codedAct {
	acts := []tape.Act{tape.Jab, tape.Cross, tape.FeintHand, tape.FeintHip, tape.LowKick, tape.StepIn, tape.StepBack, tape.Shoot}
	var out []codedAct
	for i := range rapid.IntRange(0, 5).Draw(t, what) {
		e := tape.Event{Round: 1, Act: rapid.SampledFrom(acts).Draw(t, "act"), Corner: tape.Corner(rapid.IntRange(0, 1).Draw(t, "corner")),
			Clock: int64(rapid.IntRange(0, 10).Draw(t, "clock")) * 90_000}
		out = append(out, codedAct{Event: e, row: i, mid: 2 * e.Clock})
	}
	return out
}

// cheapest tries every matching.
func cheapest(first, second []codedAct, taken []bool) int64 {
	if len(first) == 0 {
		alone := int64(0)
		for _, t := range taken {
			if !t {
				alone += aloneCost
			}
		}
		return alone
	}
	best := aloneCost + cheapest(first[1:], second, taken)
	for j := range second {
		if a, b := &first[0], &second[j]; !taken[j] && a.Corner == b.Corner && a.Round == b.Round {
			if cost, ok := pairCost(a, b, testWindow); ok {
				taken[j] = true
				best = min(best, cost+cheapest(first[1:], second, taken))
				taken[j] = false
			}
		}
	}
	return best
}

func (m *matching) total() int64 {
	sum := int64(len(m.onlyFirst)+len(m.onlySecond)) * aloneCost
	for _, p := range m.pairs {
		sum += p.cost
	}
	return sum
}

func TestMatchingIsCheapest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first, second := drawActs(t, "first"), drawActs(t, "second")
		m := matchActs(first, second, testWindow)
		require.Equal(t, cheapest(first, second, make([]bool, len(second))), m.total())
		require.Equal(t, len(first), len(m.pairs)+len(m.onlyFirst))
		require.Equal(t, len(second), len(m.pairs)+len(m.onlySecond))
		for _, p := range m.pairs {
			require.Equal(t, first[p.first].Corner, second[p.second].Corner)
		}
	})
}

// Exchanging the coders exchanges the sides of every pair and nothing else.
func TestMatchingIsSymmetric(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first, second := drawActs(t, "first"), drawActs(t, "second")
		m, s := matchActs(first, second, testWindow), matchActs(second, first, testWindow)
		require.Equal(t, m.onlyFirst, s.onlySecond)
		require.Equal(t, m.onlySecond, s.onlyFirst)
		partners := map[int]int{}
		for _, p := range m.pairs {
			partners[p.first] = p.second
		}
		require.Len(t, s.pairs, len(m.pairs))
		for _, p := range s.pairs {
			require.Equal(t, partners[p.second], p.first)
		}
	})
}

// Two acts in another order are still the same two acts: the pairs may cross.
func TestPairsMayCross(t *testing.T) {
	act := func(a tape.Act, clock int64) codedAct {
		return codedAct{Event: tape.Event{Round: 1, Act: a, Clock: clock}, mid: 2 * clock}
	}
	m := matchActs([]codedAct{act(tape.Jab, 1_000_000), act(tape.FeintHand, 1_050_000)}, []codedAct{act(tape.FeintHand, 1_000_000), act(tape.Jab, 1_060_000)}, testWindow)
	require.Len(t, m.pairs, 2)
	for _, p := range m.pairs {
		require.Equal(t, m.firstActs[p.first].Act, m.secondActs[p.second].Act)
	}
	// A step and a jab at the same moment are two events that each coder missed once, not one that they name differently.
	m = matchActs([]codedAct{act(tape.Jab, 1_000_000)}, []codedAct{act(tape.StepIn, 1_000_000)}, testWindow)
	require.Empty(t, m.pairs)
}
