package calibrate

import (
	"slices"

	"whatbout/tape"
)

// grains are the steps in which clocks are usually written down, µs, from coarse to fine; finer ones round nothing that matters.
var grains = []int64{1_000_000, 500_000, 250_000, 200_000, 100_000, 50_000, 40_000, 10_000}

// grainOf is the coarsest step that nearly all of a coding's clocks are multiples of (a bout's own end may be none), or 0.
func grainOf(events []tape.Event) int64 {
	for _, g := range grains {
		off := 0
		for i := range events {
			if events[i].Clock%g != 0 {
				off++
			}
		}
		if 100*off <= len(events) {
			return g
		}
	}
	return 0
}

// rounded writes simulated clocks as coarsely as a coder does, to the nearest step, in a copy; without a step it gives the events themselves.
func rounded(events []tape.Event, grain, bell int64) []tape.Event {
	if grain == 0 {
		return events
	}
	out := slices.Clone(events)
	for i := range out {
		out[i].Clock = min((out[i].Clock+grain/2)/grain*grain, bell)
	}
	return out
}
