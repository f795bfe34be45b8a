package tactics

import (
	"fmt"

	"whatbout/fighter"
	"whatbout/tape"
)

// Adherence is the share of decisions at which a fresh fighter manages to follow the plan, with its spread: an assumption.
type Adherence struct{ Share, SD float64 }

// UsualAdherence is taken when a plan does not say (judgement).
var UsualAdherence = Adherence{0.8, 0.1}

// Plan is a game plan.
type Plan struct {
	Name, Intent string
	Adherence    Adherence
	Rules        []Rule
}

// Rule says when it holds and what it re-weights at one choice point.
type Rule struct {
	Name      string
	At        Point
	When      map[Fact][]int // a fact that is not named may have any value
	Multiples []Multiple
	Only      []string // everything else never; empty: no such limit
	KeepTempo bool     // at initiate: what is taken from some goes to the others
}

// Multiple re-weights one alternative, or a group of them; 0 means never.
type Multiple struct {
	What string
	By   float64
}

// groups are words that stand for several alternatives; each counts where it exists at the point.
var groups = map[string][]string{
	"punches":          {"jab", "jab_body", "cross", "cross_body", "lead_hook", "lead_hook_body", "rear_hook", "rear_hook_body", "overhand", "uppercut"},
	"straight_punches": {"jab", "jab_body", "cross", "cross_body"},
	"looping_punches":  {"lead_hook", "lead_hook_body", "rear_hook", "rear_hook_body", "overhand", "uppercut"},
	"body_punches":     {"jab_body", "cross_body", "lead_hook_body", "rear_hook_body"},
	"kicks":            {"front_kick", "side_kick", "body_kick", "high_kick", "low_kick_calf", "low_kick_inside", "low_kick_outside"},
	"low_kicks":        {"low_kick_calf", "low_kick_inside", "low_kick_outside"},
	"feints":           {"feint_hand", "feint_hip", "feint_leg", "feint_level"},
	"circles":          {"circle_left", "circle_right"},
	"takedowns":        {"shoot", "trip", "sweep"},
	"evasions":         {"slip", "duck", "pull", "sidestep"},
	"guards":           {"guard_high", "guard_low", "long_guard"},
}

// Alternatives names what can be chosen at a point, in the order of choice.
func Alternatives(at Point) []string {
	switch at {
	case Believe:
		return []string{"real"}
	case Defend:
		names := make([]string, fighter.NumResponses)
		for r := range fighter.NumResponses {
			names[r] = r.String()
		}
		return names
	case Survive:
		names := make([]string, fighter.NumSurvivals)
		for s := range fighter.NumSurvivals {
			names[s] = s.String()
		}
		return names
	}
	return tape.MoveNames()
}

// expand gives the indices of the alternatives that a word stands for at a point.
func expand(at Point, word string) ([]int, error) {
	words := groups[word]
	if words == nil {
		words = []string{word}
	}
	var out []int
	for i, name := range Alternatives(at) {
		for _, w := range words {
			if w == name {
				out = append(out, i)
			}
		}
	}
	if out == nil {
		return nil, fmt.Errorf("%q cannot be chosen at the %s point", word, at)
	}
	return out, nil
}
