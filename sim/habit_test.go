package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// begunPerFree counts how often a sort of acts was begun in a spot, by fighter 0, over the ticks at which it could be.
type begunWhere struct {
	sort  fighter.Sort
	ticks [numSpots]float64
	begun [numSpots]float64
	after [tactics.NumPoints][fighter.NumAfters][2]float64 // nothing, something
}

func (w *begunWhere) Landed(*Bout, *Landing) {}

func (w *begunWhere) Chose(b *Bout, at tactics.Point, c int, _ *kernel.Table, chosen int) {
	if c != 0 || b.catching || b.isHurt(1) {
		return
	}
	something := 0
	if tape.Move(chosen) != tape.NoMove {
		something = 1
	}
	switch at {
	case tactics.Initiate:
		if b.men[0].zone > fighter.Pocket {
			return
		}
		spot := b.spot(0)
		w.ticks[spot]++
		if chosen < int(tape.NumMoves) && sortOf[chosen] == w.sort {
			w.begun[spot]++
		}
	case tactics.Continue:
		w.after[at][fighter.AfterOf(b.men[0].move.Act())][something]++
	case tactics.Answer:
		w.after[at][b.theirs(0)][something]++
	}
}

func watchHabits(t *testing.T, sort fighter.Sort, edit func(d fighter.Draw)) *begunWhere {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	w := &begunWhere{sort: sort}
	b := NewBout()
	b.Setup(rules, AverageWorld())
	b.NoStop = true
	d := fighter.Population("vole", fighter.AverageBody()).Centre()
	edit(d)
	require.NoError(t, b.Sides[0].Load(fighter.AverageBody(), d, nil, nil, rules))
	require.NoError(t, b.Sides[1].Load(fighter.AverageBody(), fighter.Population("newt", fighter.AverageBody()).Centre(), nil, nil, rules))
	b.Watch = w
	for i := range 60 {
		b.Run(kernel.NewKey(0x6861626974, uint64(i)))
	}
	require.NoError(t, b.Sides[0].Fault())
	return w
}

// What is done only in one place is done there and nowhere else on the feet: a multiple of 0 everywhere but one is seen in every spot.
func TestPlacesChangeWhatIsBegun(t *testing.T) {
	w := watchHabits(t, fighter.Kicks, func(d fighter.Draw) {
		d[fighter.Placed(fighter.OwnCentre, fighter.Kicks)] = 0
		d[fighter.Placed(fighter.TheirFence, fighter.Kicks)] = 0
	})
	var never, else_ float64
	for spot := range w.begun {
		banned := false
		for _, p := range placesOf(spot) {
			banned = banned || p == fighter.OwnCentre || p == fighter.TheirFence
		}
		if banned {
			never += w.ticks[spot]
			require.Zero(t, w.begun[spot], "kicks in spot %d", spot)
		} else {
			else_ += w.begun[spot]
		}
	}
	require.Greater(t, never, 1000.0, "moments at which kicks were left out")
	require.Greater(t, else_, 100.0, "kicks elsewhere")
}

// Twice the odds after a feint, half of them after a step, a third of them for a kick of the other's: by the counts of choices, whose log-odds
// have the standard error √(Σ 1/n) of both (Woolf 1955, from memory); 4.9 of them.
func TestLastActsChangeWhatFollows(t *testing.T) {
	want := map[tactics.Point]map[fighter.After]float64{
		tactics.Continue: {fighter.AfterFeint: 2, fighter.AfterStep: .5},
		tactics.Answer:   {fighter.AfterKick: 1. / 3},
	}
	usual := watchHabits(t, fighter.Kicks, func(fighter.Draw) {})
	w := watchHabits(t, fighter.Kicks, func(d fighter.Draw) {
		d[fighter.Follows(fighter.AfterFeint)], d[fighter.Follows(fighter.AfterStep)], d[fighter.Replies(fighter.AfterKick)] = 2, .5, 1./3
	})
	for at, multiples := range want {
		for a := range fighter.NumAfters {
			before, after := usual.after[at][a], w.after[at][a]
			if before[1] < 20 || after[1] < 20 {
				require.NotContains(t, multiples, a, "too few to tell")
				continue
			}
			by, ok := multiples[a]
			if !ok {
				by = 1
			}
			got := math.Log(after[1] / after[0] * before[0] / before[1])
			se := math.Sqrt(1/after[1] + 1/after[0] + 1/before[0] + 1/before[1])
			require.InDelta(t, math.Log(by), got, 4.9*se, "%s after %s (standard error %.3f)", at, a, se)
		}
	}
}
