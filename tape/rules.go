package tape

import (
	"fmt"
	"sort"
	"strings"
)

// Area is the fighting area: a circle, a regular polygon or a square.
type Area struct {
	Shape    string  // circle, polygon or square
	Sides    int     // of a polygon
	Diameter float64 // m between opposite sides, inside the fence or ropes
}

// RuleSet is what a bout is fought under.
type RuleSet struct {
	Name           string
	Rounds         int
	RoundSeconds   int
	Area           Area
	Allowed        [NumMoves]bool
	Clinch, Ground bool    // whether the pair may stay there
	BreakSeconds   float64 // the referee separates a clinch after this long without work
	StandUpSeconds float64 // and stands a ground phase up after this long
	Count          bool    // a knocked-down fighter is counted instead of followed to the ground
	MaxKnockdowns  int     // in a round; 0: no limit
}

// ruleSets holds the built-in rule sets. MMA: three or five rounds of five minutes in a circle or an area of at least eight sides 6.1 to
// 9.8 m across (Unified Rules of MMA). Boxing: ring of 4.9 to 7.3 m, three-minute rounds (state rules: Md. 09.14.05.01, Ohio
// 3773-2-11); kickboxing rings as in boxing (Md.). Break, stand-up and count times: common practice, no source.
var ruleSets = map[string]RuleSet{
	"mma-3x5": {Name: "mma-3x5", Rounds: 3, RoundSeconds: 300, Area: Area{"polygon", 8, 9.1}, Clinch: true, Ground: true,
		BreakSeconds: 25, StandUpSeconds: 40},
	"mma-5x5": {Name: "mma-5x5", Rounds: 5, RoundSeconds: 300, Area: Area{"polygon", 8, 9.1}, Clinch: true, Ground: true,
		BreakSeconds: 25, StandUpSeconds: 40},
	"kickboxing-3x3": {Name: "kickboxing-3x3", Rounds: 3, RoundSeconds: 180, Area: Area{"square", 4, 6.1}, Clinch: true,
		BreakSeconds: 4, Count: true, MaxKnockdowns: 3},
	"boxing-3x3": {Name: "boxing-3x3", Rounds: 3, RoundSeconds: 180, Area: Area{"square", 4, 6.1}, Clinch: true,
		BreakSeconds: 3, Count: true, MaxKnockdowns: 3},
}

// forbidden lists, by kind of rule set, the moves that are not allowed.
var forbidden = map[string][]Move{
	"mma":        nil,
	"kickboxing": {MoveShoot, MoveTrip, MoveSweep, MoveGroundStrike, MoveSubmission, MoveElbow},
	"boxing": {MoveShoot, MoveTrip, MoveSweep, MoveGroundStrike, MoveSubmission, MoveElbow, MoveKnee, MoveFrontKick, MoveSideKick,
		MoveLowKickCalf, MoveLowKickInside, MoveLowKickOutside, MoveBodyKick, MoveHighKick, MoveRaiseKnee, MoveFeintHip, MoveFeintLeg,
		MoveFeintLevel, MoveSpin},
}

// RuleSetNamed gives a built-in rule set.
func RuleSetNamed(name string) (*RuleSet, error) {
	r, ok := ruleSets[name]
	if !ok {
		return nil, fmt.Errorf("no rule set is called %q; known are %s", name, strings.Join(RuleSetNames(), ", "))
	}
	for m := range r.Allowed {
		r.Allowed[m] = true
	}
	kind, _, _ := strings.Cut(name, "-")
	for _, m := range forbidden[kind] {
		r.Allowed[m] = false
	}
	return &r, nil
}

// RuleSetNames lists the built-in rule sets.
func RuleSetNames() []string {
	names := make([]string, 0, len(ruleSets))
	for name := range ruleSets {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}
