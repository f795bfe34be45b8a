package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

// rulesOf is a plan of as many of these rules.
func rulesOf(n int) *tactics.Plan {
	p := &tactics.Plan{Name: "many things", Adherence: tactics.UsualAdherence, Rules: []tactics.Rule{
		{Name: "hands", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "punches", By: 3}}},
		{Name: "nothing new", At: tactics.Answer, Multiples: []tactics.Multiple{{What: "punches", By: 1}}},
		{Name: "answer", At: tactics.Answer, Multiples: []tactics.Multiple{{What: "punches", By: 4}}},
		{Name: "feet", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "kicks", By: 2}}},
		{Name: "stay", At: tactics.Defend, Multiples: []tactics.Multiple{{What: "step_back", By: 0}}},
		{Name: "believe less", At: tactics.Believe, Multiples: []tactics.Multiple{{What: "real", By: .5}}},
	}}
	p.Rules = p.Rules[:n]
	return p
}

// creditOf is which rule does the work over bouts of a minute.
func creditOf(t *testing.T, p *tactics.Plan, draws int) *Credit {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	rules.Rounds, rules.RoundSeconds = 1, 60
	q := &study.Credit{
		Meeting: study.Meeting{Fighter: fighter.Population("red-fox", fighter.AverageBody()), Opponent: fighter.Population("newt", fighter.AverageBody()), Rules: rules, Seed: 3},
		Plan:    p, Draws: draws, Bouts: 6, Level: .95,
	}
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	c := NewCredit(q, r)
	c.Again = "whatbout credit"
	return c
}

func creditText(t *testing.T, c *Credit) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, c.Text(&b))
	for line := range strings.Lines(b.String()) {
		require.LessOrEqual(t, len([]rune(line)), 150, line)
	}
	for _, never := range []string{"NaN", "Inf", "%!", " \n"} {
		require.NotContains(t, b.String(), never)
	}
	return b.String()
}

// The text is made from the JSON alone: read back, it renders the same bytes; of one rule, of several, of too many for all sets.
func TestCreditTextFromItsJSON(t *testing.T) {
	for _, n := range []int{1, 3, 6} {
		c := creditOf(t, rulesOf(n), 40)
		shown, err := Rounded(c)
		require.NoError(t, err)
		var first, second bytes.Buffer
		require.NoError(t, c.JSON(&first))
		require.NoError(t, shown.JSON(&second))
		require.True(t, bytes.Equal(first.Bytes(), second.Bytes()))
		require.False(t, strings.Contains(first.String(), "null"))
		var back Credit
		require.NoError(t, json.Unmarshal(first.Bytes(), &back))
		require.Equal(t, CreditSchema, back.Schema)
		require.Equal(t, creditText(t, shown.(*Credit)), creditText(t, &back))
	}
}

// A coach reads the answer first, then the figures behind it, what rules do to each other, what each moves and costs, and how to get it again.
func TestCreditTellsInOrder(t *testing.T) {
	c := creditOf(t, rulesOf(3), 100)
	c.Warnings = []string{"a note"}
	out := creditText(t, c)
	at := 0
	for _, want := range []string{"Red fox against Newt", "Which rule of \"many things\" does the work", "Of the ", "bouts in 100 by which", "\"nothing new\" does nothing", "In brackets",
		"Bouts won, in 100", "alone", "left out", "resolved", "all together", "Shapley", "Luck of a single bout", "What they ask for", "3 answer: straight after a defence, punches 4 times as often",
		"Together: alone", "pairs of rules", "The price", "clean head strikes absorbed", "straight punches thrown", "by their number", "Played:", "would take about", "Note: a note", "Seed 3", "Cautions."} {
		next := strings.Index(out[at:], want)
		require.GreaterOrEqual(t, next, 0, "%s after\n%s", want, out[:at])
		at += next + 1
	}
	require.NotContains(t, out, "one order")
	require.Contains(t, creditText(t, creditOf(t, rulesOf(6), 30)), "of a plan of more than 5 rules one order and the way back are drawn for each draw")

	nothing := rulesOf(2)
	nothing.Rules = nothing.Rules[1:]
	out = creditText(t, creditOf(t, nothing, 10))
	require.Contains(t, out, "No bout went differently")
	require.NotContains(t, out, "share")
	require.Contains(t, creditText(t, creditOf(t, rulesOf(1), 30)), "The plan has one rule, which does all of the")
}

// Every way in which a share can stand is said, the most helpful first and what is not told last.
func TestCreditRanks(t *testing.T) {
	c := creditOf(t, rulesOf(4), 10)
	set := func(x *study.Credited, mean, half float64, as study.Resolution) {
		x.Mean, x.Resolved, x.Simulation = mean, as, infer.Interval{Low: mean - half, High: mean + half}
	}
	set(&c.Effect, .043, .01, study.Resolved)
	set(&c.Credits[0].Share, .001, .01, study.Unresolved)
	set(&c.Credits[1].Share, 0, 0, study.Same)
	set(&c.Credits[2].Share, -.012, .004, study.MeanResolved)
	set(&c.Credits[3].Share, .054, .01, study.Resolved)
	c.Usual = .48
	require.Contains(t, creditText(t, c), `Of the +4.3 bouts in 100 by which "many things" moves what Red fox wins (48 as usual, 52 with it):
  "feet" does +5.4 (+4.4 to +6.4)
  "answer" takes away 1.2 (-1.6 to -0.8)
  "hands" is not told from nothing by so many bouts (-0.9 to +1.1)
  "nothing new" does nothing: no bout goes differently for it
`)
	set(&c.Together, .02, .01, study.MeanResolved)
	require.Contains(t, creditText(t, c), "Together: alone, the rules would add up to +2.3; together they do +4.3: they help each other by 2.0 (+1.0 to +3.0).")
	set(&c.Together, -.02, .01, study.MeanResolved)
	require.Contains(t, creditText(t, c), "together they do +4.3: they take 2.0 (-3.0 to -1.0) from each other.")
	set(&c.Credits[0].Depends, -.02, .01, study.Resolved)
	set(&c.Credits[0].Alone, .03, .01, study.Resolved)
	set(&c.Credits[0].Last, .01, .01, study.Resolved)
	require.Contains(t, creditText(t, c), `"hands" does less beside the others than alone: +1.0 last, +3.0 first (-2.0, -3.0 to -1.0)`)
}

func TestCreditCSV(t *testing.T) {
	c := creditOf(t, rulesOf(3), 10)
	var b bytes.Buffer
	require.NoError(t, c.CSV(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+4*len(study.Measures))
	require.Equal(t, []string{"", "win"}, rows[1][:2])
	require.Equal(t, []string{"hands", "win"}, rows[1+len(study.Measures)][:2])
}

// A result that lacks something is refused in words.
func TestCreditLacks(t *testing.T) {
	for what, spoil := range map[string]func(*Credit){
		"do not go together": func(c *Credit) { c.Asks = nil }, "outcomes of": func(c *Credit) { c.Outcomes = c.Outcomes[1:] },
		"has no win": func(c *Credit) { c.Credits[1].Moves = nil }, "pair": func(c *Credit) { c.Pairs[0].Rules[1] = 7 },
		"no outcome win": func(c *Credit) { c.Outcomes[0].Outcome = "luck" },
	} {
		c := creditOf(t, rulesOf(3), 4)
		spoil(c)
		var b bytes.Buffer
		require.NoError(t, c.JSON(&b))
		_, err := Read("spoilt.json", b.Bytes())
		require.ErrorContains(t, err, what)
	}
}
