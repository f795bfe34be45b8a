package sim

import (
	"whatbout/fighter"
	"whatbout/tactics"
	"whatbout/tape"
)

// legHeld is how long a caught leg is held if nothing is done about it, µs (judgement).
const legHeld = 900_000

// catchLeg: c's kick is caught. The caught one chooses what to do on one leg, the catcher what to do with it; both begin in the same
// moment, since neither can wait for the other.
func (b *Bout) catchLeg(c int) {
	m, o := &b.men[c], &b.men[1-c]
	m.lastContact, m.lastAct = b.now, lastKick
	m.phase, m.caught = legCaught, b.now+legHeld
	b.emit(tape.Event{Corner: tape.Corner(c), Act: tape.StateLegCaught, Value: tape.Yes})
	b.cal.Schedule(slotPhase+c, m.caught)

	b.catching = true
	s := b.fate(c)
	u := s.Uint64()
	b.onOneLeg(c, fighter.Survival(b.choose(tactics.Survive, c, 0, isCaught, u)), luckOf(&s))

	s = b.fate(1 - c)
	u = s.Uint64()
	o.phase = free
	b.cal.Cancel(slotPhase + 1 - c)
	if move := tape.Move(b.choose(tactics.Answer, 1-c, 0, isHolding, u)); move != tape.NoMove {
		b.begin(1-c, move, tactics.Answer, luckOf(&s))
	} else {
		m.caught = b.now // let go
	}
	b.catching = false
}

// onOneLeg is what the caught one does: a frame keeps the catcher's punches away, hopping keeps the balance, pulling takes the leg back
// sooner, swinging back and tying up are acts like any other.
func (b *Bout) onOneLeg(c int, how fighter.Survival, l luck) {
	m := &b.men[c]
	switch how {
	case fighter.SurviveFrame:
		b.men[1-c].denied = max(b.men[1-c].denied, m.caught)
	case fighter.SurviveHop:
		m.balanced = m.caught
	case fighter.SurvivePullFree:
		m.caught = b.now + legHeld/2
		b.cal.Schedule(slotPhase+c, m.caught)
	case fighter.SurviveSwingBack:
		b.begin(c, tape.MoveCross, tactics.Survive, l)
	case fighter.SurviveTieUp:
		b.begin(c, tape.MoveTieUp, tactics.Survive, l)
	}
}

// freed writes down that a leg is free again.
func (b *Bout) freed(c int) {
	b.emit(tape.Event{Corner: tape.Corner(c), Act: tape.StateLegCaught, Value: tape.No})
}

// balance is what standing on one leg adds to a takedown, log-odds: easy to sweep, unless balanced (judgements; common practice, no
// source, for the signs).
func (b *Bout) balance(c int) int32 {
	m := &b.men[c]
	switch {
	case b.now >= m.caught:
		return 0
	case b.now < m.balanced:
		return 20
	}
	return 90
}
