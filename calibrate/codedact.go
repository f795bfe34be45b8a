package calibrate

import (
	"cmp"
	"slices"

	"whatbout/tape"
)

// codedAct is one act of one coding, on a clock that favours neither coder: half microseconds, the offset between the two shared evenly,
// so that exchanging the coders changes no number.
type codedAct struct {
	tape.Event
	row int   // in the coding, from 0
	mid int64 // half µs since the bell, corrected
}

// actGroups are the groups that acts belong to, in the order of the vocabulary; range, centre, fence and stance are states, and defences,
// results, how and limbs are codes of acts.
var actGroups = []tape.Group{tape.GroupSteps, tape.GroupSetups, tape.GroupHandFights, tape.GroupFeints, tape.GroupStrikes, tape.GroupKicks,
	tape.GroupTakedowns, tape.GroupClinch, tape.GroupGround, tape.GroupLegCaught}

// inGroup reports whether an act belongs to a group.
func inGroup(g tape.Group, a tape.Act) bool {
	var only tape.Groups
	only[g] = true
	return a != tape.StateSeen && only.Has(a)
}

// looksFor reports whether a group of acts is judged as a whole: who looks for strikes looks for kicks.
func looksFor(b *tape.Bout, g tape.Group) bool {
	return b.LookedFor[g] || g == tape.GroupKicks && b.LookedFor[tape.GroupStrikes]
}

// homeGroup is the narrowest group of an act: kicks before strikes.
func homeGroup(a tape.Act) tape.Group {
	if inGroup(tape.GroupKicks, a) {
		return tape.GroupKicks
	}
	for _, g := range actGroups {
		if inGroup(g, a) {
			return g
		}
	}
	return tape.NumGroups
}

// isEvent reports whether a row is something that happened at a moment: acts, a leg that is caught, somebody who comes on top. Their ends
// and the other states are judged by time.
func isEvent(e *tape.Event) bool {
	switch e.Act {
	case tape.StateLegCaught:
		return e.Value != tape.No
	case tape.StateTop:
		return e.Value == tape.Red || e.Value == tape.Blue
	}
	return !e.Act.IsState()
}

// actsOf picks the events of a coding that count: of groups looked for, of corners that were coded. halfShift goes onto the doubled clock.
func actsOf(b *tape.Bout, c *tape.Coding, halfShift int64) []codedAct {
	var out []codedAct
	for i := range c.Rows {
		e := c.Rows[i].Event
		if !isEvent(&e) || !b.LookedFor.Has(e.Act) {
			continue
		}
		if e.Act == tape.StateTop { // the value says whose it is, whether or not the corner does
			e.Corner = tape.Corner(e.Value - tape.Red)
		}
		if e.Corner != tape.NoCorner && !b.Corners[e.Corner] {
			continue
		}
		out = append(out, codedAct{Event: e, row: i, mid: 2*e.Clock + halfShift})
	}
	return out
}

// byTime is a total order of acts of one coding that does not depend on which coder wrote them.
func (a *codedAct) byTime(o *codedAct) int {
	return cmp.Or(cmp.Compare(a.Round, o.Round), cmp.Compare(a.mid, o.mid), cmp.Compare(a.Corner, o.Corner), cmp.Compare(a.Act, o.Act), cmp.Compare(a.row, o.row))
}

// lookalikes of acts: what a coder may take for each other, as a set of bits. Judgement: the same limb on the same way.
const (
	byFeet = 1 << iota
	byHand
	byLeg
	byHold
	onTop
	caught
)

func lookalike(a tape.Act) int {
	switch a {
	case tape.StepIn, tape.StepBack, tape.Circle, tape.CutOff:
		return byFeet
	case tape.Measure, tape.HandFight, tape.LongGuard, tape.FeintHand, tape.Jab, tape.Cross, tape.LeadHook, tape.RearHook, tape.Overhand,
		tape.Uppercut, tape.Spin, tape.Elbow, tape.GroundStrike:
		return byHand
	case tape.RaiseKnee, tape.FeintLeg, tape.FrontKick, tape.SideKick, tape.LowKick, tape.BodyKick, tape.HighKick, tape.Knee:
		return byLeg
	case tape.FeintHip:
		return byHand | byLeg
	case tape.Sweep:
		return byLeg | byHold
	case tape.TieUp:
		return byHand | byHold
	case tape.StateTop:
		return onTop
	case tape.StateLegCaught:
		return caught
	}
	return byHold // feint_level, shoot, trip, push, break, get_up, submission
}

// mismatch is how unlike two acts are, in halves of an act left alone: 0 the same, 1 of one group, 2 of one limb; false where no coder
// takes the one for the other.
func mismatch(a, b tape.Act) (halves int64, possible bool) {
	switch {
	case a == b:
		return 0, true
	case lookalike(a)&lookalike(b) == 0:
		return 0, false
	case homeGroup(a) == homeGroup(b):
		return 1, true
	}
	return 2, true
}

// sortActs puts acts into their order.
func sortActs(acts []codedAct) {
	slices.SortFunc(acts, func(a, b codedAct) int { return a.byTime(&b) })
}
