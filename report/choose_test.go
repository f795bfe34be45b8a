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
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

// chose is a choice between plans over bouts of a minute.
func chose(t *testing.T, value string, acceptHarm bool, plans ...*tactics.Plan) *Choice {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	rules.Rounds, rules.RoundSeconds = 1, 60
	v, err := study.ReadValue(value)
	require.NoError(t, err)
	q := &study.Choice{
		Meeting: study.Meeting{Fighter: fighter.Population("red-fox", fighter.AverageBody()), Opponent: fighter.Population("newt", fighter.AverageBody()), Rules: rules, Seed: 3},
		Plans:   append([]*tactics.Plan{{Name: "as usual"}}, plans...), Value: v, Tolerance: .02, First: 60, Draws: 200, Bouts: 6, Level: .95, AcceptHarm: acceptHarm,
	}
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	c := NewChoice(q, r)
	c.Again = "whatbout choose"
	return c
}

// flat undoes the breaking of lines.
func flat(words string) string { return strings.Join(strings.Fields(words), " ") }

func choiceText(t *testing.T, c *Choice) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, c.Text(&b))
	out := b.String()
	for _, never := range []string{"NaN", "Inf", "%!", " \n"} {
		require.NotContains(t, out, never)
	}
	return out
}

// The text is made from the JSON alone: read back, it renders the same bytes.
func TestChoiceTextFromItsJSON(t *testing.T) {
	c := chose(t, "win", false, plan("hands", .8, "punches", 2), plan("feet", .6, "kicks", 3))
	var b bytes.Buffer
	require.NoError(t, c.JSON(&b))
	var back Choice
	require.NoError(t, json.Unmarshal(b.Bytes(), &back))
	require.Equal(t, SchemaOfChoice, back.Schema)
	var again bytes.Buffer
	require.NoError(t, back.JSON(&again))
	require.Equal(t, b.String(), again.String())
	require.Equal(t, choiceText(t, c), choiceText(t, &back))
	require.NotContains(t, b.String(), "null")
}

// A coach reads the answer first, then who stands where, what it costs, what more would win, where the doubt comes from, and how to get it again.
func TestChoiceTellsInOrder(t *testing.T) {
	c := chose(t, "win", false, plan("hands", .8, "punches", 2), plan("feet", .6, "kicks", 3))
	c.Warnings = []string{"a note"}
	out := choiceText(t, c)
	at := 0
	for _, want := range []string{"Red fox against Newt", "What counts: bouts won.", "Plans, bouts in 100", "hands", "Best with:", "Gain against price", "on the frontier", "Where the doubt about",
		"luck of a single bout", "tape", "assumption", "simulation", "Played:", "Note: a note", "Seed 3", "Cautions."} {
		next := strings.Index(out[at:], want)
		require.GreaterOrEqual(t, next, 0, "%s after\n%s", want, out[:at])
		at += next + 1
	}
	require.NotContains(t, out, "HARM")
}

// Harm that is accepted heads the report; harm that is not names the plan, the price and the rule, and the frontier shows the plan all the same.
func TestChoiceHarm(t *testing.T) {
	c := chose(t, "win", false, plan("hands", .8, "punches", 2))
	p := &c.Plans[1]
	p.Barred, p.Prices[0].Stand, p.Prices[0].Difference, p.Prices[0].Usual = true, study.Raises, 1.25, 20
	p.Prices[2].Stand, p.Prices[2].Difference = study.MayRaise, .0312
	c.Leader, c.AsGood, c.Verdict = "as usual", []string{"as usual"}, study.Settled
	out := choiceText(t, c)
	require.Contains(t, out, "Stay as usual: every other plan is kept out by its price.")
	require.Contains(t, out, "Kept out by what they cost")
	require.Contains(t, out, "raises clean head strikes absorbed by +1.25 on 20.00 a bout")
	require.Contains(t, out, "may raise lost by stoppage by +3.1 on")
	require.Contains(t, out, "The rule: kept out is a plan that raises one of the three (the 95 % interval")
	require.Contains(t, out, "2 % above as usual")
	require.Regexp(t, `(?m)^ . hands +\S+ +\+1\.25 `, out)

	c.AcceptHarm, p.Barred, c.Leader = true, false, "hands"
	out = choiceText(t, c)
	require.True(t, strings.HasPrefix(out, "HARM ACCEPTED (--accept-harm)"))
	require.Contains(t, out, "Take \"hands\".\n")
	require.Contains(t, out, "Its price:\n    raises clean head strikes absorbed")
	require.NotContains(t, out, "Kept out")

	none := chose(t, "win", true, &tactics.Plan{Name: "nothing"})
	require.Contains(t, flat(choiceText(t, none)), "None of these plans does")
}

// The three ends are told apart.
func TestChoiceEnds(t *testing.T) {
	c := chose(t, "win", false, &tactics.Plan{Name: "nothing"}, &tactics.Plan{Name: "none"})
	require.Equal(t, study.TooClose, c.Verdict)
	require.Contains(t, flat(choiceText(t, c)), "Too close to call: as usual, \"nothing\" or \"none\". Whichever of them is taken, as far as these bouts tell it gives away no more than 2.0 bouts in 100.")
	c.Verdict, c.Bound, c.Needed = study.RanOut, .031, 1234
	require.Contains(t, flat(choiceText(t, c)), "Not settled: as usual leads, but taking it may give away 3.1 bouts in 100 as far as these bouts tell, more than the 2.0 asked for; about 1200 draws")
	c.Verdict = study.Settled
	require.Contains(t, choiceText(t, c), "Stay as usual: no other plan that may be chosen comes out ahead.")
	require.NotContains(t, choiceText(t, c), "do not rule out")
	c.Plans[0].Against, c.Plans[1].Against = [2]float64{-.01, .02}, [2]float64{-.02, .01}
	require.Contains(t, choiceText(t, c), "these bouts do not rule out that \"nothing\" would do better on average")
	c.Ledger, c.Partial, c.Tape = study.Ledger{}, true, study.Buys{}
	require.Contains(t, choiceText(t, c), "not played (interrupted)")
	require.NotContains(t, choiceText(t, c), "Where the doubt")

	margin := chose(t, "margin", true, plan("hands", .8, "punches", 2))
	require.Contains(t, choiceText(t, margin), "judges' points in 100 bouts")
	weighed := chose(t, "win - 0.01*head_strikes_absorbed", true, plan("hands", .8, "punches", 2))
	require.Contains(t, choiceText(t, weighed), "What counts: win - 0.01*head_strikes_absorbed.")
	require.Contains(t, choiceText(t, weighed), "hundredths, as weighed")
}

func TestChoiceCSV(t *testing.T) {
	c := chose(t, "win", false, plan("hands", .8, "punches", 2), plan("feet", .6, "kicks", 3))
	c.Plans[2].Barred = true
	var b bytes.Buffer
	require.NoError(t, c.CSV(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 4)
	require.Equal(t, []string{"plan", "draws", "value", "gain"}, rows[0][:4])
	require.Equal(t, "head_strikes_absorbed", rows[0][15])
	require.Equal(t, "as usual", rows[1][0])
	require.Equal(t, number(c.Plans[1].Gain.Mean), rows[2][3])
	require.Equal(t, "true", rows[3][8])
	require.Empty(t, rows[3][9])
}

// A ledger says of each part how large it is, or at most is, and what would shrink it.
func TestLedgerText(t *testing.T) {
	l := study.Ledger{Plan: "hands", Against: "as usual", Figure: "win", Luck: study.Part{SD: .551, SDError: .0041, Told: true, AtMost: .56},
		Tape: study.Part{SD: .032, SDError: .004, Told: true, AtMost: .04}, Assumption: study.Part{SD: .02, AtMost: .05},
		Simulation: study.Part{SD: .0059, SDError: .0002, Told: true, AtMost: .007},
		Ways: []study.Way{{Part: "simulation", How: study.MoreDraws, From: .0059, To: [2]float64{.00295, .00295}, Bouts: 57600},
			{Part: "tape", How: study.TwiceTape, From: .032, To: [2]float64{.0226, .032}}, {Part: "assumption", How: study.Nothing}, {Part: "luck", How: study.Nothing}}}
	told := func() string {
		var b strings.Builder
		ledgerText(&b, &l, "bouts in 100")
		return b.String()
	}
	out := told()
	require.Contains(t, out, "\"hands\" less as usual")
	require.Regexp(t, `luck of a single bout +55\.10 ± 0\.41 +nothing shrinks it`, out)
	require.Regexp(t, `tape +3\.20 ± 0\.40 +twice the coded rounds: to between 2\.3 and 3\.2`, out)
	require.Regexp(t, `assumption +at most 5\.0 +not told from none`, out)
	require.Regexp(t, `simulation +0\.59 ± 0\.02 +four times the draws halve it: 57600 bouts more`, out)
	l.Ways[1].Played, l.Ways[1].To = true, [2]float64{.025, .025}
	require.Contains(t, told(), "twice the coded rounds: to about 2.5 (played)")
	l.Tape.Told = false
	require.Contains(t, told(), "would take up to three tenths off it")
	l.Tape = study.Part{}
	require.Regexp(t, `tape +none`, told())
}
