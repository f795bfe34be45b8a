package tape

// Point is the choice point at which an act was chosen.
type Point uint8

// The choice points of coded acts. States have none.
const (
	NoPoint  Point = iota
	Initiate       // out of nothing
	Answer         // to the other's attack
	Continue       // after an own act
)

func (p Point) String() string { return [...]string{"", "initiate", "answer", "continue"}[p] }

// usualTimes are the usual times from a move's onset to its contact (of a feint to its peak, of a step to its end), µs. The jab:
// Stanley 2018 (0.405 s from first movement, 15 amateur boxers). The body kick: Wąsik 2022 (roundhouse 0.45 to 0.46 s).
// Straights before looping punches: Piorkowski 2011. The rest: judgement.
var usualTimes = [NumMoves]int64{
	MoveJab: 405e3, MoveJabBody: 430e3, MoveCross: 450e3, MoveCrossBody: 470e3,
	MoveLeadHook: 510e3, MoveLeadHookBody: 510e3, MoveRearHook: 530e3, MoveRearHookBody: 530e3,
	MoveOverhand: 570e3, MoveUppercut: 520e3, MoveSpin: 700e3, MoveElbow: 420e3, MoveKnee: 420e3,
	MoveFrontKick: 450e3, MoveSideKick: 500e3, MoveLowKickCalf: 440e3, MoveLowKickInside: 430e3, MoveLowKickOutside: 450e3,
	MoveBodyKick: 460e3, MoveHighKick: 520e3, MoveGroundStrike: 380e3,
	MoveShoot: 560e3, MoveTrip: 600e3, MoveSweep: 450e3, MoveTieUp: 420e3,
	MoveHandFight: 280e3, MoveMeasure: 250e3, MoveLongGuard: 220e3, MoveRaiseKnee: 240e3,
	MoveFeintHand: 220e3, MoveFeintHip: 260e3, MoveFeintLeg: 250e3, MoveFeintLevel: 260e3,
	MoveStepIn: 300e3, MoveStepBack: 300e3, MoveCircleLeft: 320e3, MoveCircleRight: 320e3, MoveCutOff: 320e3,
	MovePush: 700e3, MoveBreak: 500e3, MoveSwitchStance: 250e3, MoveGetUp: 1500e3, MoveSubmission: 6000e3,
}

// usualRetractions are the usual times from a move's contact back to guard, µs. All are judgements (no figure published).
var usualRetractions = [NumMoves]int64{
	MoveJab: 350e3, MoveJabBody: 400e3, MoveCross: 420e3, MoveCrossBody: 450e3, MoveLeadHook: 430e3, MoveLeadHookBody: 450e3,
	MoveRearHook: 460e3, MoveRearHookBody: 470e3, MoveOverhand: 520e3, MoveUppercut: 460e3, MoveSpin: 650e3, MoveElbow: 420e3,
	MoveKnee: 450e3, MoveFrontKick: 520e3, MoveSideKick: 580e3, MoveLowKickCalf: 480e3, MoveLowKickInside: 460e3,
	MoveLowKickOutside: 500e3, MoveBodyKick: 560e3, MoveHighKick: 600e3, MoveGroundStrike: 350e3, MoveShoot: 900e3,
	MoveTrip: 700e3, MoveSweep: 600e3, MoveTieUp: 400e3, MoveHandFight: 180e3, MoveMeasure: 150e3, MoveLongGuard: 150e3,
	MoveRaiseKnee: 220e3, MoveFeintHand: 120e3, MoveFeintHip: 180e3, MoveFeintLeg: 180e3, MoveFeintLevel: 220e3,
	MoveStepIn: 120e3, MoveStepBack: 120e3, MoveCircleLeft: 120e3, MoveCircleRight: 120e3, MoveCutOff: 120e3, MovePush: 300e3,
	MoveBreak: 200e3, MoveSwitchStance: 120e3, MoveGetUp: 400e3, MoveSubmission: 1000e3,
}

// UsualTime gives the usual time from onset to contact of an act that may have gone anywhere, µs; 0 for states other than
// stance.
func UsualTime(a Act) int64 { return MoveOf(a, NoValue).UsualTime() }

// UsualTime gives the usual time from the move's onset to its contact, µs; 0 for NoMove.
func (m Move) UsualTime() int64 { return usualTimes[m] }

// UsualRetraction gives the usual time from the move's contact back to guard, µs; 0 for NoMove.
func (m Move) UsualRetraction() int64 { return usualRetractions[m] }

// Onset gives when the act began, as far as its clock and how it came tell, µs since the bell; it may be negative.
func (e *Event) Onset() int64 {
	onset := e.Clock - MoveOf(e.Act, e.Value).UsualTime()
	switch {
	case e.How == Lunging || e.How == Wide:
		onset -= longWay
	case e.Act == StepIn || e.Act == StepBack || e.Act == CutOff:
		onset -= heavyLegs
	}
	return onset
}

// IsAct reports whether somebody did something: a stance that begins at the bell is no switch, and the referee's break is nobody's.
func (e *Event) IsAct() bool {
	return e.Corner != NoCorner && (!e.Act.IsState() || e.Act == StateStance && e.Clock > 0)
}

// Continues gives how long after the row's clock an own act is usually continued, if it is, µs: half of the way back to guard, and three
// quarters after a lunge.
func (e *Event) Continues() int64 {
	half := MoveOf(e.Act, e.Value).UsualRetraction() / 2
	if e.How == Lunging {
		return half * 3 / 2
	}
	return half
}

// Rests gives how long after the row's clock an own act that nothing continues lets nobody begin anything else, µs: until the guard is
// back, half as long again after a lunge, and no less than Settle.
func (e *Event) Rests() int64 {
	back := MoveOf(e.Act, e.Value).UsualRetraction()
	if e.How == Lunging {
		back = back * 3 / 2
	}
	return max(back, Settle)
}

// ContinueEnds gives how long after the row's clock an own act that begins continues it, µs, as long as the other does not attack.
func (e *Event) ContinueEnds() int64 { return e.Continues() + ContinueSlack }

// Takes gives how long after the row's clock the fighter who acted can do nothing about an attack, µs: until the act can be continued;
// after a lunge, until the guard is back.
func (e *Event) Takes() int64 {
	if e.How == Lunging {
		return e.Rests()
	}
	return e.Continues()
}

// Defended reports whether a defence was seen, so that whoever defended was not busy and has something to answer once it is over.
func (e *Event) Defended() bool { return e.Defence >= Guard && e.Defence < StrikeFirst }

// answers gives how long after the row's clock an act that answers it begins, µs: the earliest, the usual and the latest. Nothing answers
// where latest is 0: the other has something to answer after an attack, unless it was met by a strike, and after a feint that they bit
// on, unless the bite was a strike.
func (e *Event) answers() (from, usual, ends int64) {
	switch {
	case e.Act.IsFeint() && e.Defence == Flinch:
		return BiteFrom, 280_000, FlinchWindow
	case e.Act == FeintLevel && e.Defence == GaveGround: // as after a sprawl
		return BiteFrom, 640_000, BiteWindow + SprawlMore
	case e.Act.IsFeint() && e.Defence > Flinch && e.Defence != Struck:
		return BiteFrom, 440_000, BiteWindow
	case !e.Act.IsAttack() || e.Defence == StrikeFirst:
		return 0, 0, 0
	case e.Defence == Sprawl:
		return -AnswerSlack, 420_000, AnswerWindow + SprawlMore
	case e.Defended():
		return -AnswerSlack, 150_000, AnswerWindow
	}
	return 0, 120_000, TakenWindow
}

// AnswerAt gives how long after the row's clock the other usually answers it, if they do, µs; 0 if nothing does.
func (e *Event) AnswerAt() int64 {
	_, usual, _ := e.answers()
	return usual
}

// AnswerEnds gives how long after the row's clock an act of the other's that begins answers it, µs; 0 if nothing does.
func (e *Event) AnswerEnds() int64 {
	_, _, ends := e.answers()
	return ends
}

// answeredBy reports whether an act of the other's may answer the row by when it began.
func (e *Event) answeredBy(since int64) bool {
	from, _, ends := e.answers()
	return since > from && since < ends
}

// furthestBack is how far back a row that an act is about may lie.
const furthestBack = 1_000_000

// PointOf gives the choice point of the act in row i, by the rule stated at ContinueSlack. events are of whole rounds in tape order.
func PointOf(events []Event, i int) Point {
	p, _ := Origin(events, i)
	return p
}

// Origin is PointOf with the row that the act in row i is about: the own act that it continues, or the attack or feint that it answers or
// meets; -1 for an initiated act and for what is no act. Own acts and attacks that no act is about were followed by nothing.
func Origin(events []Event, i int) (p Point, row int) {
	e := &events[i]
	if !e.IsAct() {
		return NoPoint, -1
	}
	if row := Meets(events, i); row >= 0 {
		return Answer, row
	}
	onset, attack := e.Onset(), -1
	for j := i - 1; j >= 0 && events[j].Round == e.Round && onset-events[j].Clock < furthestBack; j-- {
		o := &events[j]
		since := onset - o.Clock
		switch {
		case !o.IsAct():
		case o.Corner == e.Corner && attack >= 0 && events[attack].answersRather(onset, o):
			return Answer, attack
		case o.Corner == e.Corner:
			if f := bittenDuring(events, j, onset); f >= 0 {
				return Answer, f
			}
			if since < o.ContinueEnds() {
				return Continue, j
			}
			return Initiate, -1
		case attack < 0 && o.answeredBy(since):
			attack = j
		}
	}
	if attack >= 0 {
		return Answer, attack
	}
	return Initiate, -1
}

// imitated is how long after a feint's onset the attack that it imitates would come, µs: the latest moment to bite.
const imitated = 450_000

// bittenDuring gives the feint that an act, begun at onset, answers though the own act in row own came after it: who was still on their way
// when it was shown could bite once they were free, which shuts out that they went on. It gives -1 if there is none.
func bittenDuring(events []Event, own int, onset int64) int {
	o := &events[own]
	for j := own - 1; j >= 0 && events[j].Round == o.Round && o.Clock-events[j].Clock < imitated; j-- {
		f := &events[j]
		if !f.Act.IsFeint() || f.Corner != o.Corner.Other() || o.Onset() > f.Clock || o.Clock+o.Continues() > f.Onset()+imitated {
			continue
		}
		if f.answeredBy(onset-f.Clock) && abs(onset-f.Clock-f.AnswerAt()) < abs(onset-o.Clock-o.Continues()) {
			return j
		}
	}
	return -1
}

// answersRather reports whether an act that began at onset answers the attack in e, which came after own, rather than continuing own. Who
// defended or bit was not busy any more; who was still busy when the attack came has nothing to answer; else what lies nearer to its
// usual moment counts.
func (e *Event) answersRather(onset int64, own *Event) bool {
	if e.Defended() || e.Act.IsFeint() {
		return true
	}
	if e.Clock-own.Clock < own.Takes() {
		return false
	}
	return abs(onset-e.Clock-e.AnswerAt()) < abs(onset-own.Clock-own.Continues())
}

// Meets gives the row of the other's attack that the strike in row i was thrown into, where its defence says so; else -1. Either may have
// come first.
func Meets(events []Event, i int) int {
	e := &events[i]
	if !e.Act.IsStrike() || e.Corner == NoCorner {
		return -1
	}
	onset := e.Onset()
	for _, step := range [...]int{-1, 1} {
		for j := i + step; j >= 0 && j < len(events) && events[j].Round == e.Round && abs(events[j].Clock-e.Clock) < furthestBack; j += step {
			o := &events[j]
			if since := onset - o.Clock; o.Corner == e.Corner.Other() && o.Act.IsAttack() && o.Defence == StrikeFirst && since > -MeetFrom && since < MeetUntil {
				return j
			}
		}
	}
	return -1
}

func abs(x int64) int64 { return max(x, -x) }
