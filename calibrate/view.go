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
	grabs  []span    // when a leg was caught
	fenced []span    // when the own back was on the fence
}

type zoneAt struct {
	at   int64
	zone fighter.Zone
}

// unknown is the zone of a fighter whose range nobody wrote down: at the start, after a gap in the light, on the ground until a row
// says who is on top, and always where range was not looked for.
const unknown = fighter.NumZones

// How long an attack keeps somebody busy who does something about it, around the moment of contact: from a usual reaction before it, if a
// defence was seen, to the pause after the answer point. Shared with the engine's answer point.
const (
	busyBefore = 150_000
	busyAfter  = 420_000
	biteBefore = -100_000
	biteUntil  = 250_000 // when a strike that is the bite has begun, after the feint's peak
	biteAfter  = 700_000
	hurtLasts  = 5_000_000 // how long somebody hurt does what one does when hurt, and the other goes after them
	downLasts  = 7_000_000 // the same after a knockdown
	legHeld    = 1_000_000 // a caught leg, at most, where no row says that it is free again
	legGrabbed = 200_000   // how long before the row of a caught leg both may seem to have begun what they do about it
)

func viewOf(s *source, l *light, corner tape.Corner) *view {
	v := &view{light: l, src: s, corner: corner}
	v.locate()
	v.fence()
	for i := l.first; i < l.last; i++ {
		if s.isAct(i) {
			v.occupy(&s.events[i])
		}
	}
	v.grab()
	v.busy = append(v.busy, v.grabs...)
	sort.Slice(v.busy, func(i, j int) bool { return v.busy[i].from < v.busy[j].from })
	return v
}

func (v *view) occupy(e *tape.Event) {
	if e.Result >= tape.Hurt && e.Result <= tape.Stoppage && e.Act.IsStrike() {
		h := span{e.Clock, e.Clock + hurtLasts}
		if e.Result >= tape.Knockdown {
			h.to = e.Clock + downLasts
		}
		v.busy, v.hurts[e.Corner.Other()] = append(v.busy, h), append(v.hurts[e.Corner.Other()], h)
	}
	switch {
	case e.Corner == v.corner:
		v.busy = append(v.busy, span{e.Onset(), e.Clock + e.Rests()})
	case e.Act.IsAttack() && v.onGround(e.Clock): // each does their own there
	case e.Act.IsAttack() && e.Defended():
		v.busy = append(v.busy, span{e.Clock - busyBefore, e.Clock + e.AnswerAt() + tape.Pause})
	case e.AnswerAt() > 0 && e.Act.IsAttack():
		v.busy = append(v.busy, span{e.Clock, e.Clock + e.AnswerAt() + tape.Pause})
	case e.Act.IsFeint() && e.Defence >= tape.Flinch:
		v.busy = append(v.busy, span{e.Clock - biteBefore, e.Clock + e.AnswerAt() + tape.Pause})
	}
}

// during finds when a state held, as its rows tell.
func (v *view) during(begins, ends func(e *tape.Event) bool) (out []span) {
	since, on := int64(0), false
	for i := v.first; i < v.last; i++ {
		switch e := &v.src.events[i]; {
		case !on && begins(e):
			since, on = e.Clock, true
		case on && ends(e):
			out, on = append(out, span{since, e.Clock}), false
		}
	}
	if on {
		out = append(out, span{since, v.end})
	}
	return out
}

// grab finds when a leg was caught: what both do then comes from no table that tape shows.
func (v *view) grab() {
	caught := func(value tape.Value) func(*tape.Event) bool {
		return func(e *tape.Event) bool { return e.Act == tape.StateLegCaught && e.Value == value }
	}
	v.grabs = v.during(caught(tape.Yes), caught(tape.No))
	for i := range v.grabs {
		g := &v.grabs[i]
		g.from, g.to = g.from-legGrabbed, min(g.to, g.from+legHeld)
	}
}

// fence finds when the fighter's back was on the fence, where that was looked for: nobody steps back then.
func (v *view) fence() {
	if !v.src.lookedFor(tape.StateFence) {
		return
	}
	own := tape.Red + tape.Value(v.corner)
	v.fenced = v.during(func(e *tape.Event) bool { return e.Act == tape.StateFence && e.Value == own },
		func(e *tape.Event) bool { return e.Act == tape.StateFence && e.Value != own })
}

// cornered reports whether the fighter's back was on the fence.
func (v *view) cornered(at int64) bool { return anyHolds(v.fenced, at) }

// grabbed reports whether a leg was caught then.
func (v *view) grabbed(at int64) bool { return anyHolds(v.grabs, at) }

func (v *view) onGround(at int64) bool {
	z := v.zone(at)
	return z == fighter.Top || z == fighter.Bottom
}

// isHurt reports whether the fighter had lately been hurt: what is chosen then is not what is chosen otherwise.
func (v *view) isHurt(at int64) bool { return anyHolds(v.hurts[v.corner], at) }

// unlike reports whether one of the two had lately been hurt or a leg was caught, so that nothing can be told of how often something is
// begun otherwise.
func (v *view) unlike(at int64) bool {
	return anyHolds(v.hurts[0], at) || anyHolds(v.hurts[1], at) || v.grabbed(at)
}

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

// choiceAt gives about when an act was to be continued or answered.
func (v *view) choiceAt(e *tape.Event) int64 {
	if e.Corner == v.corner {
		return e.Clock + e.Continues()
	}
	return e.Clock + e.AnswerAt()
}

// zoneOfChoice gives where the fighter was then.
func (v *view) zoneOfChoice(e *tape.Event) fighter.Zone { return v.zone(v.choiceAt(e)) }

// begun gives where the fighter was when an act began, or when the light came on if that was later.
func (v *view) begun(e *tape.Event) fighter.Zone {
	return v.zone(max(e.Onset(), v.spanOf(e.Clock).from))
}

// exposure adds up the free seconds in each zone: time there, in the light, less what busy spans cover; and how many of them with the back
// on the fence.
func (v *view) exposure() (out, fenced [fighter.NumZones]float64) {
	for i, z := range v.zones {
		to := v.end
		if i+1 < len(v.zones) {
			to = v.zones[i+1].at
		}
		if z.zone == unknown {
			continue
		}
		for _, s := range v.spans {
			s.from, s.to = max(s.from, z.at), min(s.to, to)
			if s.from >= s.to {
				continue
			}
			out[z.zone] += float64(length(s, v.busy)) / 1e6
			for _, f := range v.fenced {
				if f.from, f.to = max(f.from, s.from), min(f.to, s.to); f.from < f.to {
					fenced[z.zone] += float64(length(f, v.busy)) / 1e6
				}
			}
		}
	}
	return out, fenced
}

// watched reports whether the light stays on from a moment for so long, or to the end of the round.
func (v *view) watched(from, long int64) bool {
	s := v.spanOf(from)
	return s != nil && min(from+long, v.end) <= s.to
}
