package calibrate

import (
	"fmt"
	"strings"

	"whatbout/fighter"
	"whatbout/tape"
)

// notes says, once a bout, what its codings leave open.
func notes(sources []*source) (out []string) {
	for i, s := range sources {
		first := i == 0 || sources[i-1].bout != s.bout
		if first {
			for _, text := range s.openQuestions() {
				out = append(out, s.bout.ID+": "+text)
			}
		}
	}
	return out
}

// noTape says loudly whose profile rests on no round of tape.
func noTape(wanted []string, tallies map[string]*counts, coarse *coarseTape) (out []string) {
	for _, id := range wanted {
		if tallies[id].roundsOf() == 0 && (coarse.tallies[id] == nil || len(coarse.tallies[id].rounds) == 0) {
			out = append(out, fmt.Sprintf("NO TAPE of %s: no round in which their acts were coded and in sight counts; the profile is the population's but for what others' rows say, "+
				"and a plan tried with it tells of an average professional", id))
		}
	}
	return out
}

func (s *source) openQuestions() (out []string) {
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if n := int(s.age/s.weight + .5); n > 1 {
		add("coded %d times; each coding weighs 1/%d", n, n)
	}
	for c, coded := range s.bout.Corners {
		if !coded {
			add("the acts of %s were not coded: nothing is learned of them, and what the other did in answer counts as begun by themselves", s.id(tape.Corner(c)))
		}
	}
	if missing := unlooked(s.bout.LookedFor); len(missing) > 0 {
		add("not looked for, so unknown: %s", strings.Join(missing, ", "))
	}
	if !s.lookedFor(tape.StateRange) {
		add("without range there are no rates and no choice tables from this bout")
	} else if s.forPair() {
		add("range was coded for the pair or as boxing, and is mapped through both reaches: own ranges are rough")
	}
	if dark := s.dark(); dark > 0 {
		add("%s of the coded time is out of sight and does not count", tape.FormatClock(dark))
		if n := s.actsInTheDark(); n > 0 {
			add("%d acts are written down while somebody was out of sight, and do not count", n)
		}
	}
	return out
}

// unlooked lists the groups that were not looked for and that calibration goes by.
func unlooked(g tape.Groups) (names []string) {
	for i, name := range tape.AllGroups().Names() {
		switch group := tape.Group(i); group {
		case tape.GroupHow, tape.GroupLimbs, tape.GroupCentre, tape.GroupFence, tape.GroupLegCaught:
		case tape.GroupKicks:
			if !g[group] && !g[tape.GroupStrikes] {
				names = append(names, name)
			}
		default:
			if !g[group] {
				names = append(names, name)
			}
		}
	}
	return names
}

// forPair reports whether a range on the feet was coded without saying whose, or as long or pocket.
func (s *source) forPair() bool {
	for i := range s.events {
		e := &s.events[i]
		onFeet := fighter.ZoneOf(e.Value) < fighter.Clinch
		if e.Act == tape.StateRange && onFeet && (e.Corner == tape.NoCorner || e.Value == tape.Boxing) {
			return true
		}
	}
	return false
}

// actsInTheDark counts acts in coded time that was not in sight.
func (s *source) actsInTheDark() (n int) {
	for i := range s.events {
		if e := &s.events[i]; e.IsAct() && e.Corner != tape.NoCorner && s.bout.Covers(e.Round, e.Clock) && !s.light(e.Round).has(e.Clock) {
			n++
		}
	}
	return n
}

// dark gives the time that was coded but not in sight, µs.
func (s *source) dark() (sum int64) {
	for i := range s.lights {
		l := &s.lights[i]
		for _, c := range coded(s.bout, l) {
			sum += length(c, l.spans)
		}
	}
	return sum
}
