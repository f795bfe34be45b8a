// Package tactics holds game plans: what a fighter may know at a choice point, and rules that re-weight what they choose there. A
// plan touches choices, never chances: nothing here can reach a landing probability, a speed, a reach, a perception or a damage
// figure. Rules compile once, independent of any draw of figures, into multiples that sim applies to its choice tables.
package tactics

// Point is a moment at which a fighter chooses.
type Point uint8

// The choice points.
const (
	Initiate Point = iota
	Believe
	Defend
	Answer
	Continue
	Survive
	NumPoints
)

var pointNames = [NumPoints]string{"initiate", "believe", "defend", "answer", "continue", "survive"}

func (p Point) String() string { return pointNames[p] }

// Fact is something that a fighter can know when choosing.
type Fact uint8

// The facts.
const (
	FactRound Fact = iota
	FactTimeLeft
	FactRange
	FactCentre
	FactOwnFence
	FactTheirFence
	FactMatchUp
	FactOther
	FactOwnCondition
	FactOtherCondition
	FactLastAct
	FactLastResult
	FactTheirLast
	FactAhead
	FactLeadHand
	FactThreat
	FactCue
	NumFacts
)

type factRow struct {
	name   string
	values []string
}

var lastActs = []string{"none", "step", "hand", "feint", "punch", "kick", "takedown", "defence"}

var factTable = [NumFacts]factRow{
	{"round", []string{"1", "2", "3", "4", "5"}},
	{"time_left", []string{"over_2_min", "over_1_min", "over_30_s", "last_30_s"}},
	{"range", []string{"out", "kicking", "long", "pocket", "clinch", "ground"}},
	{"centre", []string{"mine", "theirs", "even"}},
	{"own_back_on_fence", []string{"yes", "no"}},
	{"their_back_on_fence", []string{"yes", "no"}},
	{"match_up", []string{"open", "closed"}},
	{"other", []string{"free", "committed", "recovering", "defending", "leg_caught", "hurt", "down"}},
	{"own_condition", []string{"fresh", "tired", "hurt"}},
	{"their_condition", []string{"fresh", "tired", "hurt"}},
	{"last_act", lastActs},
	{"last_result", []string{"none", "missed", "blocked", "landed", "hurt", "taken_down", "stuffed"}},
	{"their_last", lastActs},
	{"score", []string{"ahead", "level", "behind"}},
	{"lead_hand", []string{"denied", "free"}},
	{"threat", []string{"straight", "looping", "low_kick", "body_kick", "high_kick", "front_kick", "close", "shot"}},
	{"cue", []string{"hand", "hip", "leg", "level"}},
}

func (f Fact) String() string { return factTable[f].name }

// Values lists the fact's values by name.
func (f Fact) Values() []string { return factTable[f].values }

// FactNames lists all facts.
func FactNames() []string {
	names := make([]string, NumFacts)
	for f := range NumFacts {
		names[f] = f.String()
	}
	return names
}

var factOffset = func() (at [NumFacts]int) {
	n := 0
	for f := range NumFacts {
		at[f] = n
		n += len(factTable[f].values)
	}
	if n > 128 {
		panic("tactics: the facts need more than two words")
	}
	return at
}()

// Facts is what holds at one moment: one bit a value, one value a fact.
type Facts [2]uint64

// Set notes that a fact has its value of that index. Set each fact once.
func (f *Facts) Set(fact Fact, value int) {
	bit := factOffset[fact] + value
	f[bit>>6] |= 1 << (bit & 63)
}
