// Package tape fixes the vocabulary of a bout: acts, defences, results and states as a coder writes them down, the rule
// sets they happen under, and how coded tape is read and written, whether a person coded it or the simulator did.
//
// It decides what the words mean and which of them may stand together. What a fighter chooses and what then happens is
// left to the packages above it.
package tape

// Act says what a row of coded tape records: something a fighter did, or (from StateRange on) a state that began.
type Act uint8

// The acts. Their meaning by eye stands in the codebook (see demo).
const (
	NoAct Act = iota
	StepIn
	StepBack
	Circle // value left or right
	CutOff
	Push
	Measure
	HandFight
	RaiseKnee
	LongGuard
	FeintHand
	FeintHip
	FeintLeg
	FeintLevel
	Jab
	Cross
	LeadHook
	RearHook
	Overhand
	Uppercut
	Spin
	FrontKick
	SideKick
	LowKick // value inside, outside or calf
	BodyKick
	HighKick
	Knee
	Elbow
	Shoot
	Trip
	Sweep
	TieUp
	Break
	GroundStrike
	GetUp
	Submission
	StateRange
	StateCentre
	StateFence
	StateStance
	StateLegCaught
	StateTop
	StateSeen
	NumActs
)

var actNames = [NumActs]string{
	"", "step_in", "step_back", "circle", "cut_off", "push", "measure", "hand_fight", "raise_knee", "long_guard",
	"feint_hand", "feint_hip", "feint_leg", "feint_level",
	"jab", "cross", "lead_hook", "rear_hook", "overhand", "uppercut", "spin",
	"front_kick", "side_kick", "low_kick", "body_kick", "high_kick", "knee", "elbow",
	"shoot", "trip", "sweep", "tie_up", "break", "ground_strike", "get_up", "submission",
	"range", "centre", "fence", "stance", "leg_caught", "top", "seen",
}

func (a Act) String() string { return actNames[a] }

// IsState reports whether the row records a state that began rather than an act.
func (a Act) IsState() bool { return a >= StateRange }

// IsFeint reports whether the act shows a cue with nothing behind it.
func (a Act) IsFeint() bool { return a >= FeintHand && a <= FeintLevel }

// IsStrike reports whether the act is a strike (on the feet, in the clinch or on the ground).
func (a Act) IsStrike() bool { return a >= Jab && a <= Elbow || a == GroundStrike }

// IsTakedown reports whether the act tries to put the other on the ground.
func (a Act) IsTakedown() bool { return a == Shoot || a == Trip || a == Sweep }

// IsAttack reports whether the other has to do something about the act or be hit or taken down.
func (a Act) IsAttack() bool { return a.IsStrike() || a.IsTakedown() }

// Value narrows an act (where it went) or names the state that began.
type Value uint8

// The values.
const (
	NoValue Value = iota
	Left
	Right
	Head
	Body
	Leg
	Inside
	Outside
	Calf
	Out
	Kicking
	Long
	Pocket
	Clinch
	Ground
	Boxing // long or pocket: a coarser coding of range
	Red
	Blue
	Even
	None
	Orthodox
	Southpaw
	Yes
	No
	NumValues
)

var valueNames = [NumValues]string{
	"", "left", "right", "head", "body", "leg", "inside", "outside", "calf",
	"out", "kicking", "long", "pocket", "clinch", "ground", "boxing",
	"red", "blue", "even", "none", "orthodox", "southpaw", "yes", "no",
}

func (v Value) String() string { return valueNames[v] }

// Defence says what the other did about an act.
type Defence uint8

// The defences; from Flinch on, the answers to a feint.
const (
	DefenceUncoded Defence = iota // the coder left the cell empty: unknown
	DefenceUnknown
	DefenceNone
	Guard
	Parry
	BrushDown
	Slip
	Duck
	Pull
	Sidestep
	DefenceHandFight
	DefenceLongGuard
	WithdrawLeg
	Check
	Catch
	Smother
	DefenceStepBack
	Sprawl
	StrikeFirst
	Flinch
	GaveGuard
	GaveGround
	Struck
	NumDefences
)

var defenceNames = [NumDefences]string{
	"", "unknown", "none", "guard", "parry", "brush_down", "slip", "duck", "pull", "sidestep", "hand_fight",
	"long_guard", "withdraw_leg", "check", "catch", "smother", "step_back", "sprawl", "strike_first",
	"flinch", "gave_guard", "gave_ground", "struck",
}

func (d Defence) String() string { return defenceNames[d] }

// Result says how an act ended.
type Result uint8

// The results, in rising order of effect for a strike.
const (
	ResultUncoded Result = iota
	ResultUnknown
	Missed
	Blocked
	Partial
	Clean
	Hurt
	Knockdown
	Stoppage
	TakenDown
	Stuffed
	Made
	Failed
	NumResults
)

var resultNames = [NumResults]string{
	"", "unknown", "missed", "blocked", "partial", "clean", "hurt", "knockdown", "stoppage",
	"taken_down", "stuffed", "made", "failed",
}

func (r Result) String() string { return resultNames[r] }

// IsClean reports whether a strike landed clean or better.
func (r Result) IsClean() bool { return r >= Clean && r <= Stoppage }

// IsLanded reports whether a strike reached its target and was not blocked.
func (r Result) IsLanded() bool { return r >= Partial && r <= Stoppage }

// How says in what shape a strike was thrown.
type How uint8

// The shapes of a strike.
const (
	HowUncoded How = iota
	Set            // feet under the body, from a distance the strike reaches
	Lunging        // from too far: the body falls in behind it
	Wide           // around the centre line because the lead hand was taken away
	NumHows
)

var howNames = [NumHows]string{"", "set", "lunging", "wide"}

func (h How) String() string { return howNames[h] }

// Limb says which side did it.
type Limb uint8

// The limbs.
const (
	LimbUncoded Limb = iota
	Lead
	Rear
	NumLimbs
)

var limbNames = [NumLimbs]string{"", "lead", "rear"}

func (l Limb) String() string { return limbNames[l] }

// Corner is a fighter's corner; states of the pair belong to NoCorner.
type Corner uint8

// The corners.
const (
	RedCorner Corner = iota
	BlueCorner
	NoCorner
)

var cornerNames = [3]string{"red", "blue", ""}

func (c Corner) String() string { return cornerNames[c] }

// Other gives the corner across.
func (c Corner) Other() Corner { return 1 - c }

// Event is one thing that happened, of fixed size, in the words of coded tape. Clock is microseconds since the bell: the
// moment of contact, of a feint its peak.
type Event struct {
	Clock   int64
	Round   uint8 // from 1
	Corner  Corner
	Act     Act
	Value   Value
	Defence Defence
	Result  Result
	How     How
	Limb    Limb
}

// The one rule by which a coded act is an initiated act, an answer or a continuation; writer and reader share it. All in
// microseconds. A strike that began from MeetFrom before to MeetUntil after the clock of an attack of the other's whose defence is
// strike_first meets that attack, which is an answer. Else an act continues the latest own act if its onset (its clock less the
// technique's usual time to contact) comes until ContinueSlack after the usual moment for that (half of the usual way back to guard, three
// quarters after a lunge); unless the other has attacked since, or shown a feint that was bitten on: then it answers, if it comes in time
// for that, and if a defence was coded, or a bite, or if the own act was over and the onset lies nearer to the usual moment of an answer. In time
// for an answer is from AnswerSlack before to AnswerWindow after the clock of an attack that was defended, from its clock to TakenWindow
// after it if it was not, and from BiteFrom to BiteWindow (FlinchWindow) after a feint; a sprawl takes SprawlMore. Everything else is
// initiated. The simulator keeps the three apart by letting nobody initiate before Settle has passed, and after a kick or a lunge later.
// What is between is how far times differ from the usual ones: the windows end where, on simulated tape of the population, about as many
// acts are taken for what they are not as are missed (go run ./bench/recovery -points).
const (
	ContinueSlack = 250_000
	AnswerWindow  = 450_000
	AnswerSlack   = 100_000
	TakenWindow   = 360_000
	BiteFrom      = 150_000
	BiteWindow    = 750_000
	FlinchWindow  = 560_000
	SprawlMore    = 240_000
	MeetFrom      = 600_000
	MeetUntil     = 100_000
	Settle        = 450_000
	Pause         = 300_000 // how long nobody initiates after a defence, or an attack taken, that was not answered

	longWay   = 55_000 // how much later a lunging or wide strike comes
	heavyLegs = 20_000 // how much longer a step takes on average, on tired or kicked legs
)
