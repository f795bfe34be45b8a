package calibrate

import (
	"slices"

	"whatbout/tape"
)

// lookedAt leaves of simulated events what a coder looks for, in a copy: without acts of a corner that is not coded and of kinds that are not
// looked for, and without defences and results where those are not. Where everything is looked for it gives the events themselves. What
// an act is about hangs on the rows around it, so that a row too many would change what is told of others.
func lookedAt(b *tape.Bout, events []tape.Event) []tape.Event {
	if b.Corners == [2]bool{true, true} && b.LookedFor == tape.AllGroups() {
		return events
	}
	out := slices.DeleteFunc(slices.Clone(events), func(e tape.Event) bool {
		return e.IsAct() && !(b.Corners[e.Corner] && b.LookedFor.Has(e.Act))
	})
	for i := range out {
		if e := &out[i]; !b.LookedFor[tape.GroupDefences] {
			e.Defence = tape.DefenceUncoded
		}
		if e := &out[i]; !b.LookedFor[tape.GroupResults] {
			e.Result = tape.ResultUncoded
		}
	}
	return out
}
