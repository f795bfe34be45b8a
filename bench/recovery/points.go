package main

import (
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// chosen is a choice of a move that the engine made.
type chosen struct {
	point  tactics.Point
	corner tape.Corner
	move   tape.Move
	row    int // how many rows stood then
}

// choices is a watcher that keeps them.
type choices struct{ made []chosen }

func (w *choices) Chose(b *sim.Bout, at tactics.Point, corner int, _ *kernel.Table, alternative int) {
	switch at {
	case tactics.Initiate, tactics.Answer, tactics.Continue:
		if m := tape.Move(alternative); m < tape.NumMoves {
			w.made = append(w.made, chosen{at, tape.Corner(corner), m, len(b.Events)})
		}
	case tactics.Defend, tactics.Survive:
		w.made = append(w.made, chosen{at, tape.Corner(corner), tape.NoMove, len(b.Events)})
	}
}

func (w *choices) Landed(*sim.Bout, *sim.Landing) {}
