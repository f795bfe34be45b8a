package sim

import (
	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// tick is a decision tick: whoever is free may begin something.
func (b *Bout) tick(c int) {
	m := &b.men[c]
	m.draw = m.ticks.take()
	b.cal.Schedule(slotTick+c, m.ticks.at())
	if m.phase != free || m.out {
		return
	}
	if b.isHurt(c) && b.mode != clinched {
		if uint64(low(m.draw)) < slowShare { // the same ticks whatever the plan makes worth looking at
			b.survive(c)
		}
		return
	}
	state := asIs
	if b.isHurt(1 - c) {
		state = surging
	}
	if move := b.choose(tactics.Initiate, c, initiateRow(m.zone, b.spot(c)), state, m.draw); move < int(tape.NumMoves) {
		s := b.fate(c)
		b.begin(c, tape.Move(move), tactics.Initiate, luckOf(&s))
	}
}

// carryOn is the continue point: half of the retraction is done and the rest may be skipped for something else.
func (b *Bout) carryOn(c int) {
	m := &b.men[c]
	if b.mode == standing && !b.isHurt(c) {
		s := b.fate(c)
		if move := b.choose(tactics.Continue, c, exchangeRow(m.zone.Exchange(), fighter.AfterOf(m.move.Act())), b.behind(c), s.Uint64()); tape.Move(move) != tape.NoMove {
			b.begin(c, tape.Move(move), tactics.Continue, luckOf(&s))
			return
		}
	}
	if b.mode == grounded && b.isHurt(1-c) {
		m.phase = free // from the top the next one need not wait for the guard
		return
	}
	back := b.Sides[c].retract[m.move]
	if m.how == tape.Lunging && b.mode == standing {
		m.phase = regaining // the body, too, has to come back
		b.cal.Schedule(slotPhase+c, max(m.lastContact+back*3/2, m.lastContact+tape.Settle))
		return
	}
	b.pause(c, m.lastContact+max(back, tape.Settle))
}

// answer is the answer point: a defence, or an attack taken, is over.
func (b *Bout) answer(c int) {
	m := &b.men[c]
	if b.mode == standing && !b.isHurt(c) {
		s := b.fate(c)
		if move := b.choose(tactics.Answer, c, exchangeRow(m.zone.Exchange(), b.theirs(c)), b.behind(c), s.Uint64()); tape.Move(move) != tape.NoMove {
			b.begin(c, tape.Move(move), tactics.Answer, luckOf(&s))
			return
		}
	}
	b.pause(c, b.now+tape.Settle-150_000)
}

// pause lets nobody begin anything before until; defending stays possible.
func (b *Bout) pause(c int, until int64) {
	m := &b.men[c]
	if until <= b.now {
		m.phase = free
		return
	}
	m.phase = settling
	b.cal.Schedule(slotPhase+c, until)
}

// behind says whether there is room for a step back.
func (b *Bout) behind(c int) uint8 {
	if b.area.hasRoom(b.men[c].at, b.Sides[c].step) {
		return asIs
	}
	return cornered
}

// begin starts a move: how long it will take, in what shape it comes, and when the other can see it.
func (b *Bout) begin(c int, move tape.Move, from tactics.Point, l luck) {
	m, s := &b.men[c], &b.Sides[c]
	t := &techniques[move]
	if move == tape.MoveStepBack && b.behind(c) == cornered {
		return
	}
	m.move, m.point, m.luck, m.begun = move, from, l, b.now
	m.how = tape.HowUncoded
	m.beaten = false
	m.row = -1
	takes := s.time[move] + s.spread[move]*int64(kernel.Normal(high(l[luckBody])))/kernel.NormalUnit
	cue := t.cue
	if move.IsStrike() && b.mode == standing {
		takes, cue = b.shape(c, takes, cue)
	}
	if b.isTired(c) {
		takes += takes / 16
	}
	if move >= tape.MoveStepBack && move <= tape.MoveStepIn || move == tape.MoveCutOff {
		takes += takes * int64(min(m.legs, 1000)) / 4000
	}
	takes = max(takes, s.time[move]/2)
	if m.phase == legCaught {
		b.freed(c) // pulled away by what is begun
	}
	m.phase = committed
	b.cal.Schedule(slotPhase+c, b.now+takes)
	b.spend(c, move)
	if move.Act().IsAttack() {
		m.attacks++
	}
	if a := move.Act(); a.IsAttack() || a.IsFeint() {
		b.show(c, a, cue, takes)
	}
}

// shape says whether a strike comes set, lunging or wide, and what that costs in time and in how early it is read.
func (b *Bout) shape(c int, takes, cue int64) (int64, int64) {
	m, s := &b.men[c], &b.Sides[c]
	m.how = tape.Set
	over := gap(m.at, b.men[1-c].at) - s.reach[m.move]
	if b.handsDenied(c) && techniques[m.move].limb != kickLimb {
		m.how = tape.Wide // around the centre line, and from further out than it would have been
		takes += 50_000
		cue -= 40_000
		over += 120
	}
	if over > 0 {
		m.how = tape.Lunging
		takes += int64(over) * 250
		cue -= 20_000
	}
	if b.now < m.measured && techniques[m.move].limb == straightLimb {
		takes -= 20_000
	}
	return takes, cue
}

// handsDenied reports whether the fighter's lead hand is taken away.
func (b *Bout) handsDenied(c int) bool { return b.now < b.men[c].denied }

// show puts the other's reaction to an onset on the calendar. It knows whether the onset is real; what the other believes does
// not.
func (b *Bout) show(c int, a tape.Act, cue, takes int64) {
	m, o := &b.men[c], 1-c
	s := &b.Sides[o]
	threat := fighter.ThreatOf(a)
	reaction := s.choice
	if uint64(high(m.luck[luckSee])) < s.anticipates && !b.NoCues {
		reaction = s.simple - s.lead
	}
	reaction += 45_000 * int64(kernel.Normal(low(m.luck[luckSee]))) / kernel.NormalUnit
	if a == tape.Shoot && m.lastAct == lastPunch && b.now-m.lastContact < 700_000 {
		reaction += 90_000 // the punch hid the level change
	}
	if b.isTired(o) {
		reaction += reaction / 20
	}
	real := a.IsAttack()
	b.provedEmpty(o)
	p := pending{real: real, open: b.mode == standing, act: a, threat: threat, arrive: b.now + takes, row: -1}
	if !real {
		p.arrive = b.now + 450_000 // when the attack it imitates would come
	}
	at := b.now + max(cue+reaction, 60_000)
	if b.mode == grounded || real && at >= p.arrive {
		at = kernel.Never // too late to do anything but meet it with what is there
	}
	b.men[o].seen = p
	if at == kernel.Never {
		b.cal.Cancel(slotReact + o)
		return
	}
	b.cal.Schedule(slotReact+o, at)
}

// Energy: a strike costs about one two-hundredth of the tank, a takedown three times that; a full tank comes back in about forty minutes of
// fighting, and half of what is missing between rounds. So average fighters are tired late in the third round of five minutes, busy ones in
// the second (judgements; quality falls 5-15 % by the last round in the literature's reading).
func (b *Bout) spend(c int, move tape.Move) {
	m, s := &b.men[c], &b.Sides[c]
	b.rest(c)
	cost := int32(1500)
	switch a := move.Act(); {
	case a.IsTakedown() || a == tape.Submission || a == tape.GetUp:
		cost = 15000
	case a.IsStrike():
		cost = 5200
	}
	m.stamina = max(m.stamina-cost*s.tiring/100, 0)
}

// rest gives back what was recovered since the last time.
func (b *Bout) rest(c int) {
	m := &b.men[c]
	gained := (b.now - m.restedAt) * int64(b.Sides[c].recovery) / 240_000
	m.restedAt = b.now
	m.stamina = int32(min(int64(m.stamina)+gained, fullTank))
}

// phaseEnds moves a fighter on from whatever they were busy with.
func (b *Bout) phaseEnds(c int) {
	m := &b.men[c]
	switch m.phase {
	case committed:
		b.arrive(c)
	case recovering:
		b.carryOn(c)
	case defending:
		b.answer(c)
	case legCaught:
		b.freed(c)
		m.phase = free
	default:
		m.phase = free
	}
}

// recover begins the retraction; the continue point comes when half of it is done.
func (b *Bout) recover(c int) {
	m := &b.men[c]
	m.lastContact = b.now
	m.lastAct = lastOf(m.move)
	m.phase = recovering
	half := b.Sides[c].retract[m.move] / 2
	if m.how == tape.Lunging {
		half += half / 2 // a long way back to guard
	}
	b.cal.Schedule(slotPhase+c, b.now+half)
}

// survive is what a hurt or dropped fighter does.
func (b *Bout) survive(c int) {
	m := &b.men[c]
	s := b.fate(c)
	u := s.Uint64()
	l := luckOf(&s)
	state := asIs
	if b.mode == grounded {
		state = isDown
	}
	switch fighter.Survival(b.choose(tactics.Survive, c, 0, state, u)) {
	case fighter.SurviveTieUp:
		b.begin(c, tape.MoveTieUp, tactics.Survive, l)
	case fighter.SurviveSwingBack:
		b.begin(c, tape.MoveCross, tactics.Survive, l)
	case fighter.SurviveMoveAway:
		b.begin(c, tape.MoveStepBack, tactics.Survive, l)
	case fighter.SurviveFence:
		m.at = towards(m.at, point{}, -min(b.area.room(m.at), b.Sides[c].step))
		b.locate()
		b.pause(c, b.now+400_000)
	case fighter.SurviveGetUp:
		b.begin(c, tape.MoveGetUp, tactics.Survive, l)
	default: // shell or stay down
		m.drawnTo, m.drawnUntil = tape.Head, b.now+600_000
		b.pause(c, b.now+600_000)
	}
}
