package calibrate

import (
	"math"

	"whatbout/internal/infer"
	"whatbout/tape"
)

// CoderError is what one coder does wrong in one group, so that counts can be widened by it. Miss and Confused are chances an event.
type CoderError struct {
	Coder    string          `json:"coder"`
	Group    string          `json:"group"`
	Miss     infer.Interval  `json:"miss"`            // an event of the group is not coded at all
	Confused infer.Interval  `json:"confused"`        // a coded event of the group is called another act
	Extra    *infer.Interval `json:"extra,omitempty"` // share of what this coder coded that did not happen; only three coders can tell
	Estimate bool            `json:"estimate"`        // false: an assumption, whatever the tape
	Source   string          `json:"source"`
}

const (
	fromTwo   = "two codings: coders taken to miss independently and to make up nothing; extra events cannot be told from missed ones, nor who is right where acts differ"
	fromThree = "three codings or more: an event is what at least two other coders saw, its act what all of those called it; made up is what nobody else saw beyond what the others would miss independently"
	fromNone  = "judgement: one coding cannot tell; within a factor of three either way"
)

// coderErrors estimates every coder's error in every group that was looked for.
func coderErrors(b *tape.Bout, codings []*tape.Coding, units []*sharedUnit, level float64) (out []CoderError) {
	for k, c := range codings {
		for _, g := range actGroups {
			if looksFor(b, g) {
				e := errorOf(k, g, units, min(len(codings)-1, 2), level)
				e.Coder = c.Name
				out = append(out, e)
			}
		}
	}
	if len(codings) > 2 {
		addExtras(out, codings, units, level)
	}
	return out
}

// errorOf holds one coder to the events on whose group at least enough others agree.
func errorOf(k int, g tape.Group, units []*sharedUnit, enough int, level float64) CoderError {
	e := CoderError{Group: g.String(), Estimate: true, Source: fromTwo}
	if enough > 1 {
		e.Source = fromThree
	}
	var seen, missed, named, misnamed float64
	for _, u := range units {
		act, others := u.others(k)
		if others < enough || !u.judged[k] || !u.othersIn(k, g) {
			continue
		}
		own := u.acts[k]
		if own != nil && act != tape.NoAct {
			named++
			if own.Act != act {
				misnamed++
			}
		}
		switch {
		case own == nil:
			missed++
		case inGroup(g, own.Act):
			seen++
		}
	}
	e.Miss = infer.Missed(seen, missed, level)
	e.Confused = infer.Wilson(misnamed, named, level)
	return e
}

// others counts the other coders who have the event, and gives the act if they agree on it.
func (u *sharedUnit) others(k int) (act tape.Act, n int) {
	for i, a := range u.acts {
		if i == k || a == nil {
			continue
		}
		if n++; n == 1 {
			act = a.Act
		} else if act != a.Act {
			act = tape.NoAct
		}
	}
	return act, n
}

func (u *sharedUnit) othersIn(k int, g tape.Group) bool {
	for i, a := range u.acts {
		if i != k && a != nil && !inGroup(g, a.Act) {
			return false
		}
	}
	return true
}

// addExtras compares how often nobody else saw a coder's events with how often all others would have missed real ones: of a share x made
// up, alone = x + (1-x)·Π(miss of the others).
func addExtras(errors []CoderError, codings []*tape.Coding, units []*sharedUnit, level float64) {
	groups := len(errors) / len(codings)
	for i := range errors {
		k, at := i/groups, i%groups
		all := 1.0
		for o := range codings {
			if o != k {
				all *= errors[o*groups+at].Miss.Centre
			}
		}
		var alone, total float64
		for _, u := range units {
			if a := u.acts[k]; a != nil && inGroup(groupNamed(errors[i].Group), a.Act) {
				total++
				if u.coders() == 1 {
					alone++
				}
			}
		}
		x := infer.Wilson(alone, total, level)
		made := func(share float64) float64 { return math.Max((share-all)/(1-all), 0) }
		if all < 1 {
			x.Low, x.Centre, x.High, x.Method = made(x.Low), made(x.Centre), made(x.High), "alone beyond what others miss, Wilson score"
			errors[i].Extra = &x
		}
	}
}

func groupNamed(name string) tape.Group {
	for _, g := range actGroups {
		if g.String() == name {
			return g
		}
	}
	return tape.NumGroups
}

// assumedMiss says how often one coder misses an act, by group: judgement, from what is small, quick and away from the hands being missed
// most. No study of coders of fights was found.
var assumedMiss = map[tape.Group]float64{
	tape.GroupSteps: .2, tape.GroupSetups: .15, tape.GroupHandFights: .25, tape.GroupFeints: .3, tape.GroupStrikes: .08, tape.GroupKicks: .04,
	tape.GroupTakedowns: .02, tape.GroupClinch: .1, tape.GroupGround: .1, tape.GroupLegCaught: .1,
}

// assumedConfused is judgement for every group.
const assumedConfused = .05

func assumedErrors(b *tape.Bout, codings []*tape.Coding) (out []CoderError) {
	for _, c := range codings {
		for _, g := range actGroups {
			if looksFor(b, g) {
				out = append(out, CoderError{Coder: c.Name, Group: g.String(), Miss: assumedShare(assumedMiss[g]), Confused: assumedShare(assumedConfused), Source: fromNone})
			}
		}
	}
	return out
}

func assumedShare(p float64) infer.Interval {
	return infer.Interval{Level: .95, Low: p / 3, Centre: p, High: math.Min(3*p, 1), Kind: infer.Credible, Method: "judgement"}
}
