package sim

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// meetings counts the strikes that were chosen against what was on its way, by whether it was real.
type meetings struct{ real, empty int }

func (w *meetings) Chose(b *Bout, at tactics.Point, c int, _ *kernel.Table, chosen int) {
	if at != tactics.Defend || fighter.Response(chosen) != fighter.StrikeFirst || c != 1 || b.mode != standing {
		return
	}
	if b.men[c].seen.real {
		w.real++
	} else {
		w.empty++
	}
}

func (w *meetings) Landed(*Bout, *Landing) {}

// Blue strikes into every attack that they believe. Each stands in the row of the attack it was thrown into, unless that never came, since the
// strike was there first and hurt; and the rule of choice points finds the strike. Nobody is said to have struck into a feint: those are bites.
func TestAStrikeIntoAnAttackStandsInItsRow(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	d := fighter.Population("shrew", fighter.AverageBody()).Centre()
	for threat := range fighter.NumThreats {
		for r := range fighter.NumResponses {
			d[fighter.Defend(threat, r)] = 0
		}
		d[fighter.Defend(threat, fighter.StrikeFirst)] = 1
	}
	require.NoError(t, b.Sides[1].Load(fighter.AverageBody(), d, nil, nil, b.Rules))
	b.NoStop = true
	chosen, rows, found, struck := &meetings{}, 0, 0, 0
	b.Watch = chosen
	for i := range 10 {
		b.Run(kernel.NewKey(9, uint64(i)))
		met := map[int]bool{}
		for row := range b.Events {
			if at := tape.Meets(b.Events, row); at >= 0 && b.Events[row].Corner == tape.BlueCorner {
				met[at] = true
				require.Equal(t, tape.Answer, tape.PointOf(b.Events, row))
			}
		}
		for row := range b.Events {
			e := &b.Events[row]
			switch {
			case e.Corner != tape.RedCorner:
			case e.Defence == tape.StrikeFirst:
				require.True(t, e.Act.IsAttack())
				rows++
				if met[row] {
					found++
				}
			case e.Defence == tape.Struck:
				struck++
			}
		}
	}
	require.Greater(t, chosen.real, 300)
	require.InDelta(t, chosen.real, rows, .1*float64(chosen.real))
	require.LessOrEqual(t, rows, chosen.real)
	require.Greater(t, float64(found), .93*float64(rows)) // half of the rest were knocked or taken down before their strike came
	require.InDelta(t, chosen.empty, struck, .1*float64(chosen.empty))
}
