package main

import (
	"fmt"
	"io"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// chosen is a choice that the engine made: of a move, or of something to do against an onset or when hurt.
type chosen struct {
	point tactics.Point
	move  tape.Move
	row   int // how many rows stood then
}

// choices keeps what began acts, by corner, in order.
type choices struct{ made [2][]chosen }

// Chose keeps a choice that may have begun an act.
func (w *choices) Chose(b *sim.Bout, at tactics.Point, c int, _ *kernel.Table, alternative int) {
	move := tape.Move(alternative)
	switch at {
	case tactics.Initiate, tactics.Answer, tactics.Continue:
		if move == tape.NoMove || move >= tape.NumMoves {
			return
		}
	case tactics.Defend, tactics.Survive:
		move = tape.NoMove
	default:
		return
	}
	w.made[c] = append(w.made[c], chosen{at, move, len(b.Events)})
}

// Landed is told of strikes, which do not matter here.
func (w *choices) Landed(*sim.Bout, *sim.Landing) {}

// began gives what began the act in a row: the corner's last choice before it, if it fits.
func (w *choices) began(e *tape.Event, row int) (tactics.Point, bool) {
	var last *chosen
	for i := range w.made[e.Corner] {
		if c := &w.made[e.Corner][i]; c.row <= row {
			last = c
		}
	}
	if last == nil || last.move != tape.NoMove && last.move.Act() != e.Act {
		return 0, false
	}
	return last.point, true
}

// confusion counts, over average fighters' acts on the feet, what the engine chose them at against what the tape's rule says.
func confusion(w io.Writer, bouts int) error {
	counts, err := confused(bouts)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "%-10s %10s %10s %10s\n", "engine", "initiate", "answer", "continue")
	for _, at := range []tactics.Point{tactics.Initiate, tactics.Answer, tactics.Continue, tactics.Defend, tactics.Survive} {
		n := counts[at]
		fmt.Fprintf(w, "%-10s %10d %10d %10d\n", at, n[tape.Initiate], n[tape.Answer], n[tape.Continue])
	}
	return nil
}

func confused(bouts int) (map[tactics.Point]map[tape.Point]int, error) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	if err != nil {
		return nil, err
	}
	counts := map[tactics.Point]map[tape.Point]int{}
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(rules, sim.AverageWorld())
	for i := range bouts {
		for c := range b.Sides {
			d := fighter.Population(fmt.Sprint(c, i), fighter.AverageBody()).Draw(7, 0, false)
			if err := b.Sides[c].Load(fighter.AverageBody(), d, nil, nil, rules); err != nil {
				return nil, err
			}
		}
		w := &choices{}
		b.Watch = w
		b.Run(kernel.NewKey(3, uint64(i)))
		var zones [2]fighter.Zone
		for row := range b.Events {
			e := &b.Events[row]
			if e.Act == tape.StateRange && e.Corner != tape.NoCorner {
				zones[e.Corner] = fighter.ZoneOf(e.Value)
			}
			if !e.IsAct() || zones[e.Corner] > fighter.Pocket {
				continue
			}
			if at, ok := w.began(e, row); ok {
				if counts[at] == nil {
					counts[at] = map[tape.Point]int{}
				}
				counts[at][tape.PointOf(b.Events, row)]++
			}
		}
	}
	return counts, nil
}
