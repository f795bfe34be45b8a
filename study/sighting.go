package study

import (
	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/sim"
	"whatbout/tape"
)

// sighting is what was seen of one draw's bouts under one plan.
type sighting struct {
	rules   *tape.RuleSet
	margins []float64
	results []int // 0 won, 1 nobody's, 2 lost
	bins    [][fighter.NumZones]infer.Group
	spent   [][fighter.NumZones]int64 // µs, of the bout being counted
	signs   []SignCounts
	floor   *floorWatch
}

func newSighting(rules *tape.RuleSet, columns int) *sighting {
	n := rules.Rounds * binsARound(rules)
	return &sighting{rules: rules, bins: make([][fighter.NumZones]infer.Group, n), spent: make([][fighter.NumZones]int64, n),
		signs: make([]SignCounts, len(Signs)), floor: newFloorWatch(rules, columns)}
}

// binsARound counts stretches; the last may be shorter.
func binsARound(r *tape.RuleSet) int { return (r.RoundSeconds + BinSeconds - 1) / BinSeconds }

// stretch is bin b without what was seen in it.
func (s *sighting) stretch(b int) TimeBin {
	n := binsARound(s.rules)
	from := b % n * BinSeconds
	return TimeBin{Round: 1 + b/n, From: float64(from), To: float64(min(from+BinSeconds, s.rules.RoundSeconds))}
}

// add counts the bout just played.
func (s *sighting) add(b *sim.Bout, o *sim.Outcome) {
	s.floor.end(o.Verdict)
	s.margins = append(s.margins, margin(o, 0))
	s.results = append(s.results, resultOf(o.Verdict))
	s.ranges(b.Events, o.Verdict)
	half := int64(s.rules.RoundSeconds) * 1e6 / 2
	if o.Verdict.Round > 1 || o.Verdict.Clock >= half {
		for i := range Signs {
			s.signs[i].note(Signs[i].countUntil(b.Events, half))
		}
	}
}

func resultOf(v sim.Verdict) int {
	switch v.Winner {
	case 0:
		return 0
	case 1:
		return 2
	}
	return 1
}

// ranges books the fighter's time by range and stretch; only stretches that were fought to their end count.
func (s *sighting) ranges(events []tape.Event, v sim.Verdict) {
	clear(s.spent)
	zone, round, at := fighter.NumZones, uint8(0), int64(0)
	length := int64(s.rules.RoundSeconds) * 1e6
	for i := range events {
		e := &events[i]
		if e.Round != round {
			s.book(round, zone, at, length)
			zone, round, at = fighter.NumZones, e.Round, 0
		}
		if z, changes := zoneAfter(e); changes {
			s.book(round, zone, at, e.Clock)
			zone, at = z, e.Clock
		}
	}
	s.book(round, zone, at, v.Clock)
	for b := range s.bins {
		total, bin := int64(0), s.stretch(b)
		for _, t := range s.spent[b] {
			total += t
		}
		if whole := int64(bin.To-bin.From) * 1e6; total < whole {
			continue
		}
		for z := range s.spent[b] {
			s.bins[b][z].Add(float64(s.spent[b][z]) / float64(total))
		}
	}
}

// zoneAfter reports the fighter's range that an event begins.
func zoneAfter(e *tape.Event) (fighter.Zone, bool) {
	switch {
	case e.Act == tape.StateRange && e.Corner == 0:
		return fighter.ZoneOf(e.Value), true
	case e.Act == tape.StateTop && e.Value == tape.Red:
		return fighter.Top, true
	case e.Act == tape.StateTop && e.Value == tape.Blue:
		return fighter.Bottom, true
	}
	return 0, false
}

// book spreads time from one clock to another over the stretches of a round.
func (s *sighting) book(round uint8, zone fighter.Zone, from, to int64) {
	if round == 0 || zone == fighter.NumZones {
		return
	}
	n := binsARound(s.rules)
	for from < to {
		b := int(from / (BinSeconds * 1e6))
		end := min(int64(b+1)*BinSeconds*1e6, to)
		s.spent[(int(round)-1)*n+min(b, n-1)][zone] += end - from
		from = end
	}
}
