package fighter

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"whatbout/tape"
)

// Habit answers a question of a sketch: how often somebody does something.
type Habit uint8

// The answers: as often as the population, half as often, twice as often.
const (
	Sometimes Habit = iota
	Rarely
	Often
)

var habitNames = [3]string{"sometimes", "rarely", "often"}

func (h Habit) String() string { return habitNames[h] }

// multiple is what an answer makes of rates, weights and the odds of biting (judgements: no figure published; people who say often or
// rarely of a habit seem to mean about that much).
func (h Habit) multiple() float64 { return [3]float64{1, .5, 2}[h] }

// How much a sketch counts for, less than the population since nobody has seen tape: a table as so many choices, log-odds with so many times
// the population's standard deviation. All judgements. Sizes keep the population's spread: they are assumptions for everybody.
const (
	sketchTable = 6
	sketchWider = 1.5
)

// sketchCounts is how many counts stand behind a rate per second: 2 where the population has 3, more for what is done most. Fewer would
// make the acts of some draws faster than a bout can follow (with these none of 300,000 draws of any archetype was; judgements).
func sketchCounts(rate float64) float64 { return max(2, min(12*rate, 3), 5*rate) }

// Question asks how often a fighter does something.
type Question struct {
	Name  string // as in files
	Words string
	moves []tape.Move // begun, answered with and continued with
	only  string      // moves: at this choice point alone, "answer" or "continue"; "": at all
	parts []Response  // tried against a threat
	bites []Cue
}

var (
	sketchPunches = []tape.Move{tape.MoveJab, tape.MoveJabBody, tape.MoveCross, tape.MoveCrossBody, tape.MoveLeadHook, tape.MoveLeadHookBody,
		tape.MoveRearHook, tape.MoveRearHookBody, tape.MoveOverhand, tape.MoveUppercut}
	sketchLowKicks  = []tape.Move{tape.MoveLowKickCalf, tape.MoveLowKickInside, tape.MoveLowKickOutside}
	sketchHighKicks = []tape.Move{tape.MoveFrontKick, tape.MoveSideKick, tape.MoveBodyKick, tape.MoveHighKick}
	sketchStrikes   = slices.Concat(sketchPunches, sketchLowKicks, sketchHighKicks, []tape.Move{tape.MoveSpin, tape.MoveKnee, tape.MoveElbow})
)

var questions = []Question{
	{Name: "presses_forward", Words: "presses forward", moves: []tape.Move{tape.MoveStepIn, tape.MoveCutOff}},
	{Name: "gives_ground", Words: "gives ground when attacked", moves: []tape.Move{tape.MoveStepBack}, only: "answer", parts: []Response{StepBack}},
	{Name: "circles", Words: "circles, off the fence and out of the way", moves: []tape.Move{tape.MoveCircleLeft, tape.MoveCircleRight}},
	{Name: "jabs", Words: "jabs", moves: []tape.Move{tape.MoveJab, tape.MoveJabBody}},
	{Name: "hand_fights", Words: "hand-fights", moves: []tape.Move{tape.MoveHandFight}, parts: []Response{HandFight}},
	{Name: "feints_with_hips", Words: "feints with the hips", moves: []tape.Move{tape.MoveFeintHip}},
	{Name: "bites_on_hips", Words: "bites on feints with the hips", bites: []Cue{Hip}},
	{Name: "bites_on_hands", Words: "bites on feints with the hands", bites: []Cue{Hand}},
	{Name: "low_kicks", Words: "kicks low", moves: sketchLowKicks},
	{Name: "kicks_above_waist", Words: "kicks above the waist", moves: sketchHighKicks},
	{Name: "shoots", Words: "shoots", moves: []tape.Move{tape.MoveShoot}},
	{Name: "ties_up", Words: "ties up", moves: []tape.Move{tape.MoveTieUp}},
	{Name: "fires_back", Words: "fires back after defending", moves: sketchStrikes, only: "answer"},
	{Name: "combinations", Words: "throws in combinations", moves: sketchStrikes, only: "continue"},
	{Name: "switches_stance", Words: "switches stance", moves: []tape.Move{tape.MoveSwitchStance}},
}

// Questions lists what a sketch asks, in order.
func Questions() []Question { return slices.Clone(questions) }

// archetypes answer the questions that make them what they are; the rest is as the population does. The names and what they mean are ours:
// presser walks people down and fires back; out_fighter keeps the distance, moves and jabs; counter_puncher waits and answers; kicker scores
// with the legs behind feints; wrestler closes in to take down or tie up.
var archetypes = []struct {
	name, words string
	answers     map[string]Habit
}{
	{"presser", "walks people down, gives no ground and fires back", map[string]Habit{"presses_forward": Often, "gives_ground": Rarely, "circles": Rarely,
		"fires_back": Often, "combinations": Often}},
	{"out_fighter", "keeps the distance, moves and jabs", map[string]Habit{"presses_forward": Rarely, "circles": Often, "jabs": Often, "gives_ground": Often,
		"ties_up": Rarely}},
	{"counter_puncher", "waits, believes little and answers", map[string]Habit{"presses_forward": Rarely, "fires_back": Often, "combinations": Often,
		"bites_on_hands": Rarely, "bites_on_hips": Rarely}},
	{"kicker", "scores with the legs behind feints with the hips", map[string]Habit{"feints_with_hips": Often, "low_kicks": Often, "kicks_above_waist": Often,
		"combinations": Rarely, "ties_up": Rarely}},
	{"wrestler", "closes in to take down or tie up", map[string]Habit{"presses_forward": Often, "shoots": Often, "ties_up": Often, "hand_fights": Often,
		"kicks_above_waist": Rarely}},
}

// Archetypes lists the archetypes, each with what it means.
func Archetypes() (names, words []string) {
	for _, a := range archetypes {
		names, words = append(names, a.name), append(words, a.words)
	}
	return names, words
}

// Sketch is what somebody who has no tape says of a fighter.
type Sketch struct {
	ID        string
	Archetype string // one of [Archetypes]; "" for none
	Body      Body
	Answers   map[string]Habit // by [Question.Name]; what is left out is the archetype's answer, else Sometimes
}

// Answer gives the answer that counts for a question.
func (s *Sketch) Answer(question string) Habit {
	if a, ok := s.Answers[question]; ok {
		return a
	}
	for _, a := range archetypes {
		if a.name == s.Archetype {
			return a.answers[question]
		}
	}
	return Sometimes
}

// Check reports what is wrong with a sketch; nil means nothing.
func (s *Sketch) Check() error {
	names, _ := Archetypes()
	switch {
	case s.ID == "":
		return fmt.Errorf("fighter: a sketch without an id")
	case s.Archetype != "" && !slices.Contains(names, s.Archetype):
		return fmt.Errorf("fighter: archetype %q; expected one of %s", s.Archetype, strings.Join(names, ", "))
	case s.Body.Check() != "":
		return fmt.Errorf("fighter: %s", s.Body.Check())
	}
	return nil
}

// Profile makes the population's profile into the sketch's: multiples of rates and weights, shifts of bites, all of it wider than the
// population and marked assumption. Weights that two answers touch are multiplied by both; a table then sums to what it did, so that what is
// answered often is chosen more at the cost of the rest. It panics if [Sketch.Check] finds a fault.
func (s *Sketch) Profile() *Profile { return s.ProfileFrom(Shipped()) }

// ProfileFrom is Profile from another population.
func (s *Sketch) ProfileFrom(population *PopulationFile) *Profile {
	if err := s.Check(); err != nil {
		panic(err.Error())
	}
	p := population.Profile(s.ID, s.Body)
	for i := range questions {
		p.apply(&questions[i], s.Answer(questions[i].Name).multiple())
	}
	for f, post := range p.Figures {
		law := definitions[f].Law
		if law == Skill || post.A > 0 { // what the population never does is no figure of a profile
			p.Figures[f], p.Sources[f] = widened(post, law), FromAssumption
		}
	}
	for _, table := range choiceTables() {
		p.rescale(table, sketchTable)
	}
	return p
}

// apply multiplies what a question is about.
func (p *Profile) apply(q *Question, by float64) {
	for _, m := range q.moves {
		for z := range NumZones {
			if q.only == "" {
				p.Figures[Initiate(z, m)].B /= by // as many counts in less or more time
			}
		}
		for z := range ExchangeZones {
			if q.only != "continue" {
				p.Figures[Answer(z, m)].A *= by
			}
			if q.only != "answer" {
				p.Figures[Continue(z, m)].A *= by
			}
		}
	}
	for _, r := range q.parts {
		for t := range NumThreats {
			p.Figures[Defend(t, r)].A *= by
		}
	}
	for _, c := range q.bites {
		p.Figures[Bite(c)].A += math.Log(by)
	}
}

// widened keeps a figure's centre and takes away from what stands behind it.
func widened(post Posterior, law Law) Posterior {
	switch law {
	case Rate:
		counts := sketchCounts(post.A / post.B)
		return Posterior{counts, counts * post.B / post.A}
	case Skill:
		return Posterior{post.A, post.B * sketchWider}
	}
	return post
}

// choiceTables lists the figures of every table of choices.
func choiceTables() (out [][]Figure) {
	for z := range ExchangeZones {
		var answer, carry []Figure
		for m := range tape.NumMoves {
			answer, carry = append(answer, Answer(z, m)), append(carry, Continue(z, m))
		}
		out = append(out, answer, carry)
	}
	for t := range NumThreats {
		var table []Figure
		for r := range NumResponses {
			table = append(table, Defend(t, r))
		}
		out = append(out, table)
	}
	return out
}

// rescale makes the weights of a table sum to total.
func (p *Profile) rescale(table []Figure, total float64) {
	sum := 0.0
	for _, f := range table {
		sum += p.Figures[f].A
	}
	for _, f := range table {
		p.Figures[f].A *= total / sum
	}
}
