package tactics

// Fact is something that a fighter can know when choosing.
type Fact uint8

// The facts. Threat and cue are known at believe and defend only.
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
	FactLeadFoot // own lead foot against the other's
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
	{"lead_foot", []string{"outside", "inside", "level"}},
}

func (f Fact) String() string { return factTable[f].name }

// Values lists the fact's values by name; Facts.Set takes their indices. Rounds after the fifth count as the fifth.
func (f Fact) Values() []string { return factTable[f].values }

// Offset is the bit of the fact's first value, from 0 to 127.
func (f Fact) Offset() int { return factOffset[f] }

// knownAt reports whether a fighter can know the fact at a point.
func (f Fact) knownAt(at Point) bool {
	return f != FactThreat && f != FactCue || at == Believe || at == Defend
}

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

// Facts is what holds at one moment: one bit a value, at most one value a fact. A fact without a value is not known, and no rule
// that asks for it holds.
type Facts [2]uint64

// Set notes that a fact has its value of that index, from 0 to len(fact.Values())-1 (not checked). Set each fact once, starting from
// the zero Facts.
func (f *Facts) Set(fact Fact, value int) {
	bit := factOffset[fact] + value
	f[bit>>6] |= 1 << (bit & 63)
}

// Holds reports whether a fact has its value of that index.
func (f *Facts) Holds(fact Fact, value int) bool {
	bit := factOffset[fact] + value
	return f[bit>>6]>>(bit&63)&1 == 1
}
