package tape

import (
	"maps"
	"slices"
	"strings"
)

// meaning is what a word of the trade stands for in the vocabulary.
type meaning struct {
	act   Act
	value Value
	limb  Limb
}

// actAliases are words of the trade for an act; the canonical name is written back. Common practice, no source.
var actAliases = map[string]meaning{
	"teep": {act: FrontKick}, "push_kick": {act: FrontKick}, "straight": {act: Cross}, "straight_right": {act: Cross},
	"straight_left": {act: Cross}, "rear_straight": {act: Cross}, "lead_straight": {act: Jab},
	"check_hook": {act: LeadHook}, "lead_uppercut": {act: Uppercut, limb: Lead}, "rear_uppercut": {act: Uppercut, limb: Rear},
	"backfist": {act: Spin}, "spinning_backfist": {act: Spin}, "spinning_back_fist": {act: Spin},
	"leg_kick": {act: LowKick}, "calf_kick": {act: LowKick, value: Calf}, "inside_low_kick": {act: LowKick, value: Inside},
	"outside_low_kick": {act: LowKick, value: Outside}, "inside_leg_kick": {act: LowKick, value: Inside},
	"outside_leg_kick": {act: LowKick, value: Outside}, "middle_kick": {act: BodyKick}, "mid_kick": {act: BodyKick},
	"head_kick": {act: HighKick}, "double_leg": {act: Shoot}, "single_leg": {act: Shoot},
	"foot_sweep": {act: Sweep}, "clinch": {act: TieUp}, "hand_trap": {act: HandFight},
	"hand_fighting": {act: HandFight}, "knee_raise": {act: RaiseKnee}, "stand_up": {act: GetUp}, "ground_and_pound": {act: GroundStrike},
	"level_feint": {act: FeintLevel}, "hip_feint": {act: FeintHip}, "hand_feint": {act: FeintHand}, "leg_feint": {act: FeintLeg},
	"circle_left": {act: Circle, value: Left}, "circle_right": {act: Circle, value: Right},
	"center": {act: StateCentre}, "cage": {act: StateFence}, "ropes": {act: StateFence},
}

// roundhouses says which kick a roundhouse to a target is.
var roundhouses = map[Value]Act{
	Head: HighKick, Body: BodyKick, Leg: LowKick, Inside: LowKick, Outside: LowKick, Calf: LowKick,
}

// hooks says which hook a limb throws.
var hooks = map[Limb]Act{Lead: LeadHook, Rear: RearHook}

var valueAliases = map[string]Value{
	"thigh": Leg, "kick": Kicking, "punching": Boxing, "mid": Body, "neutral": Even,
}

var defenceAliases = map[string]Defence{
	"block": Guard, "cover": Guard, "cover_up": Guard, "roll": Duck, "weave": Duck, "bob": Duck, "lean_back": Pull, "side_step": Sidestep,
	"catch_kick": Catch, "shin_check": Check, "nothing": DefenceNone, "stepped_back": DefenceStepBack,
}

var resultAliases = map[string]Result{
	"miss": Missed, "block": Blocked, "knock_down": Knockdown, "takedown": TakenDown, "defended": Stuffed,
	"success": Made, "succeeded": Made, "fail": Failed, "grazed": Partial,
}

// normal writes a word as the vocabulary does: small letters, underscores between the parts.
func normal(word string) string {
	return strings.Map(func(r rune) rune {
		if r == ' ' || r == '-' {
			return '_'
		}
		return r
	}, strings.ToLower(strings.TrimSpace(word)))
}

// lookUp finds a word among names or aliases; the empty word is the zero value wherever the names have "" first.
func lookUp[T ~uint8](cell string, names []string, aliases map[string]T) (T, bool) {
	word := normal(cell)
	if i := slices.Index(names, word); i >= 0 {
		return T(i), true
	}
	v, ok := aliases[word]
	return v, ok
}

// known lists names and aliases for the nearest word, names first.
func known[T any](names []string, aliases map[string]T) []string {
	out := slices.DeleteFunc(slices.Clone(names), func(s string) bool { return s == "" })
	return append(out, slices.Sorted(maps.Keys(aliases))...)
}
