package tape

// Move is something a fighter can choose to do: an act together with where it goes. Moves stand in the order of their
// names, because choices are made by inversion in that order; NoMove ("none") is the choice to do nothing.
type Move uint8

// The moves, in the order of their names.
const (
	MoveBodyKick Move = iota
	MoveBreak
	MoveCircleLeft
	MoveCircleRight
	MoveCross
	MoveCrossBody
	MoveCutOff
	MoveElbow
	MoveFeintHand
	MoveFeintHip
	MoveFeintLeg
	MoveFeintLevel
	MoveFrontKick
	MoveGetUp
	MoveGroundStrike
	MoveHandFight
	MoveHighKick
	MoveJab
	MoveJabBody
	MoveKnee
	MoveLeadHook
	MoveLeadHookBody
	MoveLongGuard
	MoveLowKickCalf
	MoveLowKickInside
	MoveLowKickOutside
	MoveMeasure
	NoMove
	MoveOverhand
	MovePush
	MoveRaiseKnee
	MoveRearHook
	MoveRearHookBody
	MoveShoot
	MoveSideKick
	MoveSpin
	MoveStepBack
	MoveStepIn
	MoveSubmission
	MoveSweep
	MoveSwitchStance
	MoveTieUp
	MoveTrip
	MoveUppercut
	NumMoves
)

type moveRow struct {
	name  string
	act   Act
	value Value
}

var moves = [NumMoves]moveRow{
	{"body_kick", BodyKick, Body}, {"break", Break, NoValue},
	{"circle_left", Circle, Left}, {"circle_right", Circle, Right},
	{"cross", Cross, Head}, {"cross_body", Cross, Body}, {"cut_off", CutOff, NoValue}, {"elbow", Elbow, Head},
	{"feint_hand", FeintHand, NoValue}, {"feint_hip", FeintHip, NoValue},
	{"feint_leg", FeintLeg, NoValue}, {"feint_level", FeintLevel, NoValue},
	{"front_kick", FrontKick, Body}, {"get_up", GetUp, NoValue}, {"ground_strike", GroundStrike, Head},
	{"hand_fight", HandFight, NoValue}, {"high_kick", HighKick, Head},
	{"jab", Jab, Head}, {"jab_body", Jab, Body}, {"knee", Knee, Body},
	{"lead_hook", LeadHook, Head}, {"lead_hook_body", LeadHook, Body}, {"long_guard", LongGuard, NoValue},
	{"low_kick_calf", LowKick, Calf}, {"low_kick_inside", LowKick, Inside}, {"low_kick_outside", LowKick, Outside},
	{"measure", Measure, NoValue}, {"none", NoAct, NoValue},
	{"overhand", Overhand, Head}, {"push", Push, NoValue}, {"raise_knee", RaiseKnee, NoValue},
	{"rear_hook", RearHook, Head}, {"rear_hook_body", RearHook, Body}, {"shoot", Shoot, NoValue},
	{"side_kick", SideKick, Body}, {"spin", Spin, Head}, {"step_back", StepBack, NoValue}, {"step_in", StepIn, NoValue},
	{"submission", Submission, NoValue}, {"sweep", Sweep, NoValue}, {"switch_stance", StateStance, NoValue},
	{"tie_up", TieUp, NoValue}, {"trip", Trip, NoValue}, {"uppercut", Uppercut, Head},
}

func (m Move) String() string { return moves[m].name }

// Act gives the act a move is written down as. A switch of stance is written as the state that begins.
func (m Move) Act() Act { return moves[m].act }

// Value gives where the move goes: a target, a side, or NoValue.
func (m Move) Value() Value { return moves[m].value }

// IsStrike reports whether the move is a strike.
func (m Move) IsStrike() bool { return moves[m].act.IsStrike() }

// MoveOf gives the move that a coded act and value stand for. A target that has no move of its own counts as the nearest
// that has: a low kick without a value as outside, a punch to the leg as one to the body, a knee to the head as a knee.
// States other than stance have no move (NoMove).
func MoveOf(a Act, v Value) Move {
	fallback := NoMove
	for m, row := range moves {
		if row.act != a || Move(m) == NoMove {
			continue
		}
		if row.value == v {
			return Move(m)
		}
		if v == Leg && row.value == Body {
			fallback = Move(m)
		}
		if fallback == NoMove || v == NoValue && (row.value == Head || row.value == Outside) {
			fallback = Move(m)
		}
	}
	return fallback
}

// MoveNames lists the moves' names in their order, for messages and tables.
func MoveNames() []string {
	names := make([]string, NumMoves)
	for m := range moves {
		names[m] = moves[m].name
	}
	return names
}
