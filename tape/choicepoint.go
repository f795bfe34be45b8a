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

// UsualTime gives the usual time from onset to contact of an act that may have gone anywhere, µs; 0 for states other than
// stance.
func UsualTime(a Act) int64 { return MoveOf(a, NoValue).UsualTime() }

// UsualTime gives the usual time from the move's onset to its contact, µs; 0 for NoMove.
func (m Move) UsualTime() int64 { return usualTimes[m] }

// Onset gives when the act began, as far as its clock tells, µs since the bell; it may be negative.
func (e *Event) Onset() int64 { return e.Clock - MoveOf(e.Act, e.Value).UsualTime() }

// IsAct reports whether somebody did something: a stance that begins at the bell is no switch, and the referee's break is nobody's.
func (e *Event) IsAct() bool {
	return e.Corner != NoCorner && (!e.Act.IsState() || e.Act == StateStance && e.Clock > 0)
}

// ContinueEnds gives how long after the row's clock an own act that begins continues it, µs, as long as the other does not attack.
func (e *Event) ContinueEnds() int64 {
	switch {
	case e.Act.IsStrike():
		return ContinueWindow
	case e.Act.IsTakedown():
		return ShotWindow
	}
	return LightWindow
}

// AnswerEnds gives how long after the row's clock an act of the other's that begins answers it, µs; 0 if nothing does. The other has
// something to answer after an attack and after a feint that they bit on, unless the bite was a strike.
func (e *Event) AnswerEnds() int64 {
	switch {
	case e.Act.IsAttack():
		return AnswerWindow
	case e.Act.IsFeint() && e.Defence >= Flinch && e.Defence != Struck:
		return BiteWindow
	}
	return 0
}

// answeredBy reports whether an act of the other's answers the row by when it began. One that began much before an attack came cannot
// be about how that ended; a feint's clock is its peak, when a bite is not over yet.
func (e *Event) answeredBy(since int64) bool {
	from := int64(-AnswerSlack)
	if e.Act.IsFeint() {
		from = BiteFrom
	}
	ends := e.AnswerEnds()
	return ends > 0 && since > from && since < ends
}

// furthestBack is how far back a row that an act is about may lie.
const furthestBack = max(ContinueWindow, ShotWindow, LightWindow, AnswerWindow, BiteWindow)

// PointOf gives the choice point of the act in row i, by the rule stated at ContinueWindow. The latest own act counts, and the latest
// attack or bite; an act that begins before an own act has come continues it (combinations overlap). Only earlier rows of the same
// round count. events are in tape order.
func PointOf(events []Event, i int) Point {
	p, _ := Origin(events, i)
	return p
}

// Origin is PointOf with the row that the act in row i is about: the latest own act that it continues, or the latest attack that it
// answers; -1 for an initiated act and for what is no act. Own acts and attacks that no act is about were followed by nothing.
func Origin(events []Event, i int) (p Point, row int) {
	e := &events[i]
	if !e.IsAct() {
		return NoPoint, -1
	}
	onset, answered := e.Onset(), -1
	for j := i - 1; j >= 0 && events[j].Round == e.Round && onset-events[j].Clock < furthestBack; j-- {
		o := &events[j]
		since := onset - o.Clock
		switch {
		case !o.IsAct():
		case o.Corner == e.Corner && since < o.ContinueEnds() && (since < o.ContinueEnds()*InterruptedTenths/10 || answered < 0):
			return Continue, j
		case o.Corner != e.Corner && answered < 0 && o.answeredBy(since):
			answered = j
		}
	}
	if answered >= 0 {
		return Answer, answered
	}
	return Initiate, -1
}
