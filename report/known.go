package report

import (
	"whatbout/sim"
	"whatbout/tactics"
)

// factWords say the values of a fact in words; an empty one is left out because it says nothing.
var factWords = [tactics.NumFacts][]string{
	tactics.FactRound:          {"first round", "second round", "third round", "fourth round", "fifth round"},
	tactics.FactTimeLeft:       {"more than two minutes left", "one to two minutes left", "less than a minute left", "the last thirty seconds"},
	tactics.FactRange:          {"nothing reaches", "only the kicks reach", "the straight punches reach", "the hooks reach", "chest to chest", "on the ground"},
	tactics.FactCentre:         {"holding the centre", "the other holds the centre", "nobody holds the centre"},
	tactics.FactOwnFence:       {"own back on the fence", ""},
	tactics.FactTheirFence:     {"the other's back on the fence", ""},
	tactics.FactMatchUp:        {"open stance (one of each)", "closed stance (both the same)"},
	tactics.FactOther:          {"the other is free", "the other is in the middle of an act", "the other is on the way back to guard", "the other is defending", "the other stands on one leg", "the other is hurt", "the other is down"},
	tactics.FactOwnCondition:   {"fresh", "tired", "hurt"},
	tactics.FactOtherCondition: {"the other looks fresh", "the other looks tired", "the other looks hurt"},
	tactics.FactLastAct:        {"", "last did: a step", "last did: something with the lead hand", "last did: a feint", "last did: a punch", "last did: a kick", "last did: a takedown attempt", "last did: a defence"},
	tactics.FactLastResult:     {"", "own last attack missed", "own last attack was blocked", "own last attack landed", "own last attack hurt", "own last attack took the other down", "own last attack was stuffed"},
	tactics.FactTheirLast:      {"", "the other last did: a step", "the other last did: something with the lead hand", "the other last did: a feint", "the other last did: a punch", "the other last did: a kick", "the other last did: a takedown attempt", "the other last did: a defence"},
	tactics.FactAhead:          {"thinks to be ahead", "thinks it level", "thinks to be behind"},
	tactics.FactLeadHand:       {"own lead hand taken away", ""},
	tactics.FactThreat:         {"it looks like a straight punch", "it looks like a looping punch", "it looks like a low kick", "it looks like a body kick", "it looks like a high kick", "it looks like a front kick", "it looks like something from close", "it looks like a shot"},
	tactics.FactCue:            {"", "", "", ""},
	tactics.FactLeadFoot:       {"own lead foot outside", "own lead foot inside", "lead feet level"},
}

func knownWords(known []sim.Known) (out []string) {
	for _, k := range known {
		if words := factWords[k.Fact]; k.Value < len(words) {
			if words[k.Value] != "" {
				out = append(out, words[k.Value])
			}
			continue
		}
		out = append(out, spaced(k.Fact.String())+": "+spaced(k.Fact.Values()[k.Value])) // a fact that has no words yet
	}
	return out
}
