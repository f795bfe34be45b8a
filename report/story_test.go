package report

import (
	"bytes"
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/sim"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

func play(t *testing.T, bout int, watch sim.Watcher) *Story {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	body := fighter.AverageBody()
	red, blue := fighter.Population("stoat", body), fighter.Population("egret", body)
	b := sim.NewBout()
	b.Watch = watch
	plan := &tactics.Plan{Name: "stand", Adherence: tactics.UsualAdherence, Rules: []tactics.Rule{
		{Name: "no ground", At: tactics.Defend, Multiples: []tactics.Multiple{{What: "step_back", By: 0}}}}}
	one := study.One{Fighter: red, Opponent: blue, Plan: plan, Rules: rules, Seed: 4, Draw: bout, Bout: bout}
	o, err := one.Play(b)
	require.NoError(t, err)
	return &Story{Names: [2]string{"stoat", "egret"}, Plans: [2]string{"stand", "as usual"}, Rules: rules, Seed: 4, Draw: bout, Bout: bout, Events: b.Events,
		Outcome: o, Next: "again"}
}

var sentence = regexp.MustCompile(`^(Stoat|Egret|The referee)[ ,'][^%_]*[^ ,;]\.$`)

// Everything that can stand on tape is told in a sentence of the trade: every act with every value, defence and result that an act of
// its kind can have, no word of the vocabulary shown raw, no gap where a word is missing.
func TestEveryRowIsTold(t *testing.T) {
	s := &Story{Names: [2]string{"stoat", "egret"}, Rules: &tape.RuleSet{}}
	for a := tape.StepIn; a < tape.StateRange; a++ {
		results := []tape.Result{tape.ResultUncoded}
		defences := []tape.Defence{tape.DefenceNone}
		switch {
		case a.IsStrike():
			results = []tape.Result{tape.Missed, tape.Blocked, tape.Partial, tape.Clean, tape.Hurt, tape.Knockdown, tape.Stoppage}
		case a.IsTakedown():
			results = []tape.Result{tape.TakenDown, tape.Stuffed}
		case a == tape.HandFight || a == tape.TieUp || a == tape.Break || a == tape.GetUp || a == tape.Submission:
			results = []tape.Result{tape.Made, tape.Failed}
		}
		if a.IsAttack() {
			for d := tape.Guard; d <= tape.StrikeFirst; d++ {
				defences = append(defences, d)
			}
		}
		if a.IsFeint() {
			defences = append(defences, tape.Flinch, tape.GaveGuard, tape.GaveGround, tape.Struck)
		}
		seen := map[string]bool{}
		for _, r := range results {
			for _, d := range defences {
				told := s.tell(&tape.Event{Corner: tape.RedCorner, Act: a, Value: tape.MoveOf(a, tape.NoValue).Value(), Defence: d, Result: r})
				require.Regexp(t, sentence, told, "%s %s %s", a, d, r)
				require.NotContains(t, told, "  ", told)
				require.False(t, seen[told], "two rows told alike: %s", told)
				seen[told] = true
			}
		}
	}
	require.Equal(t, "The referee separates them.", s.tell(&tape.Event{Corner: tape.NoCorner, Act: tape.Break}))
}

// A bout is told row by row; its JSON holds words for every row and the same sentences.
func TestStoryTellsTheBout(t *testing.T) {
	for i := range 6 {
		s := play(t, i, nil)
		var text, data bytes.Buffer
		require.NoError(t, s.Text(&text))
		require.NoError(t, s.JSON(&data))
		var got struct {
			Schema string
			Draw   *int
			Events []storyRow
		}
		require.NoError(t, json.Unmarshal(data.Bytes(), &got))
		require.Equal(t, BoutSchema, got.Schema)
		require.Equal(t, i, *got.Draw)
		require.Len(t, got.Events, len(s.Events))
		for j, r := range got.Events {
			require.Equal(t, s.Events[j].Act.String(), r.Act)
			if r.Told != "" {
				require.Regexp(t, sentence, r.Told)
				require.Contains(t, text.String(), r.Told)
			}
		}
		require.Contains(t, text.String(), s.ending())
	}
}

// The points of the parts sum to the chance: 100 times it, to rounding; and every strike's moment is told as text and as JSON.
func TestMomentsAddUp(t *testing.T) {
	trace := &sim.Tracer{}
	s := play(t, 1, trace)
	strikes := 0
	for i := range s.Events {
		e := &s.Events[i]
		if !e.Act.IsStrike() {
			continue
		}
		found, ok := trace.Moment(s.Events, int(e.Round), e.Clock)
		require.True(t, ok)
		m := &Moment{Story: s, Plans: [2]*tactics.Plan{{Name: "stand", Rules: []tactics.Rule{{Name: "no ground"}}}, nil}, Moment: found}
		var text, data bytes.Buffer
		require.NoError(t, m.Text(&text))
		require.NoError(t, m.JSON(&data))
		require.True(t, json.Valid(data.Bytes()))
		require.NotContains(t, text.String(), "%!")
		require.NotRegexp(t, `%[odrp]`, text.String())
		if m.Landing == nil || m.Landing.Short > 0 {
			continue
		}
		strikes++
		sum := 0.0
		for _, c := range m.contributions(m.Landing) {
			sum += c.Points
		}
		require.InDelta(t, 100*m.Landing.Chance, sum, 1e-9)
		require.Equal(t, m.Landing.Clean(), strings.Contains(text.String(), "Why it landed clean"))
		if m.Begun != nil {
			low, high := stretch(m.Begun)
			require.True(t, m.Begun.Drawn >= low-1e-9 && m.Begun.Drawn <= high+1e-9, "%v in %v to %v", m.Begun.Drawn, low, high)
			require.Contains(t, text.String(), "<- drawn")
		}
	}
	require.Greater(t, strikes, 20)
}

// Every value of every fact has words, or is left out on purpose because another fact says it.
func TestFactWords(t *testing.T) {
	for f := range tactics.NumFacts {
		require.Len(t, factWords[f], len(f.Values()), f.String())
	}
	require.Equal(t, []string{"second round", "own back on the fence"}, knownWords([]sim.Known{{Fact: tactics.FactRound, Value: 1},
		{Fact: tactics.FactOwnFence, Value: 0}, {Fact: tactics.FactTheirFence, Value: 1}}))
}

// The plot puts shares where they belong: 0 at the left edge, 1 at the right, the mean over the intervals.
func TestPlot(t *testing.T) {
	e := study.Estimate{Mean: .5, Simulation: infer.Interval{Low: .4, High: .6}, AllDoubt: infer.Interval{Low: 0, High: 1}, Resolved: true}
	require.Equal(t, strings.Repeat("-", 20)+"=====o====="+strings.Repeat("-", 20), plot(e))
	e.Resolved = false
	require.Equal(t, strings.Repeat(" ", 20)+"=====o====="+strings.Repeat(" ", 20), plot(e))
}
