package calibrate

import (
	"slices"

	"whatbout/tape"
)

// rangeCoding is how a coder wrote ranges down. The engine states each fighter's own; a coder may state one for the pair, and may not
// tell long from pocket. Simulated ranges are written down in the same way before they are read, so that both are read alike.
type rangeCoding struct{ pair, boxing bool }

func rangesOf(events []tape.Event) (r rangeCoding) {
	for i := range events {
		if e := &events[i]; e.Act == tape.StateRange {
			r.pair = r.pair || e.Corner == tape.NoCorner && e.Value != tape.Clinch && e.Value != tape.Ground
			r.boxing = r.boxing || e.Value == tape.Boxing
		}
	}
	return r
}

// byNearness lists ranges from far to near. A pair's range is that of the limb that reaches, and so the nearer of both.
var byNearness = []tape.Value{tape.Out, tape.Kicking, tape.Long, tape.Boxing, tape.Pocket, tape.Clinch, tape.Ground}

// as rewrites the ranges of simulated events in a copy; where there is nothing to rewrite it gives the events themselves.
func (r rangeCoding) as(events []tape.Event) []tape.Event {
	if !r.pair && !r.boxing {
		return events
	}
	out := slices.Clone(events)
	own := [2]tape.Value{}
	for i := range out {
		e := &out[i]
		if e.Act != tape.StateRange || e.Corner == tape.NoCorner {
			continue
		}
		if r.pair {
			own[e.Corner] = e.Value
			if slices.Index(byNearness, own[e.Corner.Other()]) > slices.Index(byNearness, e.Value) {
				e.Value = own[e.Corner.Other()]
			}
			e.Corner = tape.NoCorner
		}
		if r.boxing && (e.Value == tape.Long || e.Value == tape.Pocket) {
			e.Value = tape.Boxing
		}
	}
	return out
}
