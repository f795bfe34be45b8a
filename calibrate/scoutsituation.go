package calibrate

import (
	"slices"

	"whatbout/fighter"
	"whatbout/tape"
)

// scoutKind says what is tallied in a situation.
type scoutKind uint8

const (
	nextAct   scoutKind = iota // what the fighter did next
	bitten                     // how the fighter bit on a feint
	metWith                    // what the fighter did about an attack before it arrived
	perMinute                  // what the fighter did, a minute on the feet
)

// scoutSituation is one row of the table of situations.
type scoutSituation struct {
	words string
	kind  scoutKind
}

// The blocks of the table of situations, in order.
const (
	afterOwn    = 0                // limb × result
	afterTheirs = afterOwn + 9     // attack × landed or not; the shot comes last and only as stuffed, since after a takedown it is ground
	againstAct  = afterTheirs + 15 // attack
	atFeint     = againstAct + 8   // cue
	onFence     = atFeint + 4
	entering    = onFence + 1 // kicking, long, pocket
	roundsEarly = entering + 3
	roundsLate  = roundsEarly + 1
	situations  = roundsLate + 1
)

// The attacks that situations tell apart, by their index.
const (
	metJab = iota
	metCross
	metLooping
	metLowKick
	metFrontKick
	metBodyKick
	metHighKick
	metShot
)

var scoutTable = func() (t [situations]scoutSituation) {
	for i, limb := range []string{"the lead hand", "the rear hand", "a kick"} {
		t[afterOwn+3*i] = scoutSituation{"after a miss with " + limb, nextAct}
		t[afterOwn+3*i+1] = scoutSituation{"after a block of " + limb, nextAct}
		t[afterOwn+3*i+2] = scoutSituation{"after landing " + limb, nextAct}
	}
	for i, attack := range []string{"a jab", "a cross", "a looping punch", "a low kick", "a front or side kick", "a body kick", "a high kick", "a shot"} {
		t[afterTheirs+2*i] = scoutSituation{"after " + attack + " that did not land", nextAct}
		if i != metShot {
			t[afterTheirs+2*i+1] = scoutSituation{"after taking " + attack, nextAct}
		}
		t[againstAct+i] = scoutSituation{"against " + attack, metWith}
	}
	t[afterTheirs+2*metShot].words = "after stuffing a shot"
	for i, cue := range []string{"hand", "hip", "leg", "level"} {
		t[atFeint+i] = scoutSituation{"shown a feint with the " + cue, bitten}
	}
	t[atFeint+3].words = "shown a feint of a level change"
	t[onFence] = scoutSituation{"with the back put on the fence", nextAct}
	for i, zone := range []string{"kicking range", "long range", "the pocket"} {
		t[entering+i] = scoutSituation{"on coming into " + zone, nextAct}
	}
	t[roundsEarly] = scoutSituation{"in the early rounds", perMinute}
	t[roundsLate] = scoutSituation{"in the late rounds", perMinute}
	return t
}()

// scoutOption is one thing that a fighter may do in a situation.
type scoutOption struct {
	words string
	acts  []tape.Act     // of a next act; none: nothing was done
	side  tape.Value     // of a circle
	was   []tape.Defence // of a defence or a bite
}

// everyAct is what must have been looked for before "nothing" can be said.
var everyAct = []tape.Act{tape.StepIn, tape.Measure, tape.HandFight, tape.FeintHand, tape.Jab, tape.Shoot, tape.TieUp}

var actOptions = []scoutOption{
	{words: "steps back", acts: []tape.Act{tape.StepBack}},
	{words: "circles left", acts: []tape.Act{tape.Circle}, side: tape.Left},
	{words: "circles right", acts: []tape.Act{tape.Circle}, side: tape.Right},
	{words: "steps in or cuts off", acts: []tape.Act{tape.StepIn, tape.CutOff}},
	{words: "punches", acts: []tape.Act{tape.Jab, tape.Cross, tape.LeadHook, tape.RearHook, tape.Overhand, tape.Uppercut, tape.Spin}},
	{words: "kicks", acts: []tape.Act{tape.FrontKick, tape.SideKick, tape.LowKick, tape.BodyKick, tape.HighKick}},
	{words: "knees or elbows", acts: []tape.Act{tape.Knee, tape.Elbow}},
	{words: "ties up", acts: []tape.Act{tape.TieUp}},
	{words: "shoots", acts: []tape.Act{tape.Shoot}},
	{words: "feints", acts: []tape.Act{tape.FeintHand, tape.FeintHip, tape.FeintLeg, tape.FeintLevel}},
	{words: "hand-fights", acts: []tape.Act{tape.HandFight}},
	{words: "holds something out (measures, long guard, knee)", acts: []tape.Act{tape.Measure, tape.LongGuard, tape.RaiseKnee}},
	{words: "nothing"},
}

var defenceOptions = []scoutOption{
	{words: "does nothing in time", was: []tape.Defence{tape.DefenceNone}},
	{words: "guards", was: []tape.Defence{tape.Guard, tape.DefenceLongGuard}},
	{words: "parries or brushes it down", was: []tape.Defence{tape.Parry, tape.BrushDown, tape.DefenceHandFight}},
	{words: "moves the head (slip, duck, pull)", was: []tape.Defence{tape.Slip, tape.Duck, tape.Pull}},
	{words: "steps back", was: []tape.Defence{tape.DefenceStepBack}},
	{words: "steps aside", was: []tape.Defence{tape.Sidestep}},
	{words: "checks or withdraws the leg", was: []tape.Defence{tape.Check, tape.WithdrawLeg}},
	{words: "catches it", was: []tape.Defence{tape.Catch}},
	{words: "smothers it", was: []tape.Defence{tape.Smother}},
	{words: "sprawls", was: []tape.Defence{tape.Sprawl}},
	{words: "strikes first", was: []tape.Defence{tape.StrikeFirst}},
}

var biteOptions = []scoutOption{
	{words: "does not bite", was: []tape.Defence{tape.DefenceNone}},
	{words: "flinches", was: []tape.Defence{tape.Flinch}},
	{words: "gives guard", was: []tape.Defence{tape.GaveGuard}},
	{words: "gives ground", was: []tape.Defence{tape.GaveGround}},
	{words: "strikes", was: []tape.Defence{tape.Struck}},
}

// mostOptions is the longest of the lists of options.
const mostOptions = 13

func (k scoutKind) options() []scoutOption {
	switch k {
	case bitten:
		return biteOptions
	case metWith:
		return defenceOptions
	case perMinute:
		return actOptions[:len(actOptions)-1] // a rate of nothing is none
	}
	return actOptions
}

// looked reports whether the option's absence counts in a coding.
func (o *scoutOption) looked(g tape.Groups) bool {
	acts := o.acts
	if len(o.was) == 0 && len(acts) == 0 {
		acts = everyAct
	}
	return !slices.ContainsFunc(acts, func(a tape.Act) bool { return !g.Has(a) })
}

// holds reports whether an act (nil: none) is the option, and whether that can be told: the side of a circle may not be coded.
func (o *scoutOption) holds(e *tape.Event) (is, known bool) {
	if e == nil {
		return len(o.acts) == 0, true
	}
	is = slices.Contains(o.acts, e.Act)
	if is && o.side != tape.NoValue {
		return e.Value == o.side, e.Value != tape.NoValue
	}
	return is, true
}

// ownStrike gives the situation after an own strike; false for what is none, or of which limb or result are not known.
func ownStrike(e *tape.Event) (int, bool) {
	limb, result := 0, 0
	switch {
	case e.Act >= tape.FrontKick && e.Act <= tape.HighKick:
		limb = 2
	case e.Act == tape.Jab, e.Act == tape.LeadHook, e.Act == tape.Uppercut && e.Limb == tape.Lead:
	case e.Act == tape.Cross, e.Act == tape.RearHook, e.Act == tape.Overhand, e.Act == tape.Uppercut && e.Limb == tape.Rear:
		limb = 1
	default:
		return 0, false
	}
	switch {
	case e.Result == tape.Missed:
	case e.Result == tape.Blocked:
		result = 1
	case e.Result.IsLanded():
		result = 2
	default:
		return 0, false
	}
	return afterOwn + 3*limb + result, true
}

// met gives which attack of the other's it was; false for those that situations do not tell apart (knees, elbows, spins, trips).
func attackMet(e *tape.Event) (int, bool) {
	switch e.Act {
	case tape.Jab:
		return metJab, true
	case tape.Cross:
		return metCross, true
	case tape.LeadHook, tape.RearHook, tape.Overhand, tape.Uppercut:
		return metLooping, true
	case tape.LowKick:
		return metLowKick, true
	case tape.FrontKick, tape.SideKick:
		return metFrontKick, true
	case tape.BodyKick:
		return metBodyKick, true
	case tape.HighKick:
		return metHighKick, true
	case tape.Shoot:
		return metShot, true
	}
	return 0, false
}

// theirAttack gives the situation after an attack of the other's whose result is known.
func theirAttack(e *tape.Event) (int, bool) {
	attack, ok := attackMet(e)
	switch {
	case !ok:
		return 0, false
	case e.Result == tape.Missed, e.Result == tape.Blocked, e.Result == tape.Stuffed:
		return afterTheirs + 2*attack, true
	case e.Result.IsLanded():
		return afterTheirs + 2*attack + 1, true
	}
	return 0, false
}

// entered gives the situation of coming into a range on the feet.
func entered(from, to fighter.Zone) (int, bool) {
	if to == from || to < fighter.Kicking || to > fighter.Pocket {
		return 0, false
	}
	return entering + int(to-fighter.Kicking), true
}

// period says whether a round is early or late: before or after the middle one of those scheduled. Of a single round it says neither.
func period(round uint8, rounds int) (int, bool) {
	switch twice := 2 * int(round); {
	case twice < rounds+1:
		return roundsEarly, true
	case twice > rounds+1:
		return roundsLate, true
	}
	return 0, false
}
