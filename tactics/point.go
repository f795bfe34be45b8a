// Package tactics holds game plans: what a fighter may know at a choice point, and rules that re-weight what they choose there. A
// plan touches choices, never chances: nothing here can reach a landing probability, a speed, a reach, a perception or a damage
// figure. Rules compile once, independent of any draw of figures, into multiples that sim applies to its choice tables. Which facts
// hold, when a coin says that a rule is followed, and what a table left without weight means, are left to sim.
package tactics

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// Point is a moment at which a fighter chooses.
type Point uint8

// The choice points.
const (
	Initiate Point = iota // free
	Believe               // an onset or cue is seen
	Defend                // an onset is believed
	Answer                // a defence is over
	Continue              // an own act is over
	Survive               // hurt or down
	NumPoints
)

var pointNames = [NumPoints]string{"initiate", "believe", "defend", "answer", "continue", "survive"}

func (p Point) String() string { return pointNames[p] }

// PointNames lists the choice points.
func PointNames() []string { return pointNames[:] }

var alternatives = func() (names [NumPoints][]string) {
	names[Initiate] = tape.MoveNames()
	names[Answer], names[Continue] = names[Initiate], names[Initiate]
	names[Believe] = []string{"real"}
	for r := range fighter.NumResponses {
		names[Defend] = append(names[Defend], r.String())
	}
	for s := range fighter.NumSurvivals {
		names[Survive] = append(names[Survive], s.String())
	}
	return names
}()

// Alternatives names what can be chosen at a point, in the order of choice: index i is tape.Move(i) at initiate, answer and
// continue, fighter.Response(i) at defend, fighter.Survival(i) at survive. Believe has one that rules touch: "real", the odds of
// taking an onset as real. The caller must not change the slice.
func Alternatives(at Point) []string { return alternatives[at] }
