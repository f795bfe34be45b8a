package sim

import (
	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// react is the moment at which a fighter who saw an onset can do something about it.
func (b *Bout) react(c int) {
	m := &b.men[c]
	if m.phase != free && m.phase != settling {
		// Busy: nothing else can begin until that ends. What ends before the attack comes still leaves time.
		if end := b.cal.At(slotPhase + c); m.phase != down && end < m.seen.arrive {
			b.cal.Schedule(slotReact+c, end+1)
			return
		}
		b.provedEmpty(c)
		return
	}
	if m.out {
		return
	}
	believed := b.believes(c)
	b.provedEmpty(c)
	if believed {
		b.defend(c)
	}
}

// perceive is how real an onset looks, in log-odds: half the fighter's sense of the cue up for a real one, down for an empty one,
// and logistic noise. This is the only place in which the truth goes into belief.
func (b *Bout) perceive(c int) int32 {
	m := &b.men[c]
	signal := b.Sides[c].sense[m.seen.threat.Cue()] / 2
	if !m.seen.real {
		signal = -signal
	}
	u := high(b.men[1-c].luck[luckDefend])
	return signal + kernel.Logit((float64(u)+0.5)/(1<<32))
}

// believes is the believe point: percept plus criterion.
func (b *Bout) believes(c int) bool {
	yes := 0
	if b.perceive(c)+b.criterion(c) > 0 {
		yes = 1
	}
	return b.settle(tactics.Believe, c, nil, yes) == 1
}

// criterion is the fighter's readiness to bite, what this bout has taught about the cue so far, and the plan's multiple of the odds.
// Whether this onset is real does not enter.
func (b *Bout) criterion(c int) int32 {
	m, s := &b.men[c], &b.Sides[c]
	cue := m.seen.threat.Cue()
	x := s.bite[cue] + s.learning*(lnCount(m.real[cue]+seenBefore)-lnCount(m.empty[cue]+seenBefore))/1024
	if mask := b.rulesNow(tactics.Believe, c, high(b.men[1-c].luck[luckCoin]), &m.seen.threat); mask != 0 {
		x += s.odds(mask)
	}
	return x
}

// A fighter starts a bout as if they had seen six real and six empty onsets of every cue (judgement).
const seenBefore = 6

// What an onset was is known when the attack has come ([Bout.provedReal]), or when the moment for it has passed, or something else
// comes instead ([Bout.provedEmpty]): after it was decided about, and whether or not there was time to decide. The next onset of the
// cue is read by it.
func (b *Bout) provedReal(c int) {
	if m := &b.men[c]; m.seen.open && m.seen.real {
		m.seen.open = false
		m.real[m.seen.threat.Cue()]++
	}
}

func (b *Bout) provedEmpty(c int) {
	if m := &b.men[c]; m.seen.open && !m.seen.real {
		m.seen.open = false
		m.empty[m.seen.threat.Cue()]++
	}
}

// lnCount is the natural logarithm of a small count in logit units.
func lnCount(n int32) int32 { return lnTable[min(n, int32(len(lnTable)-1))] }

// defend is the defend point.
func (b *Bout) defend(c int) {
	m, s := &b.men[c], &b.Sides[c]
	threat := m.seen.threat
	u := b.men[1-c].luck[luckDefend]
	mask := b.rulesNow(tactics.Defend, c, low(b.men[1-c].luck[luckCoin]), &threat)
	t := s.table(tactics.Defend, int(threat), b.behind(c), mask)
	r := fighter.Response(b.settle(tactics.Defend, c, t, t.Pick(low(u))))
	b.cal.Cancel(slotPhase + c)
	if r == fighter.StrikeFirst && b.mode == standing {
		b.noteBite(c, tape.Struck)
		m.seen.met = m.seen.real
		s := b.fate(c)
		b.begin(c, b.nearestStrike(c), tactics.Defend, luckOf(&s))
		return
	}
	row := &responsesTable[r]
	m.phase, m.response, m.began, m.ready = defending, r, b.now, b.now+row.time
	if r == fighter.StrikeFirst {
		m.response = fighter.Absorb // too close for it
	}
	m.against = 1
	end := max(b.now+row.hold, m.seen.arrive+60_000)
	b.cal.Schedule(slotPhase+c, end)
	b.giveWay(c, r)
	b.noteBite(c, biteOf(r))
}

// giveWay is what a response costs in ground and in where the guard is drawn.
func (b *Bout) giveWay(c int, r fighter.Response) {
	m := &b.men[c]
	back := responsesTable[r].back
	if r == fighter.StepBack {
		back = b.Sides[c].step
		back -= back * min(m.legs, 1000) / 4000
		if left := m.seen.arrive - b.now; m.seen.real && left < responsesTable[r].time {
			back = int32(int64(back) * left / responsesTable[r].time)
		}
	}
	if back != 0 && b.mode == standing {
		m.at = b.area.hold(towards(m.at, b.men[1-c].at, -back))
		b.locate()
	}
	switch r {
	case fighter.GuardHigh, fighter.BrushDown, fighter.Parry, fighter.LongGuard:
		m.drawnTo, m.drawnUntil = tape.Head, b.now+700_000
	case fighter.GuardLow, fighter.Catch, fighter.Sprawl, fighter.Smother:
		m.drawnTo, m.drawnUntil = tape.Body, b.now+700_000
	}
	switch m.seen.threat {
	case fighter.LowKick, fighter.FrontKick, fighter.BodyKick:
		if r != fighter.Absorb {
			m.squared = max(b.now, m.seen.arrive) + 700_000 // squared up until the leg is down again, the middle is open
		}
	}
}

// nearestStrike is what a fighter strikes first with: the strike nearest to hand.
func (b *Bout) nearestStrike(c int) tape.Move {
	for _, move := range [...]tape.Move{tape.MoveLeadHook, tape.MoveJab, tape.MoveFrontKick, tape.MoveCross} {
		if b.Rules.Allowed[move] && gap(b.men[c].at, b.men[1-c].at) <= b.Sides[c].reach[move] {
			return move
		}
	}
	return tape.MoveJab
}

// biteOf is how a coder sees a response to nothing.
func biteOf(r fighter.Response) tape.Defence {
	switch r {
	case fighter.Absorb:
		return tape.Flinch
	case fighter.StepBack, fighter.Sprawl, fighter.Sidestep:
		return tape.GaveGround
	}
	return tape.GaveGuard
}

// noteBite writes a bite into the feint's row, which may already stand; the feinter may have begun something else since.
func (b *Bout) noteBite(c int, d tape.Defence) {
	m, o := &b.men[c], &b.men[1-c]
	if m.seen.real {
		return
	}
	m.seen.act = tape.NoAct
	if m.seen.row >= 0 {
		b.Events[m.seen.row].Defence = d
		return
	}
	o.bitten = d
}

// odds is a plan's multiple of the odds of belief, as a shift in log-odds.
func (s *Side) odds(mask uint32) int32 {
	if s.beliefs == nil {
		s.beliefs = map[uint32]int32{}
	}
	if x, ok := s.beliefs[mask]; ok {
		return x
	}
	x := lnShift(s.Plan.BeliefOdds(mask))
	s.beliefs[mask] = x
	return x
}
