package tactics

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"whatbout/fighter"
	"whatbout/tape"
)

// The groups by kind of act are those of the vocabulary of tape.
func TestGroupsFollowTape(t *testing.T) {
	for word, is := range map[string]func(tape.Act) bool{
		"strikes":   tape.Act.IsStrike,
		"takedowns": tape.Act.IsTakedown,
		"attacks":   tape.Act.IsAttack,
		"feints":    tape.Act.IsFeint,
		"low_kicks": func(a tape.Act) bool { return a == tape.LowKick },
		"circles":   func(a tape.Act) bool { return a == tape.Circle },
		"kicks":     func(a tape.Act) bool { return a >= tape.FrontKick && a <= tape.HighKick },
		"punches":   func(a tape.Act) bool { return a >= tape.Jab && a <= tape.Uppercut },
		"straight_punches": func(a tape.Act) bool {
			return a == tape.Jab || a == tape.Cross
		},
	} {
		var want []int
		for m := range tape.NumMoves {
			if is(m.Act()) {
				want = append(want, int(m))
			}
		}
		for _, at := range []Point{Initiate, Answer, Continue} {
			got, err := expand(at, word)
			assert.NoError(t, err)
			assert.Equal(t, want, got, "%s at %s", word, at)
		}
	}
}

func TestGroupsAtDefend(t *testing.T) {
	for word, want := range map[string][]fighter.Response{
		"evasions": {fighter.Duck, fighter.Pull, fighter.Sidestep, fighter.Slip},
		"guards":   {fighter.GuardHigh, fighter.GuardLow, fighter.LongGuard},
		"retreats": {fighter.StepBack},
		"steps":    {fighter.StepBack},
		"check":    {fighter.Check},
	} {
		got, err := expand(Defend, word)
		assert.NoError(t, err)
		assert.Len(t, got, len(want), word)
		for i, r := range want {
			assert.Equal(t, int(r), got[i], word)
		}
	}
}

func TestExpandRefuses(t *testing.T) {
	for _, c := range []struct {
		at   Point
		word string
	}{{Defend, "jab"}, {Initiate, "slip"}, {Believe, "strikes"}, {Survive, "kicks"}, {Initiate, ""}, {Answer, "evasions"}} {
		_, err := expand(c.at, c.word)
		assert.ErrorContains(t, err, "cannot be chosen at the "+c.at.String()+" point", c.word)
	}
}

// No group hides an alternative, none is of no use, and all their members exist somewhere.
func TestGroupsAreSound(t *testing.T) {
	for word, members := range groups {
		useful := false
		for at := range NumPoints {
			assert.NotContains(t, Alternatives(at), word)
			useful = useful || slices.Contains(Words(at), word)
		}
		assert.True(t, useful, word)
		for _, m := range members {
			known := false
			for at := range NumPoints {
				known = known || slices.Contains(Alternatives(at), m)
			}
			assert.True(t, known, "%s in %s", m, word)
		}
	}
}

func TestWords(t *testing.T) {
	assert.Equal(t, []string{"real"}, Words(Believe))
	assert.Contains(t, Words(Initiate), "none")
	assert.Contains(t, Words(Initiate), "attacks")
	assert.NotContains(t, Words(Initiate), "evasions")
	assert.Contains(t, Words(Defend), "evasions")
	assert.Contains(t, Words(Survive), "tie_up")
}
