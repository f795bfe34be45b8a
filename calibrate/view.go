package calibrate

import (
	"slices"
	"sort"

	"whatbout/fighter"
	"whatbout/tape"
)

// view is one round of a coding as one fighter went through it.
type view struct {
	*light
	src    *source
	corner tape.Corner
	zones  []zoneAt
	busy   []span    // in the order of their beginnings
	hurts  [2][]span // when each corner was hurt, in the order of their beginnings
}

type zoneAt struct {
	at   int64
	zone fighter.Zone
}

// unknown is the zone of a fighter whose range nobody wrote down: at the start, after a gap in the light, on the ground until a row
// says who is on top, and always where range was not looked for.
const unknown = fighter.NumZones

// How long an attack keeps somebody busy who does something about it, around the moment of contact: from a usual reaction before it
// to the pause after the answer point. Shared with the engine's answer point.
const (
	busyBefore = 150_000
	busyAfter  = 420_000
	biteBefore = -100_000
	biteUntil  = 250_000 // when a strike that is the bite has begun, after the feint's peak
	biteAfter  = 700_000
	justEnded  = 300_000   // after an own act: most attacks that come by then leave no choice of an answer, most later ones do
	hurtLasts  = 5_000_000 // how long somebody hurt does what one does when hurt, and the other goes after them
)

func viewOf(s *source, l *light, corner tape.Corner) *view {
	v := &view{light: l, src: s, corner: corner}
	v.locate()
	for i := l.first; i < l.last; i++ {
		if s.isAct(i) {
			v.occupy(&s.events[i])
		}
	}
	sort.Slice(v.busy, func(i, j int) bool { return v.busy[i].from < v.busy[j].from })
	return v
}

func (v *view) occupy(e *tape.Event) {
	if e.Result >= tape.Hurt && e.Result <= tape.Stoppage && e.Act.IsStrike() {
		h := span{e.Clock, e.Clock + hurtLasts}
		v.busy, v.hurts[e.Corner.Other()] = append(v.busy, h), append(v.hurts[e.Corner.Other()], h)
	}
	switch {
	case e.Corner == v.corner:
		v.busy = append(v.busy, span{e.Onset(), e.Clock + tape.Settle})
	case e.Act.IsAttack() && v.onGround(e.Clock): // each does their own there
	case e.Act.IsAttack():
		v.busy = append(v.busy, span{e.Clock - busyBefore, e.Clock + busyAfter})
	case e.Act.IsFeint() && e.Defence >= tape.Flinch:
		v.busy = append(v.busy, span{e.Clock - biteBefore, e.Clock + biteAfter})
	}
}

func (v *view) onGround(at int64) bool {
	z := v.zone(at)
	return z == fighter.Top || z == fighter.Bottom
}

// isHurt reports whether the fighter had lately been hurt: what is chosen then is not what is chosen otherwise.
func (v *view) isHurt(at int64) bool { return anyHolds(v.hurts[v.corner], at) }

// unlike reports whether one of the two had lately been hurt, so that nothing can be told of how often something is begun otherwise.
func (v *view) unlike(at int64) bool { return anyHolds(v.hurts[0], at) || anyHolds(v.hurts[1], at) }

func anyHolds(spans []span, at int64) bool {
	return slices.ContainsFunc(spans, func(s span) bool { return s.from < at && at <= s.to })
}

// locate follows range and top through the round.
func (v *view) locate() {
	if !v.src.lookedFor(tape.StateRange) {
		return
	}
	zone, next := unknown, 0
	lightsUp := func(until int64) {
		for ; next < len(v.spans) && v.spans[next].from <= until; next++ {
			zone = unknown
			v.zones = append(v.zones, zoneAt{v.spans[next].from, unknown})
		}
	}
	for i := v.first; i < v.last; i++ {
		e := &v.src.events[i]
		lightsUp(e.Clock)
		if to, ok := v.zoneAfter(e, zone); ok && v.has(e.Clock) {
			zone = to
			v.zones = append(v.zones, zoneAt{e.Clock, zone})
		}
	}
	lightsUp(v.end)
}

// zoneAfter gives the fighter's zone after a row, if the row says something about it.
func (v *view) zoneAfter(e *tape.Event, now fighter.Zone) (fighter.Zone, bool) {
	switch {
	case e.Act == tape.StateRange && e.Value == tape.Ground && (e.Corner == v.corner || e.Corner == tape.NoCorner):
		if now == fighter.Top || now == fighter.Bottom {
			return now, true
		}
		return unknown, true
	case e.Act == tape.StateRange && e.Corner == tape.NoCorner:
		return v.src.pairZone(e.Value, v.corner), true
	case e.Act == tape.StateRange && e.Corner == v.corner:
		return fighter.ZoneOf(e.Value), true
	case e.Act == tape.StateTop && !v.src.lookedFor(tape.StateTop):
	case e.Act == tape.StateTop && e.Value == tape.Red+tape.Value(v.corner):
		return fighter.Top, true
	case e.Act == tape.StateTop && e.Value == tape.Red+tape.Value(v.corner.Other()):
		return fighter.Bottom, true
	case e.Act == tape.StateTop && (now == fighter.Top || now == fighter.Bottom):
		return unknown, true
	}
	return now, false
}

// zone gives where the fighter was.
func (v *view) zone(at int64) fighter.Zone {
	i := sort.Search(len(v.zones), func(i int) bool { return v.zones[i].at > at })
	if i == 0 {
		return unknown
	}
	return v.zones[i-1].zone
}

// choiceAfter is about how long after the clock of an act it is continued, µs: half of its retraction, until which the other is still in it.
func choiceAfter(a tape.Act) int64 {
	switch {
	case a.IsTakedown():
		return 420_000
	case a >= tape.FrontKick && a <= tape.HighKick:
		return 270_000
	case a.IsStrike() || a == tape.TieUp:
		return 210_000
	}
	return 75_000
}

// answerAfter is the same for an answer: the end of a defence, or of the attack that a feint looked like.
func answerAfter(a tape.Act) int64 {
	if a.IsFeint() {
		return 300_000
	}
	return 120_000
}

// zoneOfChoice gives where the fighter was when the act was to be continued or answered.
func (v *view) zoneOfChoice(e *tape.Event) fighter.Zone {
	if e.Corner == v.corner {
		return v.zone(e.Clock + choiceAfter(e.Act))
	}
	return v.zone(e.Clock + answerAfter(e.Act))
}

// begun gives where the fighter was when an act began, or when the light came on if that was later.
func (v *view) begun(e *tape.Event) fighter.Zone {
	return v.zone(max(e.Onset(), v.spanOf(e.Clock).from))
}

// exposure adds up the free seconds in each zone: time there, in the light, less what busy spans cover.
func (v *view) exposure() (out [fighter.NumZones]float64) {
	for i, z := range v.zones {
		to := v.end
		if i+1 < len(v.zones) {
			to = v.zones[i+1].at
		}
		if z.zone == unknown {
			continue
		}
		for _, s := range v.spans {
			if from, to := max(s.from, z.at), min(s.to, to); from < to {
				out[z.zone] += float64(length(span{from, to}, v.busy)) / 1e6
			}
		}
	}
	return out
}

// watched reports whether the light stays on from a moment for so long, or to the end of the round.
func (v *view) watched(from, long int64) bool {
	s := v.spanOf(from)
	return s != nil && min(from+long, v.end) <= s.to
}
