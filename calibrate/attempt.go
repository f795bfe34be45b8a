package calibrate

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// attempt is one try at something that may come off, by whom, against whom, and how things stood.
type attempt struct {
	move           tape.Move
	state          standing
	made           bool
	attacker, with string
	weight         float64
}

// attempts lists the attempts of coded corners whose results were looked for and seen; w is told of each.
func attempts(sources []*source, w witness) (out []attempt) {
	for _, s := range sources {
		if !s.bout.LookedFor[tape.GroupResults] {
			continue
		}
		settings := s.settings()
		for k := range s.lights {
			l := &s.lights[k]
			views := [2]*view{whereabouts(s, l, tape.RedCorner), whereabouts(s, l, tape.BlueCorner)}
			for i := l.first; i < l.last; i++ {
				if a, ok := s.attempt(i, views, settings[i]); ok {
					family, _ := fighter.FamilyOf(a.move.Act())
					w.see(s, s.events[i].Corner, fighter.Attack(family), i, -1)
					w.see(s, s.events[i].Corner.Other(), fighter.Defence(family), -1, i)
					out = append(out, a)
				}
			}
		}
	}
	return out
}

func (s *source) attempt(i int, views [2]*view, in setting) (attempt, bool) {
	e := &s.events[i]
	if _, ok := fighter.FamilyOf(e.Act); !ok || e.Result == tape.ResultUnknown || e.Result == tape.ResultUncoded || !s.isAct(i) {
		return attempt{}, false
	}
	return attempt{tape.MoveOf(e.Act, e.Value), s.stateOf(i, views[e.Corner], in), came(e), s.id(e.Corner), s.id(e.Corner.Other()), s.weight}, true
}

func came(e *tape.Event) bool {
	return e.Result.IsClean() || e.Result == tape.TakenDown || e.Result == tape.Made
}
