package report

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

func partingOf(t *testing.T, bout int, plans ...*tactics.Plan) *Parting {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	rules.Rounds, rules.RoundSeconds = 1, 60
	q := &study.One{Fighter: fighter.Population("red-fox", fighter.AverageBody()), Opponent: fighter.Population("newt", fighter.AverageBody()), Rules: rules,
		Plan: plans[0], Seed: 3, Draw: 1, Bout: bout}
	parting, err := q.Part(plans[1])
	require.NoError(t, err)
	p := &Parting{Parting: parting, Inputs: []Input{}, Warnings: []string{"a note"}, Again: "whatbout part"}
	for i, plan := range plans {
		p.Stories[i] = &Story{Names: [2]string{"red-fox", "newt"}, Plans: [2]string{plan.Name, "as usual"}, Rules: rules, Seed: 3, Draw: 1, Bout: bout, Events: parting.Bouts[i].Events,
			Outcome: parting.Bouts[i].Outcome}
	}
	return p
}

// Whatever the moment is, what both did is said, with the rule that holds there, how the number fell, and how both end; in text and in JSON alike.
func TestPartingIsTold(t *testing.T) {
	usual, points, begunNothing := &tactics.Plan{Name: "as usual"}, map[tactics.Point]int{}, 0
	for bout := range 80 {
		p := partingOf(t, bout, usual, rulesOf(6))
		var b, j bytes.Buffer
		require.NoError(t, p.Text(&b))
		require.NoError(t, p.JSON(&j))
		out := b.String()
		require.NotContains(t, out, "%!")
		if !p.Parts {
			require.Contains(t, out, "They never part")
			continue
		}
		points[p.Moment.At]++
		at := 0
		for _, want := range []string{"Red fox against Newt, mma-3x5. One bout (seed 3, draw 1", "They are the same bout until round 1, " + Clock(p.Moment.Clock), "  as usual: ", "  \"many things\": ",
			"What stood behind it with \"many things\"", "Plan (many things): ", "followed this time", "How they end", "as usual: ", "\"many things\": ", "Note: a note", "whatbout part"} {
			next := strings.Index(out[at:], want)
			require.GreaterOrEqual(t, next, 0, "%s after\n%s", want, out[:at])
			at += next + 1
		}
		if strings.Contains(out, "begins nothing.") && strings.Contains(out, "nothing begins.") {
			begunNothing++
		}
		var back struct {
			Micros int64 `json:"clock_microseconds"`
			Row    int   `json:"first_row_that_differs"`
			Sides  []struct {
				Did, Told, Ending string
				Row               *int
			}
		}
		require.NoError(t, json.Unmarshal(j.Bytes(), &back))
		require.Equal(t, p.Moment.Clock, back.Micros)
		require.Equal(t, p.Row, back.Row)
		for i, side := range back.Sides {
			require.Equal(t, p.Bouts[i].Did(), side.Did)
			require.Contains(t, out, side.Told)
			require.Contains(t, out, side.Ending)
			require.Equal(t, p.Bouts[i].Act >= 0, side.Row != nil)
		}
	}
	require.Greater(t, len(points), 3, "%v", points)
	require.Positive(t, points[tactics.Believe])
	require.Positive(t, begunNothing)
}

func TestPartingOfEquals(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, partingOf(t, 1, rulesOf(6), rulesOf(6)).Text(&b))
	require.Contains(t, b.String(), "They never part: on this luck no choice differs, and neither does anything else.")
	b.Reset()
	require.NoError(t, partingOf(t, 1, rulesOf(6), rulesOf(6)).JSON(&b))
	require.Contains(t, b.String(), `"parts": false`)
}
