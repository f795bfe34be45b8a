package fighter

import (
	"fmt"

	"whatbout/tape"
)

// Figure names one number of a profile; it is an index into a [Draw].
type Figure int

// Law is the shape of a figure's posterior.
type Law uint8

// The laws.
const (
	Rate   Law = iota // gamma: A counts in B seconds
	Weight            // gamma(A, 1) times B (0: times 1); the weights of a table together are Dirichlet where all B are 0
	Skill             // normal: A ± B, log-odds
	Size              // lognormal: median A, standard deviation B of its logarithm
)

// Doubt says what would make a figure surer.
type Doubt uint8

// The doubts.
const (
	Tape       Doubt = iota // more coded tape
	Assumption              // neither tape nor bouts: the literature does not settle it and tape cannot show it
)

// Definition describes a figure.
type Definition struct {
	Name  string
	Unit  string
	Law   Law
	Doubt Doubt
}

// First figures of the blocks; the rest of a block follows by index.
var (
	initiateBase = Figure(0)
	answerBase   = initiateBase + Figure(NumZones)*Figure(tape.NumMoves)
	continueBase = answerBase + ExchangeZones*Figure(tape.NumMoves)
	defendBase   = continueBase + ExchangeZones*Figure(tape.NumMoves)
	surviveBase  = defendBase + Figure(NumThreats)*Figure(NumResponses)
	holdBase     = surviveBase + Figure(NumSurvivals)
	senseBase    = holdBase + Figure(NumHolds)
	biteBase     = senseBase + Figure(NumCues)
	attackBase   = biteBase + Figure(NumCues)
	defenceBase  = attackBase + Figure(NumFamilies)
	placeBase    = defenceBase + Figure(NumFamilies)
	ownBase      = placeBase + Figure(NumPlaces)*Figure(NumSorts)
	theirBase    = ownBase + Figure(NumAfters) - 1
	sizeBase     = theirBase + Figure(NumAfters-AfterFeint)
)

// Initiate gives the rate, per free second in the zone, at which the fighter begins the move.
func Initiate(z Zone, m tape.Move) Figure {
	return initiateBase + Figure(z)*Figure(tape.NumMoves) + Figure(m)
}

// Answer gives the weight of a move once an attack by the other is over; zone is an [Zone.Exchange] index.
func Answer(zone int, m tape.Move) Figure {
	return answerBase + Figure(zone)*Figure(tape.NumMoves) + Figure(m)
}

// Continue gives the weight of a move once an own act is over; zone is an [Zone.Exchange] index.
func Continue(zone int, m tape.Move) Figure {
	return continueBase + Figure(zone)*Figure(tape.NumMoves) + Figure(m)
}

// Defend gives the weight of a response to a believed threat.
func Defend(t Threat, r Response) Figure {
	return defendBase + Figure(t)*Figure(NumResponses) + Figure(r)
}

// Survive gives the weight of a way to survive.
func Survive(s Survival) Figure { return surviveBase + Figure(s) }

// Holding gives the weight of what is done with a kick that was caught.
func Holding(h Hold) Figure { return holdBase + Figure(h) }

// Sense gives how far apart real and empty onsets of a cue look, in log-odds (0: no telling).
func Sense(c Cue) Figure { return senseBase + Figure(c) }

// Bite gives the log-odds of believing an onset of a cue that looks half real and half empty, at the start of a bout.
func Bite(c Cue) Figure { return biteBase + Figure(c) }

// Attack gives the skill with a family of acts, in log-odds of success above the population.
func Attack(f Family) Figure { return attackBase + Figure(f) }

// Defence gives the skill against a family of acts, in log-odds of the other's success below the population.
func Defence(f Family) Figure { return defenceBase + Figure(f) }

// The figures that stand alone. All are assumptions: tape does not show them.
const (
	Learning         = iota // share of the learned log-odds that a fighter takes over into belief
	ReactionSimple          // s
	ReactionChoice          // s
	Anticipation            // share of onsets read before they begin
	AnticipationLead        // s gained by anticipation
	HandTime                // multiple of the technique's usual time
	KickTime
	StepTime
	Retraction // multiple of the usual retraction time
	StepLength // m
	HandPower  // multiple
	KickPower
	Chin // multiple of what the population takes before it is hurt
	Trunk
	Legs
	Tiring
	Recovery
	SurgeHurt // multiple of attack rates when the other is hurt
	numSizes
)

var sizeNames = [numSizes][2]string{
	{"learning", "share"}, {"reaction.simple", "s"}, {"reaction.choice", "s"}, {"anticipation", "share"}, {"anticipation.lead", "s"},
	{"time.hands", "multiple"}, {"time.kicks", "multiple"}, {"time.steps", "multiple"}, {"retraction", "multiple"}, {"step", "m"},
	{"power.hands", "multiple"}, {"power.kicks", "multiple"}, {"chin", "multiple"}, {"trunk", "multiple"}, {"legs", "multiple"},
	{"tiring", "multiple"}, {"recovery", "multiple"}, {"surge", "multiple"},
}

// Alone gives one of the figures that stand alone.
func Alone(i int) Figure { return sizeBase + Figure(i) }

var (
	definitions []Definition
	byName      = map[string]Figure{}
)

// NumFigures is how many figures a profile has.
func NumFigures() int { return len(definitions) }

// Define gives the definition of a figure.
func Define(f Figure) Definition { return definitions[f] }

// Named gives the figure of that name.
func Named(name string) (Figure, bool) {
	f, ok := byName[name]
	return f, ok
}

func define(d Definition) {
	byName[d.Name] = Figure(len(definitions))
	definitions = append(definitions, d)
}

func init() {
	for z := range NumZones {
		for m := range tape.NumMoves {
			define(Definition{fmt.Sprintf("initiate.%s.%s", z, m), "per free second", Rate, Tape})
		}
	}
	for _, table := range []string{"answer", "continue"} {
		for z := range ExchangeZones {
			for m := range tape.NumMoves {
				define(Definition{fmt.Sprintf("%s.%s.%s", table, Kicking+Zone(z), m), "weight", Weight, Tape})
			}
		}
	}
	for t := range NumThreats {
		for r := range NumResponses {
			define(Definition{fmt.Sprintf("defend.%s.%s", t, r), "weight", Weight, Tape})
		}
	}
	for s := range NumSurvivals {
		define(Definition{"survive." + s.String(), "weight", Weight, Assumption})
	}
	for h := range NumHolds {
		define(Definition{"hold." + h.String(), "weight", Weight, Assumption})
	}
	for c := range NumCues {
		define(Definition{"sense." + c.String(), "log-odds", Skill, Tape})
	}
	for c := range NumCues {
		define(Definition{"bite." + c.String(), "log-odds", Skill, Tape})
	}
	for f := range NumFamilies {
		define(Definition{"attack." + f.String(), "log-odds", Skill, Tape})
	}
	for f := range NumFamilies {
		define(Definition{"defence." + f.String(), "log-odds", Skill, Tape})
	}
	for p := range NumPlaces {
		for s := range NumSorts {
			define(Definition{fmt.Sprintf("place.%s.%s", p, s), "multiple", Size, Tape})
		}
	}
	for a := AfterStep; a < NumAfters; a++ {
		define(Definition{"after.own." + a.String(), "multiple", Size, Tape})
	}
	for a := AfterFeint; a < NumAfters; a++ {
		define(Definition{"after.their." + a.String(), "multiple", Size, Tape})
	}
	for i := range numSizes {
		define(Definition{sizeNames[i][0], sizeNames[i][1], Size, Assumption})
	}
}
