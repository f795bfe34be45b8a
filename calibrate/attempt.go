package calibrate

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// attempt is one try at something that may come off, by whom, against whom.
type attempt struct {
	move           tape.Move
	met            met
	made           bool
	attacker, with string
	weight         float64
}

// met says whether a defence was coded against an attempt.
type met uint8

const (
	undefended met = iota
	defended
	anyhow // not looked at: either
	numMet
)

// attempts lists the attempts of coded corners whose results were looked for and seen.
func attempts(sources []*source) (out []attempt) {
	for _, s := range sources {
		if !s.bout.LookedFor[tape.GroupResults] {
			continue
		}
		for i := range s.events {
			e := &s.events[i]
			if e.Result == tape.ResultUnknown || e.Result == tape.ResultUncoded {
				continue
			}
			if _, ok := fighter.FamilyOf(e.Act); ok && s.isAct(i) {
				out = append(out, attempt{tape.MoveOf(e.Act, e.Value), s.met(e), came(e), s.id(e.Corner), s.id(e.Corner.Other()), s.weight})
			}
		}
	}
	return out
}

func (s *source) met(e *tape.Event) met {
	switch {
	case !s.bout.LookedFor[tape.GroupDefences], e.Defence == tape.DefenceUncoded, e.Defence == tape.DefenceUnknown:
		return anyhow
	case e.Defence == tape.DefenceNone, e.Defence == tape.StrikeFirst: // which protects from nothing
		return undefended
	}
	return defended
}

func came(e *tape.Event) bool {
	return e.Result.IsClean() || e.Result == tape.TakenDown || e.Result == tape.Made
}
