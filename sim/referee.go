package sim

import (
	"whatbout/tape"
)

// stopAfter is how many clean strikes a hurt fighter may take without doing anything before the referee steps in (judgement).
const stopAfter = 6

// callReferee makes the referee step in after a delay at the latest.
func (b *Bout) callReferee(after int64) {
	if at := b.now + after; at < b.cal.At(slotReferee) {
		b.cal.Schedule(slotReferee, at)
	}
}

// stopping reports whether the referee is on the way to stop it: somebody is out.
func (b *Bout) stopping() bool { return b.men[0].out || b.men[1].out }

// waitFor lets the referee look on for so many seconds, unless there is something to stop.
func (b *Bout) waitFor(seconds float64) {
	if !b.stopping() {
		b.cal.Schedule(slotReferee, b.now+int64(seconds*1e6))
	}
}

// referee steps in: to stop it, to count, to separate or to stand up.
func (b *Bout) referee() {
	for c := range b.men {
		m := &b.men[c]
		if m.out {
			b.end(1-c, ByKO)
			return
		}
		if b.isHurt(c) && m.unanswered >= stopAfter {
			b.end(1-c, ByTKO)
			return
		}
		if m.phase == down {
			b.count(c)
			return
		}
	}
	if b.mode == standing {
		return
	}
	limit := b.Rules.BreakSeconds
	if b.mode == grounded {
		limit = b.Rules.StandUpSeconds
	}
	if due := b.idle + int64(limit*1e6); due > b.now {
		b.cal.Schedule(slotReferee, due)
		return
	}
	b.emit(tape.Event{Corner: tape.NoCorner, Act: tape.Break})
	b.stand(1800)
}

// count ends: too many knockdowns in a round end it, otherwise it goes on from a distance.
func (b *Bout) count(c int) {
	m := &b.men[c]
	if b.Rules.MaxKnockdowns > 0 && int(m.knockdowns) >= b.Rules.MaxKnockdowns {
		b.end(1-c, ByTKO)
		return
	}
	m.phase, m.unanswered = free, 0
	m.hurt = b.now + 6_000_000
	b.stand(2000)
}

// end closes the bout in favour of corner c.
func (b *Bout) end(c int, by Method) {
	if b.NoStop {
		for i := range b.men {
			b.men[i].out, b.men[i].hurt, b.men[i].unanswered = false, 0, 0
			if b.men[i].phase == down {
				b.men[i].phase = free
			}
		}
		b.stand(1800)
		return
	}
	b.over = true
	b.verdict = Verdict{Winner: int8(c), Method: by, Round: uint8(b.round), Clock: b.now}
	for i := len(b.Events) - 1; i >= 0 && i >= len(b.Events)-3 && (by == ByKO || by == ByTKO); i-- {
		if e := &b.Events[i]; int(e.Corner) == c && e.Act.IsStrike() && e.Result == tape.Knockdown {
			e.Result = tape.Stoppage
			break
		}
	}
}
