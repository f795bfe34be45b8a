package calibrate

import (
	"math"

	"whatbout/fighter"
	"whatbout/tape"
)

// lastChoice is a choice, and what it came after.
type lastChoice struct {
	figure fighter.Figure
	after  fighter.After
}

// afterMultiple gives the multiple of a choice point, in the order of [choiceTables], after an act; after a punch there is none.
func afterMultiple(k int, a fighter.After) (f fighter.Figure, ok bool) {
	switch {
	case a == fighter.AfterPunch || k == 0 && a < fighter.AfterFeint:
		return 0, false
	case k == 0:
		return fighter.Replies(a), true
	}
	return fighter.Follows(a), true
}

// isAfter reports whether a figure is a multiple by last act.
func isAfter(f fighter.Figure) bool {
	return f >= fighter.Follows(fighter.AfterStep) && f < fighter.Follows(fighter.AfterStep)+fighter.Figure(numMultiples)
}

// numMultiples is how many multiples by last act there are.
const numMultiples = int(fighter.NumAfters) - 1 + int(fighter.NumAfters-fighter.AfterFeint)

// after books a choice by what it came after.
func (t *counts) after(v *view, about, next int, could pattern, f fighter.Figure) {
	e := &v.src.events[about]
	a, k := fighter.AfterOf(e.Act), 0
	if e.Corner == v.corner {
		k = 1
	}
	t.lasts[could][lastChoice{f, a}] += v.src.weight
	if multiple, ok := afterMultiple(k, a); ok {
		t.witness.see(v.src, v.corner, multiple, next, about)
	}
}

// afters notes where acts were over that a multiple is about.
func (t *showing) afters(v *view, e *tape.Event, z fighter.Zone) {
	k := 0
	if e.Corner == v.corner {
		k = 1
	}
	if f, ok := afterMultiple(k, fighter.AfterOf(e.Act)); ok && z <= fighter.Pocket && (k == 1 || e.AnswerEnds() > 0) {
		t.add(f, z)
	}
}

// afterShifts is what thinning takes from the multiples' logarithms, on average.
type afterShifts [numMultiples]float64

func (s *afterShifts) add(p, thinned *fighter.Profile) {
	for i := range s {
		f := fighter.Follows(fighter.AfterStep) + fighter.Figure(i)
		s[i] += math.Log(p.Figures[f].A/thinned.Figures[f].A) / thinnings
	}
}

// widenAfters gives back what two codings say that was taken from multiples, and keeps as doubt what is assumed of one. An act that is missed with the
// same chance whatever came before hardly moves a multiple: it is missing after punches as well.
func (d *fighterDoubt) widenAfters(p *fighter.Profile) {
	for i := range numMultiples {
		f := fighter.Follows(fighter.AfterStep) + fighter.Figure(i)
		if post := &p.Figures[f]; p.Sources[f] == fighter.FromTape {
			post.A *= math.Exp(d.correct.afters[i])
			post.B = math.Hypot(post.B, d.assumed.afters[i])
		}
	}
}
