package sim

import (
	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// chance is a contest outside striking: the move's intercept, both skills, and what the situation adds.
func (b *Bout) chance(c int, more int32) bool {
	m := &b.men[c]
	x := b.logit[m.move] + more
	if family, ok := fighter.FamilyOf(m.move.Act()); ok {
		x += b.Sides[c].attack[family] - b.Sides[1-c].defence[family]
	}
	return uint64(high(m.luck[luckLand])) < kernel.Logistic(x)
}

// takedown is a shot, trip or sweep as it arrives. Shots fail more on the fence and while the other is ready (common practice, no
// source).
func (b *Bout) takedown(c int) {
	m, o := &b.men[c], &b.men[1-c]
	e := tape.Event{Corner: tape.Corner(c), Act: m.move.Act(), Value: m.move.Value(), Defence: tape.DefenceNone, Result: tape.Stuffed}
	inTime := b.defended(1 - c)
	if inTime >= 0 && o.against == 1 {
		e.Defence = o.response.Defence()
	} else if o.seen.met {
		e.Defence = tape.StrikeFirst
	}
	reaches := b.mode != standing || m.move == tape.MoveSweep || b.close(c)
	more := int32(0)
	if inTime >= 0 {
		more -= protects[fighter.Shot][o.response] * inTime / 128
	} else if o.phase == committed || o.phase == recovering || o.phase == regaining {
		more += b.world.busy
	}
	if m.move == tape.MoveShoot && b.area.room(o.at) < fenceRoom {
		more -= 60
	}
	if b.isHurt(1 - c) {
		more += 80
	}
	more += b.balance(1 - c)
	if reaches && b.chance(c, more) {
		e.Result = tape.TakenDown
		m.score += 60
	}
	m.lastResult = resultOf(e.Result)
	m.row = b.emit(e)
	b.met(1 - c)
	if e.Result == tape.TakenDown && b.Rules.Ground {
		b.goDown(c)
		return
	}
	if m.move == tape.MoveShoot && reaches && b.Rules.Clinch && low(m.luck[luckLand]) < 1<<30 {
		b.lockUp(c) // a quarter of stuffed shots end in a tie-up
	}
}

// tieUp is an attempt to lock up.
func (b *Bout) tieUp(c int) {
	m := &b.men[c]
	e := tape.Event{Corner: tape.Corner(c), Act: tape.TieUp, Result: tape.Failed}
	if b.mode == standing && b.close(c) && b.Rules.Clinch && b.chance(c, 0) {
		e.Result = tape.Made
	}
	m.row = b.emit(e)
	if e.Result == tape.Made {
		b.lockUp(c)
	}
}

// lockUp puts the pair chest to chest; the one nearer the fence has it behind them.
func (b *Bout) lockUp(c int) {
	b.bookControl()
	b.mode = clinched
	b.men[c].at = b.area.hold(towards(b.men[1-c].at, b.men[c].at, 450))
	b.idle = b.now
	b.clearReactions()
	b.locate()
	b.waitFor(b.Rules.BreakSeconds)
}

// goDown puts the pair on the ground with c on top.
func (b *Bout) goDown(c int) {
	b.bookControl()
	b.mode, b.top = grounded, c
	b.men[c].at = b.area.hold(towards(b.men[1-c].at, b.men[c].at, 300))
	b.idle = b.now
	b.clearReactions()
	b.locate()
	b.emit(tape.Event{Corner: tape.Corner(c), Act: tape.StateTop, Value: cornerValue(c)})
	b.waitFor(b.Rules.StandUpSeconds)
	if b.men[1-c].phase != free {
		b.pause(1-c, b.now+500_000)
	}
}

func (b *Bout) clearReactions() {
	b.cal.Cancel(slotReact)
	b.cal.Cancel(slotReact + 1)
}

// stand brings the pair back to its feet, mm apart.
func (b *Bout) stand(apart int32) {
	b.bookControl()
	b.mode = standing
	r, l := b.men[0].at, b.men[1].at
	if gap(r, l) == 0 {
		r.x++
	}
	middle := point{(r.x + l.x) / 2, (r.y + l.y) / 2}
	b.men[0].at = b.area.hold(towards(middle, r, apart/2))
	b.men[1].at = b.area.hold(towards(middle, l, apart/2))
	if !b.stopping() {
		b.cal.Cancel(slotReferee)
	}
	b.locate()
}

// handFight is a struggle for the lead hands: won, the other's is taken away for two seconds. Won or lost, the own lead hand is engaged
// for a while, and the reach for the other's leaves the rest open (common practice, no source).
func (b *Bout) handFight(c int) {
	m, o := &b.men[c], &b.men[1-c]
	e := tape.Event{Corner: tape.Corner(c), Act: tape.HandFight, Result: tape.Failed}
	m.armsBusy = b.now + 600_000
	m.engaged = b.now + 1_000_000
	if gap(m.at, o.at) <= b.Sides[c].reach[m.move] && b.chance(c, 0) {
		e.Result = tape.Made
		o.denied = b.now + 2_000_000
		o.measured = 0
	}
	m.row = b.emit(e)
}

// submit is a submission attempt at its end.
func (b *Bout) submit(c int) {
	m := &b.men[c]
	e := tape.Event{Corner: tape.Corner(c), Act: tape.Submission, Result: tape.Failed}
	if b.mode != grounded {
		return
	}
	more := int32(0)
	if b.isHurt(1 - c) {
		more += 130
	}
	if b.isTired(1 - c) {
		more += 40
	}
	m.score += 80
	b.idle = b.now
	if b.chance(c, more) {
		e.Result = tape.Made
		m.row = b.emit(e)
		b.end(c, BySubmission)
		return
	}
	m.row = b.emit(e)
}

// getOut is getting up from the ground or breaking a clinch.
func (b *Bout) getOut(c int) {
	m := &b.men[c]
	want := grounded
	if m.move == tape.MoveBreak {
		want = clinched
	}
	if b.mode != want {
		return
	}
	e := tape.Event{Corner: tape.Corner(c), Act: m.move.Act(), Result: tape.Failed}
	more := int32(0)
	if m.move == tape.MoveBreak && b.area.room(m.at) < fenceRoom {
		more -= 60 // pinned on the fence, tie-ups hold longer
	}
	if b.isHurt(c) {
		more -= 60
	}
	if b.top == c && b.mode == grounded || b.chance(c, more) {
		e.Result = tape.Made
	}
	m.row = b.emit(e)
	if e.Result == tape.Made {
		b.stand(1100)
	}
}
