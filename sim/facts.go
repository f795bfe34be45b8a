package sim

import (
	"whatbout/fighter"
	"whatbout/tactics"
	"whatbout/tape"
)

// Facts that a fighter can know; see [tactics.Facts].
func (b *Bout) facts(c int, threat *fighter.Threat) tactics.Facts {
	m, o := &b.men[c], &b.men[1-c]
	var f tactics.Facts
	f.Set(tactics.FactRound, min(b.round, 5)-1)
	left := int64(b.Rules.RoundSeconds)*1e6 - b.now
	switch {
	case left > 120e6:
		f.Set(tactics.FactTimeLeft, 0)
	case left > 60e6:
		f.Set(tactics.FactTimeLeft, 1)
	case left > 30e6:
		f.Set(tactics.FactTimeLeft, 2)
	default:
		f.Set(tactics.FactTimeLeft, 3)
	}
	f.Set(tactics.FactRange, int(min(m.zone, fighter.Top)))
	f.Set(tactics.FactCentre, side3(b.centre, c))
	f.Set(tactics.FactOwnFence, bit(b.fence == cornerValue(c)))
	f.Set(tactics.FactTheirFence, bit(b.fence == cornerValue(1-c)))
	f.Set(tactics.FactMatchUp, bit(m.southpaw != o.southpaw))
	f.Set(tactics.FactOther, b.doing(1-c))
	f.Set(tactics.FactOwnCondition, b.condition(c))
	f.Set(tactics.FactOtherCondition, b.condition(1-c))
	f.Set(tactics.FactLastAct, int(m.lastAct))
	f.Set(tactics.FactLastResult, int(m.lastResult))
	f.Set(tactics.FactTheirLast, int(o.lastAct))
	f.Set(tactics.FactAhead, 1-int(min(max(m.rounds, -1), 1)))
	f.Set(tactics.FactLeadHand, bit(b.now < m.denied))
	f.Set(tactics.FactLeadFoot, [...]int{1: 2, 2: 0, 0: 1}[b.leadFoot(c)+1])
	if threat != nil {
		f.Set(tactics.FactThreat, int(*threat))
		f.Set(tactics.FactCue, int(threat.Cue()))
	}
	return f
}

func bit(x bool) int {
	if x {
		return 0
	}
	return 1
}

func cornerValue(c int) tape.Value { return tape.Red + tape.Value(c) }

func side3(v tape.Value, c int) int {
	switch v {
	case cornerValue(c):
		return 0
	case cornerValue(1 - c):
		return 1
	}
	return 2
}

// lastAct is a fighter's last act as anybody can see it.
type lastAct uint8

const (
	lastNone lastAct = iota
	lastStep
	lastHand
	lastFeint
	lastPunch
	lastKick
	lastTakedown
	lastDefence
)

func lastOf(m tape.Move) lastAct {
	a := m.Act()
	switch {
	case a.IsFeint():
		return lastFeint
	case a >= tape.FrontKick && a <= tape.Knee:
		return lastKick
	case a.IsStrike():
		return lastPunch
	case a.IsTakedown():
		return lastTakedown
	case a == tape.Measure || a == tape.HandFight || a == tape.LongGuard || a == tape.TieUp:
		return lastHand
	}
	return lastStep
}

type lastResult uint8

const (
	resultNone lastResult = iota
	resultMissed
	resultBlocked
	resultLanded
	resultHurt
	resultTakenDown
	resultStuffed
)

func resultOf(r tape.Result) lastResult {
	switch r {
	case tape.Missed:
		return resultMissed
	case tape.Blocked:
		return resultBlocked
	case tape.Partial, tape.Clean:
		return resultLanded
	case tape.Hurt, tape.Knockdown, tape.Stoppage:
		return resultHurt
	case tape.TakenDown:
		return resultTakenDown
	case tape.Stuffed:
		return resultStuffed
	}
	return resultNone
}

// doing is what the other can be seen to do.
func (b *Bout) doing(c int) int {
	if b.men[c].phase == down {
		return 6
	}
	if b.isHurt(c) {
		return 5
	}
	return [...]int{free: 0, committed: 1, recovering: 2, regaining: 2, settling: 2, defending: 3, legCaught: 4, down: 6}[b.men[c].phase]
}

func (b *Bout) condition(c int) int {
	switch {
	case b.isHurt(c):
		return 2
	case b.isTired(c):
		return 1
	}
	return 0
}

func (b *Bout) isHurt(c int) bool  { return b.now < b.men[c].hurt }
func (b *Bout) isTired(c int) bool { return b.men[c].stamina < fullTank*4/10 }
