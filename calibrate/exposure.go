// Package calibrate turns coded tape into profiles: rates by own range per free second, choice tables, readiness to bite, and skills
// that tell "lands a lot" from "met people who get hit". It starts from the population and moves each figure as far as the tape
// carries it. Reading tape is left to tape, playing bouts to sim.
package calibrate

import (
	"sort"

	"whatbout/fighter"
	"whatbout/tape"
)

// Tape is one coded bout.
type Tape struct {
	Name     string
	IDs      [2]string // by corner
	Rules    *tape.RuleSet
	Events   []tape.Event
	Invented bool
	End      int64 // clock of the end in the last coded round, µs
}

// span is a stretch of time within a round.
type span struct{ from, to int64 }

// round is one fighter's round as calibration sees it.
type round struct {
	zones []zoneAt
	busy  []span
	own   []*tape.Event // acts, in order
	their []*tape.Event // the other's attacks and bitten feints
	end   int64
}

type zoneAt struct {
	at   int64
	zone fighter.Zone
}

// How long an attack keeps somebody busy who does something about it, around the moment of contact: from a usual reaction before it
// to the pause after the answer point. Shared with the engine's answer point.
const (
	busyBefore = 150_000
	busyAfter  = 420_000
	biteBefore = -100_000
	biteAfter  = 700_000
)

// rounds splits a bout into one fighter's rounds.
func rounds(t *Tape, corner tape.Corner) []*round {
	var out []*round
	number := uint8(0)
	var r *round
	for i := range t.Events {
		e := &t.Events[i]
		if e.Round != number {
			r = &round{end: int64(t.Rules.RoundSeconds) * 1e6}
			out = append(out, r)
			number = e.Round
		}
		r.note(e, corner)
	}
	if r != nil && t.End > 0 {
		r.end = t.End
	}
	for _, r := range out {
		sort.Slice(r.busy, func(i, j int) bool { return r.busy[i].from < r.busy[j].from })
	}
	return out
}

func (r *round) note(e *tape.Event, corner tape.Corner) {
	switch {
	case e.Act == tape.StateRange && (e.Corner == corner || e.Corner == tape.NoCorner):
		r.zones = append(r.zones, zoneAt{e.Clock, fighter.ZoneOf(e.Value)})
	case e.Act == tape.StateTop:
		z := fighter.Bottom
		if e.Value == tape.Red+tape.Value(corner) {
			z = fighter.Top
		}
		r.zones = append(r.zones, zoneAt{e.Clock, z})
	case e.Act.IsState() && e.Act != tape.StateStance, e.Corner == tape.NoCorner:
	case e.Corner == corner:
		r.own = append(r.own, e)
		r.busy = append(r.busy, span{onset(e), e.Clock + tape.Settle})
	case e.Act.IsAttack():
		r.their = append(r.their, e)
		r.busy = append(r.busy, span{e.Clock - busyBefore, e.Clock + busyAfter})
	case e.Act.IsFeint() && e.Defence >= tape.Flinch:
		r.busy = append(r.busy, span{e.Clock - biteBefore, e.Clock + biteAfter})
	}
}

func onset(e *tape.Event) int64 { return e.Clock - tape.MoveOf(e.Act, e.Value).UsualTime() }

// zone gives where the fighter was.
func (r *round) zone(at int64) fighter.Zone {
	i := sort.Search(len(r.zones), func(i int) bool { return r.zones[i].at > at })
	if i == 0 {
		return fighter.Out
	}
	return r.zones[i-1].zone
}

// exposure adds up the free seconds in each zone: time there less what busy spans cover.
func (r *round) exposure() (out [fighter.NumZones]float64) {
	for i, z := range r.zones {
		to := r.end
		if i+1 < len(r.zones) {
			to = r.zones[i+1].at
		}
		out[z.zone] += float64(r.free(span{z.at, to})) / 1e6
	}
	return out
}

// free gives the microseconds of a span that no busy span covers.
func (r *round) free(s span) int64 {
	total, at := int64(0), s.from
	for _, b := range r.busy {
		if b.from >= s.to {
			break
		}
		if b.from > at {
			total += b.from - at
		}
		at = max(at, b.to)
	}
	if at < s.to {
		total += s.to - at
	}
	return total
}
