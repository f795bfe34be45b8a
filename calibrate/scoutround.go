package calibrate

import (
	"math"
	"slices"

	"whatbout/fighter"
	"whatbout/tape"
)

// ScoutTape is one coding of a bout, to be scouted.
type ScoutTape struct {
	Name   string // as clips name the bout
	Bout   *tape.Bout
	Events []tape.Event
}

// scoutRound is a round as one fighter lived it, reduced to what was looked for.
type scoutRound struct {
	tape   *ScoutTape
	corner tape.Corner
	number uint8
	events []tape.Event
	zones  []fighter.Zone // by row: where the fighter was before it
	end    int64
	unseen [][2]int64 // µs, in order
}

// scoutRounds splits a coding into rounds for one corner.
func scoutRounds(t *ScoutTape, corner tape.Corner) []*scoutRound {
	events := lookedFor(t)
	last := uint8(0)
	for i := range t.Events {
		last = max(last, t.Events[i].Round)
	}
	var out []*scoutRound
	for len(events) > 0 {
		number := events[0].Round
		n := slices.IndexFunc(events, func(e tape.Event) bool { return e.Round != number })
		if n < 0 {
			n = len(events)
		}
		r := &scoutRound{tape: t, corner: corner, number: number, events: events[:n], end: scoutEnd(t.Bout, number, last)}
		r.follow()
		out, events = append(out, r), events[n:]
	}
	return out
}

// lookedFor leaves out rows and words that the coder did not look for, since some of them without the rest would mislead; a row of a
// corner that was not coded is left out likewise.
func lookedFor(t *ScoutTape) []tape.Event {
	g := t.Bout.LookedFor
	var out []tape.Event
	for _, e := range t.Events {
		if !g.Has(e.Act) || e.Corner != tape.NoCorner && !e.Act.IsState() && !t.Bout.Corners[e.Corner] {
			continue
		}
		if !g[tape.GroupDefences] {
			e.Defence = tape.DefenceUncoded
		}
		if !g[tape.GroupResults] {
			e.Result = tape.ResultUncoded
		}
		if !g[tape.GroupLimbs] {
			e.Limb = tape.LimbUncoded
		}
		out = append(out, e)
	}
	return out
}

// scoutEnd is when a round was over: at the bell, or where the bout or the coding ended.
func scoutEnd(b *tape.Bout, number, last uint8) int64 {
	end := int64(b.RuleSet.RoundSeconds) * 1e6
	if b.Ended.Round == number && b.Ended.Clock > 0 {
		end = b.Ended.Clock
	}
	if b.End > 0 && number == last {
		end = min(end, b.End)
	}
	return end
}

// follow works out where the fighter was before each row, and what was out of sight.
func (r *scoutRound) follow() {
	zone, hidden := fighter.Out, int64(-1)
	for i := range r.events {
		e := &r.events[i]
		r.zones = append(r.zones, zone)
		zone = r.zoneAfter(e, zone)
		switch {
		case e.Act == tape.StateSeen && e.Value == tape.No && hidden < 0:
			hidden = e.Clock
		case e.Act == tape.StateSeen && e.Value == tape.Yes && hidden >= 0:
			r.unseen = append(r.unseen, [2]int64{hidden, e.Clock})
			hidden = -1
		}
	}
	if hidden >= 0 {
		r.unseen = append(r.unseen, [2]int64{hidden, r.end})
	}
}

// zoneAfter reads the range; where that was not looked for, who is on top tells the ground from standing.
func (r *scoutRound) zoneAfter(e *tape.Event, before fighter.Zone) fighter.Zone {
	switch {
	case e.Act == tape.StateRange && (e.Corner == r.corner || e.Corner == tape.NoCorner):
		return fighter.ZoneOf(e.Value)
	case e.Act == tape.StateTop && !r.tape.Bout.LookedFor[tape.GroupRange] && e.Value == tape.None:
		return fighter.Out
	case e.Act == tape.StateTop && !r.tape.Bout.LookedFor[tape.GroupRange]:
		return fighter.Bottom
	}
	return before
}

// standing reports whether the fighter was on the feet and not tied up before row i.
func (r *scoutRound) standing(i int) bool { return r.zones[i] <= fighter.Pocket }

// seen reports whether a stretch of the round, or a moment where both are the same, was coded and in sight from end to end.
func (r *scoutRound) seen(from, to int64) bool {
	for _, u := range r.unseen {
		if u[0] < from && from < u[1] {
			return false
		}
	}
	return to <= r.end && r.tape.Bout.Covers(r.number, from) && r.visible(from, to) == to-from
}

// visible gives how much of a stretch was coded, in sight and before the end of the round, µs.
func (r *scoutRound) visible(from, to int64) int64 {
	coded := []tape.Interval{{Round: r.number, From: 0, To: math.MaxInt64}}
	if len(r.tape.Bout.Coded) > 0 {
		coded = r.tape.Bout.Coded
	}
	total := int64(0)
	for _, c := range coded {
		if c.Round != r.number {
			continue
		}
		a, b := max(from, c.From), min(to, c.To, r.end)
		total += max(b-a, 0)
		for _, u := range r.unseen {
			total -= max(min(b, u[1])-max(a, u[0]), 0)
		}
	}
	return total
}

// ownAct reports whether a row is something the fighter did.
func (r *scoutRound) ownAct(e *tape.Event) bool {
	return e.Corner == r.corner && (!e.Act.IsState() || e.Act == tape.StateStance && e.Clock > 0)
}

// longestAct is far enough past a window that an act begun in it stands before.
const longestAct = 6_500_000

// begun gives the fighter's first act, of the rows after one, that began after one moment and before another; nil for none.
func (r *scoutRound) begun(row int, after, before int64) *tape.Event {
	var first *tape.Event
	for i := row + 1; i < len(r.events) && r.events[i].Clock-longestAct < before; i++ {
		e := &r.events[i]
		if r.ownAct(e) && e.Onset() > after && e.Onset() < before && (first == nil || e.Onset() < first.Onset()) {
			first = e
		}
	}
	return first
}

// continued gives the own act that continues the one in row i: the first that begins in time, unless the other has attacked since and
// it answers that.
func (r *scoutRound) continued(i int) *tape.Event {
	e := &r.events[i]
	next := r.begun(i, math.MinInt64, e.Clock+e.ContinueEnds())
	for j := i + 1; next != nil && j < len(r.events); j++ {
		if &r.events[j] == next {
			if tape.PointOf(r.events, j) == tape.Continue {
				return next
			}
			return nil
		}
	}
	return nil
}

// answered gives the own act that answers the other's in row i: the first after it that is about it.
func (r *scoutRound) answered(i int) *tape.Event {
	e := &r.events[i]
	for j := i + 1; j < len(r.events) && r.events[j].Clock-longestAct < e.Clock+e.AnswerEnds(); j++ {
		if !r.ownAct(&r.events[j]) {
			continue
		}
		if point, about := tape.Origin(r.events, j); point == tape.Answer && about == i {
			return &r.events[j]
		}
	}
	return nil
}

// busy reports whether an act of the fighter's own was under way, or just over and perhaps being continued, when the other's in row i came;
// who defended was not.
func (r *scoutRound) busy(i int) bool {
	about := &r.events[i]
	if about.Defended() {
		return false
	}
	at := about.Clock
	for j := i - 1; j >= 0 && at-r.events[j].Clock < longestAct; j-- {
		if e := &r.events[j]; r.ownAct(e) && at < e.Clock+e.Takes() {
			return true
		}
	}
	for j := i + 1; j < len(r.events) && r.events[j].Clock-longestAct < at; j++ {
		if e := &r.events[j]; r.ownAct(e) && e.Onset() <= at {
			return true
		}
	}
	return false
}

// lasts gives when a state that begins at row i ends: at the first later row that says otherwise, or with the round.
func (r *scoutRound) lasts(i int) int64 {
	e := &r.events[i]
	zone := r.zoneAfter(e, r.zones[i])
	for j := i + 1; j < len(r.events); j++ {
		o := &r.events[j]
		if e.Act == tape.StateFence && o.Act == tape.StateFence && o.Value != e.Value || e.Act == tape.StateRange && r.zoneAfter(o, zone) != zone {
			return o.Clock
		}
	}
	return r.end
}
