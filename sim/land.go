package sim

import (
	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// arrive is the moment of contact of whatever the fighter began.
func (b *Bout) arrive(c int) {
	m := &b.men[c]
	a := m.move.Act()
	switch {
	case a.IsFeint():
		m.row = b.emit(tape.Event{Corner: tape.Corner(c), Act: a, Defence: biteSoFar(m.bitten)})
		m.bitten = tape.DefenceUncoded
		if o := &b.men[1-c]; o.seen.act.IsFeint() {
			o.seen.row = m.row
		}
	case a == tape.GroundStrike || a.IsStrike():
		b.strike(c)
	case a.IsTakedown():
		b.takedown(c)
	case a == tape.TieUp:
		b.tieUp(c)
	case a == tape.HandFight:
		b.handFight(c)
	case a == tape.Submission:
		b.submit(c)
	case a == tape.GetUp || a == tape.Break:
		b.getOut(c)
	default:
		b.foot(c)
	}
	switch {
	case m.taken && !b.over:
		m.taken = false
		b.catchLeg(c)
	case m.phase == committed:
		b.recover(c)
	}
}

func biteSoFar(d tape.Defence) tape.Defence {
	if d == tape.DefenceUncoded {
		return tape.DefenceNone
	}
	return d
}

// foot is everything that moves feet or holds a hand or knee out.
func (b *Bout) foot(c int) {
	m, s := &b.men[c], &b.Sides[c]
	other := b.men[1-c].at
	step := s.step + s.step*int32(kernel.Normal(low(m.luck[luckBody])))/(4*kernel.NormalUnit)
	step -= step * min(m.legs, 1000) / 4000
	e := tape.Event{Corner: tape.Corner(c), Act: m.move.Act(), Value: m.move.Value()}
	switch m.move {
	case tape.MoveStepIn:
		m.at = b.area.hold(towards(m.at, other, min(step, max(gap(m.at, other)-500, 0))))
	case tape.MoveStepBack:
		m.at = b.area.hold(towards(m.at, other, -step))
	case tape.MoveCircleLeft:
		m.at = b.area.hold(around(m.at, other, step))
		b.stepAround(c, m.move, step)
	case tape.MoveCircleRight:
		m.at = b.area.hold(around(m.at, other, -step))
		b.stepAround(c, m.move, step)
	case tape.MoveCutOff: // to between the other and the middle
		m.at = towards(m.at, towards(other, point{}, min(gap(m.at, other), gap(other, point{}))), step)
	case tape.MovePush:
		back := point{other.x - m.at.x, other.y - m.at.y}
		b.men[1-c].at = b.area.hold(towards(other, point{other.x + back.x, other.y + back.y}, step+300))
		m.at = towards(b.men[1-c].at, m.at, 450)
		b.idle = b.now
	case tape.MoveMeasure:
		m.armsBusy = b.now + 400_000
		if gap(m.at, other) <= s.reach[m.move] && !b.handsDenied(c) {
			m.measured = b.now + 1_300_000
		}
	case tape.MoveLongGuard:
		m.armsBusy = b.now + 300_000
		b.men[1-c].denied = max(b.men[1-c].denied, b.now+500_000)
	case tape.MoveRaiseKnee:
		m.knee = b.now + 700_000
		m.squared = m.knee // on one leg as when checking
	case tape.MoveSwitchStance:
		m.southpaw = !m.southpaw
		b.feet = footing{}
		e.Value = tape.Orthodox
		if m.southpaw {
			e.Value = tape.Southpaw
		}
	}
	b.emit(e)
	b.locate()
}

// strike is a strike at the moment it comes: in reach or short, then clean or not, then what it does.
func (b *Bout) strike(c int) {
	m, o := &b.men[c], &b.men[1-c]
	e := tape.Event{Corner: tape.Corner(c), Act: m.move.Act(), Value: m.move.Value(), How: m.how}
	e.Limb = b.limbOf(c)
	e.Defence = tape.DefenceNone
	inTime := b.defended(1 - c)
	if inTime >= 0 && (o.phase == defending && o.against == 1) {
		e.Defence = o.response.Defence()
	} else if o.seen.met {
		e.Defence = tape.StrikeFirst
	}
	if b.mode == standing && !b.close(c) {
		e.Result = tape.Missed
		b.tellShort(c, inTime)
		b.finish(c, e)
		return
	}
	logits := b.strikeLogits(c, inTime)
	b.tellStrike(c, inTime, logits)
	if uint64(high(m.luck[luckLand])) < kernel.Logistic(logits) {
		e.Result = tape.Clean
		if o.response == fighter.Check && inTime > 64 && m.move.Act() == tape.LowKick {
			m.legs += 40 // shin on shin
		}
		b.hit(c, &e)
	} else {
		e.Result = b.notClean(c, inTime)
		b.glance(c, e)
	}
	b.finish(c, e)
}

// close brings the attacker's body in behind the strike and reports whether it reaches.
func (b *Bout) close(c int) bool {
	m, o := &b.men[c], &b.men[1-c]
	short := gap(m.at, o.at) - b.Sides[c].reach[m.move]
	if short > techniques[m.move].lunge {
		return false
	}
	forward := int32(40)
	if short > 0 {
		forward = short + 40
	}
	m.at = b.area.hold(towards(m.at, o.at, min(forward, max(gap(m.at, o.at)-500, 0))))
	b.locate()
	return true
}

// defended gives how far the defence under way has come, from 0 to 128; -1 means there is none against this.
func (b *Bout) defended(c int) int32 {
	m := &b.men[c]
	if m.phase != defending || !m.seen.real {
		return -1
	}
	if b.now >= m.ready {
		return 128
	}
	return int32((b.now - m.began) * 128 / max(m.ready-m.began, 1))
}

// strikeLogits adds up, in logit units, what is for and against a clean hit.
func (b *Bout) strikeLogits(c int, inTime int32) int32 {
	m, o := &b.men[c], &b.men[1-c]
	family, _ := fighter.FamilyOf(m.move.Act())
	x := b.logit[m.move] + b.Sides[c].attack[family] - b.Sides[1-c].defence[family]
	t := &techniques[m.move]
	if inTime >= 0 {
		x -= protects[fighter.ThreatOf(m.move.Act())][o.response] * inTime / 128
	} else if o.phase != free && o.phase != settling {
		x += b.world.busy // caught while doing something else
	}
	if t.limb == straightLimb {
		if b.now < m.measured {
			x += b.world.measured
		}
		if b.now < o.squared {
			x += b.world.squared
		}
	}
	if t.limb != kickLimb && b.handsDenied(c) {
		x -= b.world.denied
	}
	if m.how == tape.Lunging {
		x -= b.world.lunging
	}
	if m.beaten {
		x -= b.world.lunging // knocked off its line by the one that came first
	}
	if b.now < o.drawnUntil && o.drawnTo != m.move.Value() {
		x += b.world.drawn
	}
	if b.now < o.armsBusy && m.move.Value() != tape.Leg {
		x += b.world.drawn // reaching for a hand leaves the rest open
	}
	if b.now < m.engaged && (m.move.Act() == tape.Jab || m.move.Act() == tape.LeadHook) {
		x -= b.world.denied // the own lead hand is in the fight for the hands, too
	}
	if b.now < o.knee && (m.move.Act() == tape.LowKick || m.move == tape.MoveBodyKick) {
		x -= 130
	}
	x += b.stanceLogits(c)
	if b.isTired(c) {
		x -= 16
	}
	if b.isHurt(1 - c) {
		x += 90
	}
	return x
}

// limbOf says which side a strike comes from: kicks and knees from the rear three times in four (judgement).
func (b *Bout) limbOf(c int) tape.Limb {
	m := &b.men[c]
	switch m.move.Act() {
	case tape.Jab, tape.LeadHook, tape.SideKick:
		return tape.Lead
	case tape.Cross, tape.RearHook, tape.Overhand, tape.Spin:
		return tape.Rear
	case tape.LowKick:
		if m.move == tape.MoveLowKickInside {
			return tape.Lead
		}
	}
	if low(m.luck[luckSee])&3 == 0 {
		return tape.Lead
	}
	return tape.Rear
}

// notClean says how a strike that was not clean ended.
func (b *Bout) notClean(c int, inTime int32) tape.Result {
	u := low(b.men[c].luck[luckLand])
	o := &b.men[1-c]
	partial, blocked := uint32(1<<30), uint32(3<<30) // a quarter grazes, half meets the static guard, a quarter misses
	if inTime >= 64 {
		if responsesTable[o.response].evades {
			partial, blocked = 1<<28, 1<<29
		} else {
			partial, blocked = 1<<29, 1<<32-1
		}
	}
	switch {
	case u < partial:
		return tape.Partial
	case u < blocked:
		return tape.Blocked
	}
	return tape.Missed
}

// glance is what is left of a strike that was not clean: a third of the weight if it grazed, a fifth through the guard.
func (b *Bout) glance(c int, e tape.Event) {
	m, o := &b.men[c], &b.men[1-c]
	x := b.Sides[c].power[m.move]
	switch e.Result {
	case tape.Partial:
		x /= 3
	case tape.Blocked:
		x /= 6
		if o.response == fighter.Check && m.move.Act() == tape.LowKick {
			m.legs += 60
			x = 0
		}
		if o.response == fighter.Catch && o.phase == defending {
			m.taken = true
		}
	default:
		return
	}
	b.wear(c, x, e.Value)
	m.score += int64(x) / 2
}

// wear adds impact to where it went.
func (b *Bout) wear(c int, x int32, where tape.Value) {
	o, s := &b.men[1-c], &b.Sides[1-c]
	switch where {
	case tape.Head:
		o.head += x / 8
	case tape.Body:
		o.trunk += x
		b.rest(1 - c)
		o.stamina = max(o.stamina-x*12000/max(s.trunk, 20), 0)
	default:
		o.legs += x * 60 / max(s.legs, 20)
	}
}

// hit is a clean strike: impact is exponential around the technique's, and what it does depends on what the other can take.
func (b *Bout) hit(c int, e *tape.Event) {
	m, o := &b.men[c], &b.men[1-c]
	power := b.Sides[c].power[m.move]
	if m.how == tape.Lunging {
		power -= power / 5
	}
	if b.isTired(c) {
		power -= power / 10
	}
	if o.phase == committed && b.mode == standing {
		power += power / 6 // met while coming forward
		o.beaten = o.move.IsStrike()
	}
	x := int32(min(kernel.Exponential(m.luck[luckImpact], kernel.Mean(int64(power)*64)), 1<<20))
	b.wear(c, x, e.Value)
	m.score += int64(x)
	if o.unanswered++; b.isHurt(1-c) && o.unanswered >= stopAfter {
		b.callReferee(700_000)
	}
	switch e.Value {
	case tape.Head:
		b.hitHead(c, x, e)
	case tape.Body:
		if x > b.chin*b.Sides[1-c].trunk/100*5/4 {
			b.hurtBy(c, e, 4_000_000)
		}
	default:
		if o.legs > 1500 && x > 200 {
			b.hurtBy(c, e, 5_000_000)
		}
	}
}

// hitHead compares the impact with what the other's head can still take: hurt, down, or out.
func (b *Bout) hitHead(c int, x int32, e *tape.Event) {
	o := &b.men[1-c]
	if o.out {
		return // nobody goes down twice
	}
	limit := b.chin*b.Sides[1-c].chin/100 - o.head/6
	if b.isHurt(1 - c) {
		limit = limit * 3 / 4
	}
	limit = max(limit, b.chin/4)
	switch {
	case x > limit*3/2:
		o.out = true
		b.hurtBy(c, e, 30_000_000)
		b.knockDown(c, e)
		b.callReferee(1_500_000 + int64(low(b.men[c].luck[luckSee])>>11))
	case x > limit*23/20:
		b.hurtBy(c, e, 7_000_000)
		b.knockDown(c, e)
	case x > limit:
		b.hurtBy(c, e, 5_000_000)
	}
}

func (b *Bout) hurtBy(c int, e *tape.Event, lasts int64) {
	o := &b.men[1-c]
	if !b.isHurt(1 - c) {
		o.unanswered = 0
	}
	o.hurt = max(o.hurt, b.now+lasts)
	e.Result = tape.Hurt
	b.men[c].score += 150
	if o.phase == committed || o.phase == defending { // what was under way does not come
		b.pause(1-c, b.now+300_000)
	}
}

// knockDown puts the other on the canvas: counted out under a count, followed to the ground otherwise.
func (b *Bout) knockDown(c int, e *tape.Event) {
	o := &b.men[1-c]
	e.Result = tape.Knockdown
	b.men[c].score += 400
	o.knockdowns++
	if b.Rules.Count || !b.Rules.Ground {
		o.phase = down
		b.cal.Cancel(slotPhase + 1 - c)
		b.cal.Cancel(slotReact + 1 - c)
		b.callReferee(8_000_000)
		return
	}
	if b.mode != grounded {
		b.goDown(c)
	}
	b.pause(1-c, b.now+900_000)
}

// finish writes a strike down and tells both fighters what came of it.
func (b *Bout) finish(c int, e tape.Event) {
	m := &b.men[c]
	m.lastResult = resultOf(e.Result)
	if b.isHurt(c) {
		m.unanswered = 0
	}
	if b.mode != standing {
		b.idle = b.now
	}
	m.row = b.emit(e)
	if !b.fouls(c) {
		b.met(1 - c)
	}
}

// met is what follows for somebody who was attacked and was not busy: the answer point comes when the defence ends, or now.
func (b *Bout) met(c int) {
	m := &b.men[c]
	b.cal.Cancel(slotReact + c)
	b.provedReal(c)
	m.seen.real, m.seen.met = false, false
	if m.phase == defending {
		m.lastAct = lastDefence
		return
	}
	if (m.phase == free || m.phase == settling) && !m.out && b.mode == standing {
		m.phase, m.response, m.against = defending, fighter.Absorb, 0
		b.cal.Schedule(slotPhase+c, b.now+120_000)
	}
}
