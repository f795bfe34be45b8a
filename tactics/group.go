package tactics

import (
	"fmt"
	"slices"
)

// groups are words that stand for several alternatives; each counts where it exists at the point.
var groups = func() map[string][]string {
	g := map[string][]string{
		"straight_punches": {"jab", "jab_body", "cross", "cross_body"},
		"looping_punches":  {"lead_hook", "lead_hook_body", "rear_hook", "rear_hook_body", "overhand", "uppercut"},
		"body_punches":     {"jab_body", "cross_body", "lead_hook_body", "rear_hook_body"},
		"low_kicks":        {"low_kick_calf", "low_kick_inside", "low_kick_outside"},
		"feints":           {"feint_hand", "feint_hip", "feint_leg", "feint_level"},
		"circles":          {"circle_left", "circle_right"},
		"takedowns":        {"shoot", "trip", "sweep"},
		"evasions":         {"slip", "duck", "pull", "sidestep"},
		"guards":           {"guard_high", "guard_low", "long_guard"},
		"retreats":         {"step_back"},
	}
	g["punches"] = slices.Concat(g["straight_punches"], g["looping_punches"])
	g["kicks"] = append([]string{"front_kick", "side_kick", "body_kick", "high_kick"}, g["low_kicks"]...)
	g["strikes"] = slices.Concat(g["punches"], g["kicks"], []string{"spin", "knee", "elbow", "ground_strike"})
	g["attacks"] = slices.Concat(g["strikes"], g["takedowns"])
	g["steps"] = append([]string{"step_in", "step_back", "cut_off"}, g["circles"]...)
	return g
}()

// Words lists what a rule may name at a point: the alternatives, then the groups that have a member there, both in the order
// of their names.
func Words(at Point) []string {
	names := Alternatives(at)
	var held []string
	for word := range groups {
		if _, err := expand(at, word); err == nil && !slices.Contains(names, word) {
			held = append(held, word)
		}
	}
	slices.Sort(held)
	return append(slices.Clone(names), held...)
}

// expand gives the indices, rising, of the alternatives that a word stands for at a point.
func expand(at Point, word string) ([]int, error) {
	words := groups[word]
	if words == nil {
		words = []string{word}
	}
	var out []int
	for i, name := range Alternatives(at) {
		if slices.Contains(words, name) {
			out = append(out, i)
		}
	}
	if out == nil {
		return nil, fmt.Errorf("%q cannot be chosen at the %s point", word, at)
	}
	return out, nil
}
