package study

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"whatbout/internal/infer"
	"whatbout/tactics"
)

// Credit asks which rule of a plan does the work: what each does added alone to fighting as usual, what the plan loses when each is left out, and
// each one's share of what the whole plan changes ([infer.Shapley]). The shares add up to the plan's effect. All sets of rules are played on
// the same luck, bout by bout.
//
// Leaving a rule out reshuffles nothing for the others: a choice has one coin of adherence, and each rule that holds there is followed if the
// coin is below the rule's own share. A rule that re-weights nothing gets exactly zero; equal rules get equal shares.
//
// Up to ExactRules the shares go over all sets of rules, each played once. Of longer plans each draw takes one order of the rules and the way
// back along it ([infer.Walk]): the shares still add up in every bout, but what orders differ by is added to the doubts of a share.
type Credit struct {
	Meeting
	Plan         *tactics.Plan // with at least one rule
	OpponentPlan *tactics.Plan // nil: as usual
	Groups       [][]int       // of rules, by place in the plan from 0, whose shares are wanted together
	Draws        int           // from fewestCredited
	Bouts        int           // a draw and set of rules, from 2
	Level        float64       // of every interval, above 0.5 and below 1
	Workers      int           // 0: one a core; never changes the result
	Store        Store
	Progress     func(done, of int) // draws
	atOnce       int                // bouts held at a time; 0: mostAtOnce
}

// ExactRules is the longest plan whose shares go over all sets of rules.
const ExactRules = 5

// fewestCredited is as few draws as can be told from one another at all.
const fewestCredited = 4

// Run plays and shares out. Interrupted, it gives what the draws that were finished tell together with the context's error, if they are enough.
func (q *Credit) Run(ctx context.Context) (*CreditResult, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	s, err := newSharing(q)
	if err != nil {
		return nil, err
	}
	err = s.play(ctx)
	if err != nil && !interrupted(err) {
		return nil, err
	}
	if s.draws < fewestCredited {
		return nil, errors.Join(fmt.Errorf("%d draws were finished, too few to say anything", s.draws), err)
	}
	r := s.result()
	r.Partial = err != nil
	return r, err
}

func (q *Credit) check() error {
	switch {
	case q.Plan == nil || len(q.Plan.Rules) == 0:
		return errors.New("a plan without rules has nothing to share out")
	case q.Draws < fewestCredited || q.Bouts < 2:
		return fmt.Errorf("expected at least %d draws of 2 bouts", fewestCredited)
	case slices.ContainsFunc(slices.Concat(q.Groups...), func(i int) bool { return i < 0 || i >= len(q.Plan.Rules) }):
		return fmt.Errorf("a group has a rule that the plan has not: it has %d", len(q.Plan.Rules))
	case !(q.Level > .5 && q.Level < 1):
		return fmt.Errorf("a level of %v; expected above 0.5 and below 1", q.Level)
	}
	return nil
}

// CreditResult is what each rule does. Figures are per bout, in each measure's own unit.
type CreditResult struct {
	Exact    bool // the shares go over all sets of rules; false: over orders drawn
	Draws    int
	Bouts    int // a draw and set of rules
	Sets     int // of rules, in a draw
	Effect   Credited
	Usual    float64 // share of bouts won
	Rules    []RuleCredit
	Together Credited     // the plan's effect less the sum of what the rules do alone
	Pairs    []PairCredit // of every two rules, where all sets were played and there are more than two
	Groups   []Credited   // bouts won, by the groups that were asked for
	Outcomes []PlanMove   // what the whole plan moves, every measure
	Work     CreditWork
	Partial  bool
}

// Credited is what a rule, or several, does to one measure.
type Credited struct {
	Gain
	Luck     float64    `json:"luck_sd"` // of a single bout against the same bout without it
	Resolved Resolution `json:"sign_resolved"`
}

// RuleCredit is what one rule does to bouts won, and its share of everything else that the plan moves.
type RuleCredit struct {
	Rule    string     `json:"rule"`
	Share   Credited   `json:"share"`
	Alone   Credited   `json:"alone"`   // added to as usual
	Last    Credited   `json:"last"`    // what the plan loses when it is left out
	Depends Credited   `json:"depends"` // last less alone: what the other rules make of it
	Moves   []RuleMove `json:"moves"`
}

// RuleMove is what a rule does to a measure.
type RuleMove struct {
	Outcome string   `json:"outcome"`
	Share   Credited `json:"share"`
	Alone   float64  `json:"alone"`
	Last    float64  `json:"last"`
}

// PlanMove is what the whole plan does to a measure.
type PlanMove struct {
	Outcome string   `json:"outcome"`
	Usual   float64  `json:"as_usual"`
	Effect  Credited `json:"effect"`
}

// PairCredit is what two rules do together beyond what each does alone, the others left out.
type PairCredit struct {
	Rules    [2]int   `json:"rules"` // places in the plan, from 0
	Together float64  `json:"together"`
	Apart    float64  `json:"apart"` // the sum of what each does alone
	More     Credited `json:"more"`
}

// CreditWork is what was played, and what the plain way would have taken for shares as sure, in bouts: each rule for itself, with and without it,
// every bout on luck of its own.
type CreditWork struct {
	Bouts int `json:"bouts"`
	Plain int `json:"plain"`
}

// form is a question to a draw: a sum of margins over sets of rules.
type form = []infer.Margin
