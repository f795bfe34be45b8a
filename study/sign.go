package study

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// Sign is something that a corner can count from the stool until the middle of a round.
type Sign struct {
	Name   string
	Theirs bool   // the opponent does it
	Done   string // what has been done, after "has": "stepped back", for one or for many times
	Shows  Shows
	counts func(events []tape.Event, i int) bool
}

// Shows is what a sign tells.
type Shows uint8

// A sign shows whether the plan is being followed, or what it did to the bout: more is better for the fighter, or fewer is.
const (
	Following Shows = iota
	MoreIsBetter
	FewerIsBetter
)

// Signs lists what is counted, in the order of a trace's counts.
var Signs = []Sign{
	{"steps_back", false, "given ground", Following, gaveGround},
	{"answers", false, "struck back after a defence", Following, func(ev []tape.Event, i int) bool {
		return ev[i].Corner == 0 && ev[i].Act.IsStrike() && tape.PointOf(ev, i) == tape.Answer
	}},
	{"hand_fights", false, "won the lead hand", Following, func(ev []tape.Event, i int) bool {
		return ev[i].Corner == 0 && ev[i].Act == tape.HandFight && ev[i].Result == tape.Made
	}},
	{"punches", false, "thrown a punch", Following, family(0, fighter.StraightPunch, fighter.LoopingPunch)},
	{"kicks", false, "thrown a kick", Following, family(0, fighter.LowKicks, fighter.HighKicks)},
	{"shots", false, "gone for a takedown", Following, func(ev []tape.Event, i int) bool { return ev[i].Corner == 0 && ev[i].Act.IsTakedown() }},
	{"bites", false, "bitten on a feint", Following, func(ev []tape.Event, i int) bool {
		return ev[i].Corner == 1 && ev[i].Act.IsFeint() && ev[i].Defence >= tape.Flinch
	}},
	{"head_strikes_landed", false, "landed clean to the head", MoreIsBetter, cleanHead(0)},
	{"head_strikes_taken", true, "landed clean to the head", FewerIsBetter, cleanHead(1)},
	{"kicks_against", true, "thrown a kick", FewerIsBetter, family(1, fighter.LowKicks, fighter.HighKicks)},
	{"punches_against", true, "thrown a punch", FewerIsBetter, family(1, fighter.StraightPunch, fighter.LoopingPunch)},
	{"feints_against", true, "feinted", FewerIsBetter, func(ev []tape.Event, i int) bool { return ev[i].Corner == 1 && ev[i].Act.IsFeint() }},
	{"takedowns_against", true, "taken the fight down", FewerIsBetter, func(ev []tape.Event, i int) bool {
		return ev[i].Corner == 1 && ev[i].Act.IsTakedown() && ev[i].Result == tape.TakenDown
	}},
}

func gaveGround(ev []tape.Event, i int) bool {
	e := &ev[i]
	if e.Corner == 0 {
		return e.Act == tape.StepBack
	}
	return e.Corner == 1 && (e.Defence == tape.DefenceStepBack || e.Defence == tape.GaveGround)
}

func family(corner tape.Corner, of ...fighter.Family) func([]tape.Event, int) bool {
	return func(ev []tape.Event, i int) bool {
		if ev[i].Corner != corner || !ev[i].Act.IsStrike() {
			return false
		}
		f, ok := fighter.FamilyOf(ev[i].Act)
		for _, x := range of {
			if ok && f == x {
				return true
			}
		}
		return false
	}
}

func cleanHead(corner tape.Corner) func([]tape.Event, int) bool {
	return func(ev []tape.Event, i int) bool {
		e := &ev[i]
		return e.Corner == corner && e.Act.IsStrike() && e.Value == tape.Head && e.Result.IsClean()
	}
}

// countUntil counts in the first round until a clock.
func (s *Sign) countUntil(events []tape.Event, clock int64) (n int) {
	for i := range events {
		if events[i].Round > 1 || events[i].Clock > clock {
			break
		}
		if s.counts(events, i) {
			n++
		}
	}
	return n
}

// SignCounts is how often a sign had been seen n times by the middle of the first round, over the bouts that got there.
type SignCounts []int

func (s *SignCounts) note(n int) {
	for len(*s) <= n {
		*s = append(*s, 0)
	}
	(*s)[n]++
}

func (s *SignCounts) add(o *SignCounts) {
	for n, times := range *o {
		for len(*s) <= n {
			*s = append(*s, 0)
		}
		(*s)[n] += times
	}
}

// Bouts is how many bouts got to the middle of the first round.
func (s SignCounts) Bouts() (total int) {
	for _, times := range s {
		total += times
	}
	return total
}

// AtLeast is the share of those bouts in which it had been seen n times or more; 0 without bouts.
func (s SignCounts) AtLeast(n int) float64 {
	times := 0
	for i := max(n, 0); i < len(s); i++ {
		times += s[i]
	}
	return float64(times) / float64(max(s.Bouts(), 1))
}
