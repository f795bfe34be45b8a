package report

import (
	"fmt"
	"math"
	"strings"

	"whatbout/report/chart"
	"whatbout/study"
)

// leastGap is how much more often a sign must be seen under one plan than under the other to be worth counting. The share of a thousand bouts has
// a standard error of .016 at most, the gap of two of .022; the best of a dozen signs looks a little better than it is.
const leastGap = .12

// seenSign is a sign at its most telling count.
type seenSign struct {
	sign        *study.Sign
	n           int
	usual, with float64 // shares of bouts in which it was seen n times or more
}

func (s *seenSign) gap() float64 { return s.usual - s.with }

// signs tells how a corner sees by the middle of the first round that the plan is not followed, and that it does not work: what is seen
// much more often in bouts as usual than in bouts with the plan.
func (c *Comparison) signs(trace *study.TraceResult, i int, seconds float64) (out []string) {
	middle := strings.TrimSuffix(Clock(int64(seconds*1e6/2)), ".0")
	if s := bestSign(trace, i, following); s != nil {
		out = append(out, fmt.Sprintf("Not being done, if at %s of the first round %s. %s", middle, c.seen(s), s.often(c.Plans[0].Name)))
	}
	if s := bestSign(trace, i, working); s != nil {
		out = append(out, fmt.Sprintf("Not working, if at %s of the first round %s. %s", middle, c.seen(s), s.often(c.Plans[0].Name)))
	} else {
		out = append(out, fmt.Sprintf("Nothing that a corner can count by %s of the first round tells whether it works: until then bouts with the plan do not look better than bouts %s.", middle, quoted(c.Plans[0].Name)))
	}
	return out
}

// following and working say what a seen sign would tell. A plan works where it moves an effect to the better; where it moves one to the worse,
// seeing it as usual is no bad sign.
func following(s *seenSign) bool { return s.sign.Shows == study.Following }

func working(s *seenSign) bool {
	return s.sign.Shows == study.MoreIsBetter && s.gap() < 0 || s.sign.Shows == study.FewerIsBetter && s.gap() > 0
}

// bestSign finds the sign and the count that tell the two apart best, of those that tell what is asked; nil if none tells enough.
func bestSign(trace *study.TraceResult, i int, tells func(*seenSign) bool) (best *seenSign) {
	for k := range study.Signs {
		usual, with := trace.Plans[0].Signs[k], trace.Plans[i].Signs[k]
		for n := 1; n <= max(len(usual), len(with)); n++ {
			s := &seenSign{&study.Signs[k], n, usual.AtLeast(n), with.AtLeast(n)}
			if tells(s) && math.Abs(s.gap()) >= leastGap && (best == nil || math.Abs(s.gap()) > math.Abs(best.gap())) {
				best = s
			}
		}
	}
	return best
}

// seen is what the corner sees when a bout looks as usual: as often or more, or not even as often.
func (c *Comparison) seen(s *seenSign) string {
	who := title(c.Fighter)
	if s.sign.Theirs {
		who = title(c.Opponent)
	}
	times := fmt.Sprintf("%d times", s.n)
	if s.n == 1 {
		times = "once"
	}
	if s.gap() > 0 {
		return fmt.Sprintf("%s has %s %s or more", who, s.sign.Done, times)
	}
	if s.n == 1 {
		return fmt.Sprintf("%s has not %s at all", who, s.sign.Done)
	}
	return fmt.Sprintf("%s has not %s %s", who, s.sign.Done, times)
}

// often says in how many of 100 bouts that is so.
func (s *seenSign) often(base string) string {
	usual, with := s.usual, s.with
	if s.gap() < 0 {
		usual, with = 1-usual, 1-with
	}
	return fmt.Sprintf("So it is in %s of 100 bouts %s, in %s with the plan.", chart.Plain(100*usual, 0), quoted(base), chart.Plain(100*with, 0))
}
