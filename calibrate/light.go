package calibrate

import "whatbout/tape"

// span is a stretch of time within a round, both ends included, µs.
type span struct{ from, to int64 }

// light is the time of a round that was coded and in which both fighters were in sight. Who is out of sight may be attacking, so that the
// other's free time is not known either.
type light struct {
	round       uint8
	first, last int // its rows: from first to before last
	end         int64
	spans       []span
}

// has reports whether a moment is in the light.
func (l *light) has(at int64) bool { return l.spanOf(at) != nil }

func (l *light) spanOf(at int64) *span {
	for i := range l.spans {
		if l.spans[i].from <= at && at <= l.spans[i].to {
			return &l.spans[i]
		}
	}
	return nil
}

// seconds adds the light up.
func (l *light) seconds() (sum float64) {
	for _, s := range l.spans {
		sum += float64(s.to-s.from) / 1e6
	}
	return sum
}

// lights splits a coding into its rounds.
func lights(s *source) (out []light) {
	for i := range s.events {
		if n := len(out); n == 0 || out[n-1].round != s.events[i].Round {
			out = append(out, light{round: s.events[i].Round, first: i, end: int64(s.bout.RuleSet.RoundSeconds) * 1e6})
		}
		out[len(out)-1].last = i + 1
	}
	for i := range out {
		l := &out[i]
		if last := i == len(out)-1; last {
			l.end = lastEnd(s.bout, l)
		}
		l.spans = without(coded(s.bout, l), unseen(s.events[l.first:l.last], l.end))
	}
	return out
}

// lastEnd is when the last coded round ended: as bout.yaml says, or when the bout did, or at the bell.
func lastEnd(b *tape.Bout, l *light) int64 {
	switch {
	case b.End > 0:
		return b.End
	case b.Ended.Round == l.round && b.Ended.Clock > 0:
		return b.Ended.Clock
	}
	return l.end
}

// coded gives the coded stretches of a round.
func coded(b *tape.Bout, l *light) (out []span) {
	if len(b.Coded) == 0 {
		return []span{{0, l.end}}
	}
	for _, i := range b.Coded {
		if to := min(i.To, l.end); i.Round == l.round && i.From < to {
			out = append(out, span{i.From, to})
		}
	}
	return out
}

// unseen gives the stretches in which a row says that one of the two, or the pair, is not in sight.
func unseen(events []tape.Event, end int64) (out []span) {
	var dark [2]bool
	since := int64(0)
	for i := range events {
		e := &events[i]
		if e.Act != tape.StateSeen {
			continue
		}
		before := dark[0] || dark[1]
		for c := range dark {
			if e.Corner == tape.NoCorner || int(e.Corner) == c {
				dark[c] = e.Value == tape.No
			}
		}
		switch now := dark[0] || dark[1]; {
		case now && !before:
			since = e.Clock
		case before && !now && e.Clock > since:
			out = append(out, span{since, e.Clock})
		}
	}
	if (dark[0] || dark[1]) && end > since {
		out = append(out, span{since, end})
	}
	return out
}

// without gives what is left of spans, in order, when the gaps, in order, are taken out.
func without(spans, gaps []span) (out []span) {
	for _, s := range spans {
		for _, g := range gaps {
			if g.to <= s.from || g.from >= s.to {
				continue
			}
			if g.from > s.from {
				out = append(out, span{s.from, g.from})
			}
			s.from = g.to
		}
		if s.from < s.to {
			out = append(out, s)
		}
	}
	return out
}

// length gives the microseconds of a span that no gap covers; gaps are in the order of their beginnings and may overlap.
func length(s span, gaps []span) int64 {
	total, at := int64(0), s.from
	for _, g := range gaps {
		if g.from >= s.to {
			break
		}
		if g.from > at {
			total += g.from - at
		}
		at = max(at, g.to)
	}
	return total + max(s.to-at, 0)
}
