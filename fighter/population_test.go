package fighter

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/internal/input"
	"whatbout/tape"
)

// Published values the embedded figures must stay in: simple reaction 0.207 s (8 advanced, Cojocariu 2011) to 0.231 s (1469 adults,
// Woods 2015); choice reaction 0.376 s (advanced) to 0.4295 s (beginners, Cojocariu 2011); span over stature 1.024 (Kirk 2016, 474
// fighters), taken to the centimetre, half of which is 0.003 of 1.78 m.
func TestPopulationStaysInTheEvidence(t *testing.T) {
	p := Population("badger", AverageBody())
	simple, choice := p.Figures[Alone(ReactionSimple)].A, p.Figures[Alone(ReactionChoice)].A
	require.True(t, simple >= .207 && simple <= .231, simple)
	require.True(t, choice >= .376 && choice <= .4295, choice)
	require.InDelta(t, 1.024, AverageBody().Span/AverageBody().Stature, .003)
}

func TestPopulationIsMarkedThroughout(t *testing.T) {
	f := thePopulation()
	for i, q := range f.Figures {
		name, law := Define(Figure(i)).Name, Define(Figure(i)).Law
		if law == Skill || q.A != 0 {
			require.NotEmpty(t, f.Marks[name].Text, name)
			require.True(t, law == Weight || q.B > 0, name)
		}
	}
	require.True(t, f.Marks["reaction.simple"].Basis == OnEvidence)
	require.True(t, f.Marks["body.span"].Basis == OnEvidence)
	require.Contains(t, f.Marks["initiate.long.jab"].String(), "judgement: ")
	for i := range ExchangeZones {
		answer, next := 0.0, 0.0
		for m := range tape.NumMoves {
			answer += f.Figures[Answer(i, m)].A
			next += f.Figures[Continue(i, m)].A
		}
		require.InDelta(t, 14, answer, 1e-9, "tables weigh fourteen choices")
		require.InDelta(t, 14, next, 1e-9)
	}
}

func TestPopulationMarksAreTheNearest(t *testing.T) {
	text := strings.Replace(PopulationYAML(), "jab: 0.104,", `jab: {value: 0.104, evidence: "otter 1999"},`, 1)
	text = strings.Replace(text, "  top: {ground_strike", "  top: {judgement: a row of its own, ground_strike", 1)
	f, err := ReadPopulation("p.yaml", []byte(text))
	require.NoError(t, err)
	require.Equal(t, Mark{OnEvidence, "otter 1999"}, f.Marks["initiate.long.jab"])
	require.Equal(t, Mark{OnJudgement, "a row of its own"}, f.Marks["initiate.top.ground_strike"])
	require.Equal(t, thePopulation().Marks["initiate.long.cross"], f.Marks["initiate.long.cross"])
	require.Equal(t, thePopulation().Figures, f.Figures)
}

// Each edit of the embedded file makes one fault, named with the line where it was made; all of them together are all listed.
func TestPopulationFaults(t *testing.T) {
	edits := []struct{ old, new, want string }{
		{"  stature: 1.78", "  stature: 17.8", "from 1.2 to 2.4"},
		{"  rate_counts: 3", "  rate_count: 3", "rate_counts"},
		{"  answer: 1.8\n", "  answer: none\n", "a number"},
		{"step_in: 0.62", "none: 0.62", "doing nothing"},
		{"feint_hip: 0.03", "feint_hips: 0.03", `did you mean "feint_hip"?`},
		{"clinch: {break: 0.07", "clinch: {shoot: 0.07", "cannot be made in the zone clinch"},
		{"judgement: common practice, tuned to the census", "judgment: x", "does not say what it rests on"},
		{"  shot: {absorb: 8, sprawl: 55, step_back: 14, smother: 14, strike_first: 4, sidestep: 5}", "  shot: {}", "a table without weights"},
		{"  stay_down: 4\n", "", `"stay_down" is missing`},
		{"step: {median: 0.32, spread: 0.1}", "step: {median: 0.32, spread: 0.1, evidence: x, judgement: x}", "both evidence and judgement"},
		{"chin: {median: 1, ", "chin: {median: -1, ", "median"},
	}
	all := PopulationYAML()
	for _, e := range edits {
		require.Equal(t, 1, strings.Count(all, e.old), e.old)
		line := 1 + strings.Count(PopulationYAML()[:strings.Index(PopulationYAML(), e.old)], "\n")
		_, err := ReadPopulation("p.yaml", []byte(strings.Replace(PopulationYAML(), e.old, e.new, 1)))
		require.ErrorContains(t, err, e.want)
		for _, fault := range err.(input.Faults) {
			require.Positive(t, fault.Column, e.new)
			require.LessOrEqual(t, fault.Line, line+1, e.new) // a missing key is told at its map
		}
		all = strings.Replace(all, e.old, e.new, 1)
	}
	_, err := ReadPopulation("p.yaml", []byte(all))
	for _, e := range edits {
		require.ErrorContains(t, err, e.want)
	}
}

func TestPopulationOfNothing(t *testing.T) {
	_, err := ReadPopulation("p.yaml", nil)
	require.Error(t, err)
	_, err = ReadPopulation("p.yaml", []byte("format: whatbout.population/1\n"))
	for _, block := range []string{"body", "prior", "hands_only", "initiate", "answer", "continue", "defend", "survive", "hold", "sense", "bite", "sizes"} {
		require.ErrorContains(t, err, `"`+block+`" is missing`)
	}
}

// What is read can be played: every figure finite, every rate with a positive time, every posterior drawn without panic.
func FuzzPopulation(f *testing.F) {
	f.Add(PopulationYAML())
	f.Add("format: whatbout.population/1\nbody: {judgement: x, stature: {value: 1.8, evidence: y}}\ninitiate: {out: {jab: 1e-9}}\n")
	f.Add("sizes: {chin: {median: 1, spread: 0, judgement: a, evidence: b}}\nanswer: {long: {none: 0}}\nhands_only: [1, 2]\n")
	f.Fuzz(func(t *testing.T, s string) {
		p, err := ReadPopulation("f.yaml", []byte(s))
		if err != nil {
			return
		}
		for i, x := range p.Profile("badger", p.Body).Draw(1, 1, true) {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%s is drawn as %v", Define(Figure(i)).Name, x)
			}
		}
	})
}
