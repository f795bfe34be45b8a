package tape

import "slices"

// Group is what a coder looks for as a whole. What was not looked for is unknown, never zero.
type Group uint8

// The groups.
const (
	GroupSteps      Group = iota // step_in, step_back, circle, cut_off
	GroupSetups                  // measure, raise_knee, long_guard
	GroupHandFights              // hand_fight
	GroupFeints
	GroupStrikes // every strike on the feet and in the clinch
	GroupKicks   // the kicks alone
	GroupTakedowns
	GroupClinch // tie_up, push, break
	GroupGround // ground_strike, get_up, submission, and who is on top
	GroupDefences
	GroupResults
	GroupHow
	GroupLimbs
	GroupRange
	GroupCentre
	GroupFence
	GroupStance
	GroupLegCaught
	NumGroups
)

var groupNames = [NumGroups]string{
	"steps", "setups", "hand_fights", "feints", "strikes", "kicks", "takedowns", "clinch", "ground", "defences", "results", "how", "limbs",
	"range", "centre", "fence", "stance", "leg_caught",
}

func (g Group) String() string { return groupNames[g] }

// Groups is a set of groups.
type Groups [NumGroups]bool

// AllGroups is what a bout.yaml without looked_for means, and what the simulator codes.
func AllGroups() (g Groups) {
	for i := range g {
		g[i] = true
	}
	return g
}

// Names lists the set in the order of the groups.
func (g Groups) Names() (names []string) {
	for i, in := range g {
		if in {
			names = append(names, groupNames[i])
		}
	}
	return names
}

func groupsOf(names []string) (g Groups) {
	for _, name := range names {
		if i := slices.Index(groupNames[:], name); i >= 0 {
			g[i] = true
		}
	}
	return g
}

// Has reports whether acts (or states) of this kind were looked for, so that their absence counts. Whether fighters were
// in sight (seen) is always part of a coding.
func (g Groups) Has(a Act) bool {
	switch {
	case a >= FrontKick && a <= HighKick:
		return g[GroupStrikes] || g[GroupKicks]
	case a >= Jab && a <= Elbow:
		return g[GroupStrikes]
	case a.IsFeint():
		return g[GroupFeints]
	case a.IsTakedown():
		return g[GroupTakedowns]
	}
	switch a {
	case StepIn, StepBack, Circle, CutOff:
		return g[GroupSteps]
	case Measure, RaiseKnee, LongGuard:
		return g[GroupSetups]
	case HandFight:
		return g[GroupHandFights]
	case TieUp, Push, Break:
		return g[GroupClinch]
	case GroundStrike, GetUp, Submission, StateTop:
		return g[GroupGround]
	case StateRange:
		return g[GroupRange]
	case StateCentre:
		return g[GroupCentre]
	case StateFence:
		return g[GroupFence]
	case StateStance:
		return g[GroupStance]
	case StateLegCaught:
		return g[GroupLegCaught]
	}
	return a == StateSeen
}
