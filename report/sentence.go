package report

import (
	"strings"

	"whatbout/tape"
)

// tell puts an event into a sentence as a coach would say it; "" for what the sentences around it say already (changes of range).
func (s *Story) tell(e *tape.Event) string {
	if e.Act.IsState() {
		return s.tellState(e)
	}
	if e.Corner == tape.NoCorner {
		return "The referee separates them."
	}
	own, other := title(s.Names[e.Corner]), title(s.Names[1-e.Corner])
	fill := strings.NewReplacer("%o", other)
	switch {
	case e.Act.IsStrike():
		return own + manner(e.How) + " " + strikeVerb(e) + fill.Replace(cameOf(e, strikeEnds)) + "."
	case e.Act.IsTakedown():
		return own + " " + plainVerbs[e.Act] + fill.Replace(cameOf(e, takedownEnds)) + "."
	case e.Act.IsFeint():
		return own + " " + plainVerbs[e.Act] + "; " + fill.Replace(bites[e.Defence]) + "."
	}
	if tried, ok := tries[e.Act]; ok {
		if e.Result == tape.Made {
			return own + " " + fill.Replace(tried[0]) + "."
		}
		return own + " " + fill.Replace(tried[1]) + "."
	}
	if e.Act == tape.Circle {
		return own + " circles to the " + e.Value.String() + "."
	}
	return own + " " + fill.Replace(plainVerbs[e.Act]) + "."
}

func (s *Story) tellState(e *tape.Event) string {
	corner := func(v tape.Value) string { return title(s.Names[v-tape.Red]) }
	held := e.Value == tape.Red || e.Value == tape.Blue
	switch {
	case e.Act == tape.StateCentre && held:
		return corner(e.Value) + " holds the centre."
	case e.Act == tape.StateFence && held:
		edge := "fence"
		if s.Rules.Area.Shape == "square" {
			edge = "ropes"
		}
		return corner(e.Value) + "'s back is on the " + edge + "."
	case e.Act == tape.StateTop && held:
		return corner(e.Value) + " is on top."
	case e.Corner == tape.NoCorner:
		return ""
	case e.Act == tape.StateStance:
		return title(s.Names[e.Corner]) + " switches to " + e.Value.String() + "."
	case e.Act == tape.StateLegCaught && e.Value == tape.Yes:
		return title(s.Names[1-e.Corner]) + " has caught the leg; " + title(s.Names[e.Corner]) + " stands on one."
	}
	return ""
}

func manner(h tape.How) string {
	switch h {
	case tape.Lunging:
		return ", lunging from too far,"
	case tape.Wide:
		return ", coming around the hand that has taken the lead hand away,"
	}
	return ""
}

var plainVerbs = map[tape.Act]string{
	tape.StepIn: "steps in", tape.StepBack: "steps back", tape.CutOff: "cuts %o off", tape.Push: "pushes %o back",
	tape.Measure: "measures with the lead hand", tape.RaiseKnee: "raises the knee", tape.LongGuard: "holds the arms out long",
	tape.FeintHand: "feints with the hand", tape.FeintHip: "feints with the hip", tape.FeintLeg: "feints with the leg", tape.FeintLevel: "feints a level change",
	tape.Shoot: "shoots for the legs", tape.Trip: "goes for a trip", tape.Sweep: "sweeps the standing leg",
	tape.Jab: "jabs", tape.Cross: "throws the cross", tape.LeadHook: "hooks with the lead hand", tape.RearHook: "hooks with the rear hand",
	tape.Overhand: "throws the overhand", tape.Uppercut: "throws the uppercut", tape.Spin: "spins into a strike", tape.FrontKick: "front-kicks",
	tape.SideKick: "side-kicks", tape.LowKick: "kicks low", tape.BodyKick: "kicks", tape.HighKick: "kicks high", tape.Knee: "throws the knee",
	tape.Elbow: "throws the elbow", tape.GroundStrike: "strikes on the ground",
}

var targets = map[tape.Value]string{
	tape.Head: "to the head", tape.Body: "to the body", tape.Leg: "to the leg", tape.Inside: "to the inside of the leg",
	tape.Outside: "to the outside of the leg", tape.Calf: "to the calf",
}

func strikeVerb(e *tape.Event) string {
	verb := plainVerbs[e.Act]
	if target, ok := targets[e.Value]; ok {
		verb += " " + target
	}
	return verb
}

// tries are acts that are made or fail.
var tries = map[tape.Act][2]string{
	tape.HandFight:  {"takes %o's lead hand away", "fights for %o's lead hand and does not get it"},
	tape.TieUp:      {"ties %o up", "reaches to tie %o up and gets nothing"},
	tape.Break:      {"breaks out of the clinch", "tries to break the clinch and is held"},
	tape.GetUp:      {"gets back to the feet", "tries to get up and is kept down"},
	tape.Submission: {"locks the submission and %o taps", "goes for a submission; %o gets out"},
}

// bites are what the other does about a feint.
var bites = map[tape.Defence]string{
	tape.DefenceUncoded: "%o does not bite", tape.DefenceUnknown: "%o does not bite", tape.DefenceNone: "%o does not bite",
	tape.Flinch: "%o flinches", tape.GaveGuard: "%o bites and the guard goes with it", tape.GaveGround: "%o bites and gives ground",
	tape.Struck: "%o bites and strikes at nothing",
}

var defends = map[tape.Defence]string{
	tape.Guard: "covers up", tape.Parry: "parries", tape.BrushDown: "brushes it down", tape.Slip: "slips", tape.Duck: "ducks", tape.Pull: "pulls back",
	tape.Sidestep: "sidesteps", tape.DefenceHandFight: "goes for the hand", tape.DefenceLongGuard: "puts the arms out long",
	tape.WithdrawLeg: "takes the leg away", tape.Check: "raises the shin", tape.Catch: "goes to catch it", tape.Smother: "smothers it",
	tape.DefenceStepBack: "steps back", tape.Sprawl: "sprawls", tape.StrikeFirst: "strikes first",
}

// ends says what came of an act: first where the other did nothing in time, then after "%o slips".
type ends map[tape.Result][2]string

var strikeEnds = ends{
	tape.Missed: {" and misses", ", and it misses"}, tape.Blocked: {" and meets the guard", ", and it is blocked"},
	tape.Partial: {" and grazes", ", and it only grazes"}, tape.Clean: {" and lands clean", ", but it lands clean"},
	tape.Hurt: {" and hurts %o", ", but it gets through and hurts"}, tape.Knockdown: {" and %o goes down", ", but it gets through and %o goes down"},
	tape.Stoppage: {" and that is the end for %o", ", but it gets through, and that is the end"},
}

var takedownEnds = ends{
	tape.TakenDown: {" and takes %o down", ", and goes down all the same"}, tape.Stuffed: {" and gets nothing", ", and it is stuffed"},
}

func cameOf(e *tape.Event, how ends) string {
	word, defended := defends[e.Defence]
	if !defended {
		return how[e.Result][0]
	}
	return "; %o " + word + how[e.Result][1]
}
