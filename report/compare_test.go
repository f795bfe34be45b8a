package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

func plan(name string, share float64, what string, by float64) *tactics.Plan {
	return &tactics.Plan{Name: name, Intent: "more " + what, Adherence: tactics.Adherence{Share: share, SD: .05}, Rules: []tactics.Rule{
		{Name: name + " it is", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: what, By: by}}},
		{Name: name + " in answer", At: tactics.Answer, Multiples: []tactics.Multiple{{What: what, By: by}}}}}
}

// compared is a comparison of two plans over bouts of a minute.
func compared(t *testing.T, plans ...*tactics.Plan) *Comparison {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	rules.Rounds, rules.RoundSeconds = 1, 60
	q := &study.Comparison{
		Fighter: fighter.Population("red-fox", fighter.AverageBody()), Opponent: fighter.Population("newt", fighter.AverageBody()),
		Plans: append([]*tactics.Plan{{Name: "as usual"}}, plans...), Rules: rules, Seed: 3, Draws: 200, Bouts: 4, Level: .95,
	}
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	c := NewComparison(q, r)
	c.Again = "whatbout compare"
	return c
}

func textOf(t *testing.T, c *Comparison) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, c.Text(&b))
	return b.String()
}

// Every plan gets its own answer and its own table of every kind, in the order in which a coach asks.
func TestTextTellsEveryPlan(t *testing.T) {
	out := textOf(t, compared(t, plan("hands", .8, "punches", 2), plan("feet", .6, "kicks", 3)))
	require.Regexp(t, `Of 100 such bouts Red fox wins \d+ as usual, \d+ with "hands" and \d+ with "feet"\.`, out)
	at := 0
	for _, want := range []string{"Hands: more punches.", "simulation:", "95 % confidence interval", "tape:", "all doubt:", "the chance that the plan is better",
		"Judges' margin", "Followed at every decision", "Pairing on the same luck", "Feet: more kicks.", "Played:",
		"How bouts end, of 100", "How bouts end, of 100", "The price", "The price", "On the way: where", "On the way: where", "On the way: acts", "On the way: acts",
		`What "hands" re-weights`, `What "feet" re-weights`, "What Red fox rests on", "What Newt rests on", "Note: prior only", "Seed 3", "Cautions."} {
		next := strings.Index(out[at:], want)
		require.GreaterOrEqual(t, next, 0, "%s after\n%s", want, out[:at])
		at += next + 1
	}
	require.NotContains(t, out, "NaN")
	require.NotContains(t, out, "Inf")
	require.NotContains(t, out, "%!")
	for line := range strings.Lines(out) {
		require.Equal(t, strings.TrimRight(line, " \n"), strings.TrimSuffix(line, "\n"), "no blanks at the end of lines")
	}
}

// Every number with decimals that the text shows is one of the JSON's, as it is or as so many in 100.
func TestTextIsInTheJSON(t *testing.T) {
	c := compared(t, plan("hands", .8, "punches", 2))
	c.Again = "whatbout compare"
	c.Truth = map[string]float64{"as usual": .4321, "hands": .5432}
	var b bytes.Buffer
	require.NoError(t, c.JSON(&b))
	var tree any
	require.NoError(t, json.Unmarshal(b.Bytes(), &tree))
	known := []float64{.5432 - .4321} // of two truths, the difference
	var walk func(any)
	walk = func(v any) {
		switch v := v.(type) {
		case float64:
			known = append(known, math.Abs(v))
		case []any:
			for _, x := range v {
				walk(x)
			}
		case map[string]any:
			for _, x := range v {
				walk(x)
			}
		}
	}
	walk(tree)
	numbers := regexp.MustCompile(`\d+\.(\d+)`).FindAllStringSubmatch(textOf(t, c), -1)
	require.Greater(t, len(numbers), 200)
	for _, n := range numbers {
		shown, err := strconv.ParseFloat(n[0], 64)
		require.NoError(t, err)
		rounding := .5000001 * math.Pow(10, -float64(len(n[1])))
		require.True(t, slices.ContainsFunc(known, func(x float64) bool {
			return math.Abs(x-shown) <= rounding || math.Abs(100*x-shown) <= rounding+1e-4 // six digits of a share
		}), n[0])
	}
}

func TestJSONKeepsSixDigitsAndTheSchema(t *testing.T) {
	c := compared(t, plan("hands", .8, "punches", 2))
	var b bytes.Buffer
	require.NoError(t, c.JSON(&b))
	var o struct {
		Schema      string
		Differences []map[string]any
		Plans       []struct {
			Outcomes   map[string]map[string]any
			Reweighted []map[string]any
		}
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &o))
	require.Equal(t, "whatbout.compare/1", o.Schema)
	require.Len(t, o.Differences, len(study.Measures))
	for _, d := range o.Differences {
		for _, key := range []string{"plan", "baseline", "outcome", "mean", "simulation", "tape", "all_doubt", "probability_better", "pairs", "correlation"} {
			require.Contains(t, d, key)
		}
		require.Subset(t, d["simulation"], map[string]any{"level": .95})
	}
	require.NotEmpty(t, o.Plans[1].Reweighted)
	for _, n := range regexp.MustCompile(`: (-?[0-9][0-9.e+-]*)`).FindAllStringSubmatch(b.String(), -1) {
		x, err := strconv.ParseFloat(n[1], 64)
		require.NoError(t, err)
		require.Equal(t, six(x), x)
	}
	c.Plans[0].Outcomes["win"] = study.Doubts{Mean: math.NaN()}
	require.Error(t, c.JSON(&b), "a number that is not finite is never written")
}

func TestCSVHasARowAPlanAndOutcome(t *testing.T) {
	c := compared(t, plan("hands", .8, "punches", 2))
	c.Plans[1].Name, c.Differences[0].Plan = `a "quoted", name`, `a "quoted", name`
	var b bytes.Buffer
	require.NoError(t, c.CSV(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+2*len(study.Measures))
	require.Equal(t, csvHeader, rows[0])
	require.Equal(t, `a "quoted", name`, rows[len(rows)-1][0])
	require.Equal(t, number(c.Differences[0].ProbabilityBetter), rows[1+len(study.Measures)][16])
}

// A plan that changes nothing is said to, and nothing divides by nothing.
func TestTextOfEqualPlans(t *testing.T) {
	nothing := &tactics.Plan{Name: "no change", Adherence: tactics.Adherence{Share: 1}}
	out := textOf(t, compared(t, nothing))
	require.Contains(t, out, "No bout went differently")
	require.Contains(t, out, "The difference is 0.0 bouts in 100.")
	require.Contains(t, out, "none at all")
	require.NotContains(t, out, "Pairing")
	require.NotContains(t, out, "re-weights")
	require.NotContains(t, out, "NaN")
}
