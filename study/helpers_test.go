package study

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tactics"
	"whatbout/tape"
)

var asUsual = &tactics.Plan{Name: "as usual"}

// close is a plan that changes much.
var stayClose = &tactics.Plan{
	Name: "close", Adherence: tactics.UsualAdherence,
	Rules: []tactics.Rule{
		{Name: "no step back", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "step_back", By: 0}}},
		{Name: "punch", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "punches", By: 2}},
			When: map[tactics.Fact][]int{tactics.FactRange: {2, 3}}},
		{Name: "answer", At: tactics.Answer, Multiples: []tactics.Multiple{{What: "punches", By: 3}}},
		{Name: "doubt the hip", At: tactics.Believe, Multiples: []tactics.Multiple{{What: "real", By: .5}},
			When: map[tactics.Fact][]int{tactics.FactCue: {1}}},
	},
}

// short is a bout of one minute, so that many can be played.
func short(t *testing.T) *tape.RuleSet {
	t.Helper()
	r, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	r.Name, r.Rounds, r.RoundSeconds = "short", 1, 60
	return r
}

// comparison is one of average fighters over short bouts.
func comparison(t *testing.T, plans ...*tactics.Plan) *Comparison {
	t.Helper()
	return &Comparison{
		Fighter: fighter.Population("mole", fighter.AverageBody()), Opponent: fighter.Population("newt", fighter.AverageBody()),
		Plans: plans, Rules: short(t), Seed: 5, Draws: 20, Bouts: 4, Level: .95,
	}
}

func run(t *testing.T, q *Comparison) *Result {
	t.Helper()
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	return r
}

func text(t *testing.T, r *Result) string {
	t.Helper()
	data, err := json.Marshal(r)
	require.NoError(t, err)
	return string(data)
}
