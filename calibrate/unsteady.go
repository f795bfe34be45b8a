package calibrate

import (
	"cmp"
	"context"
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

const (
	unsteadier = .05e6 // µs: how much less steady clocks are tried, to see what that does to gaps
	leastClear = .5    // of the variance of a gap by that of its clocks, which is 2 where nothing is hidden
)

// pooled gives the variance of a single gap, s², over all kinds, and how many gaps there are.
func (g *gaps) pooled() (variance, n float64) {
	for kind := range numGaps {
		if k := g.n[kind]; k >= 2 {
			variance, n = variance+k*g.variance(kind), n+k
		}
	}
	return variance / max(n, 1), n
}

// pooledAs gives the same of simulated gaps, kinds weighed as the coded ones.
func (t tapes) pooledAs(coded *gaps) (variance float64) {
	n := 0.0
	for kind := range numGaps {
		if k := coded.n[kind]; k >= 2 {
			variance, n = variance+k*t.gapVariance(kind), n+k
		}
	}
	return variance / max(n, 1)
}

// clear gives how much the variance of a gap grows with that of its clocks.
func (s *stepper) clear(ctx context.Context, x stride, at tapes) (float64, error) {
	was := s.clocks
	defer func() { s.clocks = was }()
	s.clocks.square += unsteadier * unsteadier
	more, err := s.simulate(ctx, x)
	if err != nil {
		return 0, err
	}
	return max((more.pooledAs(&s.coded.gaps)-at.pooledAs(&s.coded.gaps))/(unsteadier*unsteadier/1e12), leastClear), nil
}

// steady takes the coder's clocks for as unsteady as to make gaps before steps differ among each other, simulated with the step that is tried, as much
// as in the coding, and reports whether they were already, beside what stays open. A gap has the clocks of two acts in it, but what falls out of the
// windows of the rule of choice points hides most of it: clear says how much is seen. A wrong step looks like unsteady clocks, so that it takes a few rounds
// beside the step. The variance of a variance is that of normal gaps.
func (s *stepper) steady(t tapes, clear float64) bool {
	coded, n := s.coded.gaps.pooled()
	if n == 0 {
		return true
	}
	before := s.clocks.square
	s.clocks.square = min(max(before+(coded-t.pooledAs(&s.coded.gaps))*1e12/clear, 0), mostUnsteady*mostUnsteady)
	s.clocks.spread = coded * math.Sqrt(2/n) * 1e12 / clear
	return math.Abs(s.clocks.square-before) < s.clocks.spread/5
}
