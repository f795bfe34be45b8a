package calibrate

import (
	"cmp"
	"math"
	"slices"

	"whatbout/sim/kernel"
	"whatbout/tape"
)

// unsteady writes acts down as a coder does whose clocks are off by chance, with that standard deviation, µs, each act on its own; states keep
// theirs, since they are mostly coded in a pass of their own. It gives a copy in the order of time, or the events themselves if sd is 0.
func unsteady(events []tape.Event, sd float64, bell int64, key kernel.Key) []tape.Event {
	if sd == 0 {
		return events
	}
	out, src := slices.Clone(events), key.Stream()
	for i := range out {
		if e := &out[i]; e.IsAct() {
			off := sd * float64(kernel.Normal(src.Uint32())) / kernel.NormalUnit
			e.Clock = min(max(e.Clock+int64(math.Round(off)), 0), bell)
		}
	}
	slices.SortStableFunc(out, func(a, b tape.Event) int {
		return cmp.Or(cmp.Compare(a.Round, b.Round), cmp.Compare(a.Clock, b.Clock))
	})
	return out
}

// mostUnsteady is in µs: half a second off by chance tells nothing of steps.
const mostUnsteady = .5e6

// clocks is how unsteady a coder's clocks are believed to be.
type clocks struct {
	square float64 // variance of an act's, µs²
	spread float64 // standard deviation of that, from so few gaps
}

func (c clocks) sd() float64 { return math.Sqrt(c.square) }

// off gives how unsteady the coder of tape k is, µs.
func (c clocks) off(k int) float64 {
	src := kernel.NewKey(stepSeed, uint64(k)).With(0x636c6f636b).Stream()
	square := c.square + c.spread*float64(kernel.Normal(src.Uint32()))/kernel.NormalUnit
	return math.Sqrt(min(max(square, 0), mostUnsteady*mostUnsteady))
}

// steady takes the coder's clocks for as unsteady as to make gaps before steps differ among each other, simulated with the step that is tried, as much
// as in the coding, and reports whether they were already, beside what stays open. A gap has the clocks of two acts in it. What falls out of the windows of the rule of
// choice points hides some of it, and a wrong step looks like it, so that it takes a few rounds beside the step. The variance of a variance is that of
// normal gaps.
func (s *stepper) steady(t tapes) bool {
	coded, simulated, n := 0., 0., 0.
	for kind := range numGaps {
		if k := s.coded.gaps.n[kind]; k >= 2 {
			coded, simulated, n = coded+k*s.coded.gaps.variance(kind), simulated+k*t.gapVariance(kind), n+k
		}
	}
	if n == 0 {
		return true
	}
	before := s.clocks.square
	s.clocks.square = min(max(s.clocks.square+(coded-simulated)/n*1e12/2, 0), mostUnsteady*mostUnsteady)
	s.clocks.spread = coded / n * 1e12 / 2 * math.Sqrt(2/n)
	return math.Abs(s.clocks.square-before) < s.clocks.spread/5
}
