package tactics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tape"
)

func factsOf(values map[Fact]int) *Facts {
	var f Facts
	for fact, v := range values {
		f.Set(fact, v)
	}
	return &f
}

func compiled(t *testing.T, rules ...Rule) *Compiled {
	t.Helper()
	c, err := Compile(&Plan{Name: "test", Adherence: UsualAdherence, Rules: rules})
	require.NoError(t, err)
	return c
}

func never(words ...string) (out []Multiple) {
	for _, w := range words {
		out = append(out, Multiple{What: w})
	}
	return out
}

func TestActive(t *testing.T) {
	c := compiled(t,
		Rule{At: Defend, Multiples: never("step_back"), When: map[Fact][]int{FactRange: {2, 3}, FactCue: {0}}},
		Rule{At: Initiate, Multiples: []Multiple{{"jab", 2}}},
		Rule{At: Defend, Multiples: never("slip"), When: map[Fact][]int{FactLeadFoot: {1}}}, // in the second word
	)
	for _, row := range []struct {
		name  string
		at    Point
		facts map[Fact]int
		want  uint32
	}{
		{"both facts hold", Defend, map[Fact]int{FactRange: 3, FactCue: 0}, 1},
		{"other facts do not matter", Defend, map[Fact]int{FactRange: 2, FactCue: 0, FactRound: 4, FactAhead: 2}, 1},
		{"one value does not count", Defend, map[Fact]int{FactRange: 4, FactCue: 0}, 0},
		{"one fact is not known", Defend, map[Fact]int{FactRange: 3}, 0},
		{"nothing is known", Defend, nil, 0},
		{"across the words", Defend, map[Fact]int{FactRange: 3, FactCue: 0, FactLeadFoot: 1}, 1 | 4},
		{"no condition", Initiate, nil, 2},
		{"no rule at the point", Survive, map[Fact]int{FactRange: 3}, 0},
	} {
		assert.Equal(t, row.want, c.Active(row.at, factsOf(row.facts)), row.name)
	}
	assert.Equal(t, 2, c.Rules(Defend))
	assert.Equal(t, 1, c.Rules(Initiate))
	assert.Equal(t, 0, c.Rules(Believe))
}

func TestMultipliers(t *testing.T) {
	c := compiled(t,
		Rule{At: Initiate, Multiples: []Multiple{{"punches", 2}, {"jab", 3}}},
		Rule{At: Initiate, Only: []string{"jab", "low_kicks"}},
		Rule{At: Defend, Multiples: []Multiple{{"evasions", 0.5}, {"slip", 0}}},
		Rule{At: Believe, Multiples: []Multiple{{"real", 0.5}}},
		Rule{At: Believe, Multiples: []Multiple{{"real", 3}}},
	)
	moves := make([]float64, tape.NumMoves)
	c.Multipliers(Initiate, 1, moves)
	assert.Equal(t, 6.0, moves[tape.MoveJab], "a group and its member multiply")
	assert.Equal(t, 2.0, moves[tape.MoveCross])
	assert.Equal(t, 1.0, moves[tape.NoMove])
	c.Multipliers(Initiate, 3, moves)
	assert.Equal(t, 6.0, moves[tape.MoveJab], "rules multiply")
	assert.Equal(t, 0.0, moves[tape.MoveCross])
	assert.Equal(t, 1.0, moves[tape.MoveLowKickCalf])
	c.Multipliers(Initiate, 4|8, moves)
	assert.Equal(t, 1.0, moves[tape.MoveJab], "rules of other points do not count")
	defences := make([]float64, fighter.NumResponses)
	c.Multipliers(Defend, ^uint32(0), defences)
	assert.Equal(t, 0.0, defences[fighter.Slip])
	assert.Equal(t, 0.5, defences[fighter.Duck])
	assert.Equal(t, 1.0, defences[fighter.Parry])
	assert.Equal(t, 1.0, c.BeliefOdds(0))
	assert.Equal(t, 0.5, c.BeliefOdds(8))
	assert.Equal(t, 1.5, c.BeliefOdds(8|16))
	assert.PanicsWithValue(t, "tactics: 3 places for 44 multipliers", func() { c.Multipliers(Initiate, 1, make([]float64, 3)) })
}

func TestKeepTempoAndAdherence(t *testing.T) {
	c := compiled(t,
		Rule{At: Initiate, Multiples: never("jab")},
		Rule{At: Initiate, Multiples: never("cross"), KeepTempo: true, Adherence: &Adherence{0.4, 0}},
	)
	assert.False(t, c.KeepTempo(0))
	assert.False(t, c.KeepTempo(1))
	assert.True(t, c.KeepTempo(2))
	assert.True(t, c.KeepTempo(3))
	assert.Equal(t, UsualAdherence.Share, c.Adherence(0))
	assert.Equal(t, 0.4, c.Adherence(1))
}

func TestCompileFaults(t *testing.T) {
	everything := Alternatives(Survive)
	for _, row := range []struct {
		name, want string
		rules      []Rule
	}{
		{"nothing", "re-weights nothing", []Rule{{At: Initiate}}},
		{"word", `"jab" cannot be chosen at the defend point`, []Rule{{At: Defend, Only: []string{"jab"}}}},
		{"negative", "a multiple of -1", []Rule{{At: Initiate, Multiples: []Multiple{{"jab", -1}}}}},
		{"large", "a multiple of 21; expected 0 to 20", []Rule{{At: Initiate, Multiples: []Multiple{{"jab", 21}}}}},
		{"not a number", "a multiple of NaN", []Rule{{At: Initiate, Multiples: []Multiple{{"jab", math.NaN()}}}}},
		{"twice", `"jab" is re-weighted twice`, []Rule{{At: Initiate, Multiples: []Multiple{{"jab", 0}, {"jab", 2}}}}},
		{"all of it", "forbids everything at the survive point", []Rule{{At: Survive, Multiples: never(everything...)}}},
		{"only and never", "forbids everything at the initiate point",
			[]Rule{{At: Initiate, Only: []string{"jab"}, Multiples: never("punches")}}},
		{"together", "together forbid everything at the survive point", []Rule{
			{At: Survive, Multiples: never(everything[:3]...)},
			{At: Survive, Multiples: never(everything[3:]...), When: map[Fact][]int{FactLeadHand: {1, 0}}}}},
		{"value", "range has no value 6", []Rule{{At: Initiate, Only: []string{"jab"}, When: map[Fact][]int{FactRange: {6}}}}},
		{"value below", "range has no value -1", []Rule{{At: Initiate, Only: []string{"jab"}, When: map[Fact][]int{FactRange: {-1}}}}},
		{"no value", "no value of range counts", []Rule{{At: Initiate, Only: []string{"jab"}, When: map[Fact][]int{FactRange: {}}}}},
		{"fact", "there is no fact 99", []Rule{{At: Initiate, Only: []string{"jab"}, When: map[Fact][]int{99: {0}}}}},
		{"point", "there is no choice point 6", []Rule{{At: NumPoints, Only: []string{"jab"}}}},
		{"cue", "cue is known at believe and defend only", []Rule{{At: Answer, Only: []string{"jab"}, When: map[Fact][]int{FactCue: {0}}}}},
		{"tempo", "keep_tempo counts at initiate only", []Rule{{At: Answer, Only: []string{"jab"}, KeepTempo: true}}},
		{"only real", "only says nothing at believe", []Rule{{At: Believe, Only: []string{"real"}}}},
		{"adherence", "an adherence of share 2", []Rule{{At: Answer, Only: []string{"jab"}, Adherence: &Adherence{2, 0}}}},
		{"too many", "has 33 rules; at most 32", make([]Rule, 33)},
	} {
		c, err := Compile(&Plan{Name: "test", Adherence: UsualAdherence, Rules: row.rules})
		assert.ErrorContains(t, err, row.want, row.name)
		assert.Nil(t, c, row.name)
	}
	_, err := Compile(&Plan{Name: "test", Adherence: Adherence{0.8, math.NaN()}})
	assert.ErrorContains(t, err, "an adherence of share 0.8, sd NaN")
}

// Disbelieving everything is allowed, and so are rules that forbid everything together in some states only.
func TestCompileAllows(t *testing.T) {
	all := Alternatives(Survive)
	c := compiled(t,
		Rule{At: Believe, Multiples: never("real")},
		Rule{At: Survive, Multiples: never(all[:3]...)},
		Rule{At: Survive, Multiples: never(all[3:]...), When: map[Fact][]int{FactRound: {0}}})
	assert.Zero(t, c.BeliefOdds(1))
	many := make([]Rule, MaxRules)
	for i := range many {
		many[i] = Rule{At: Initiate, Only: []string{"jab"}}
	}
	c = compiled(t, many...)
	assert.Equal(t, ^uint32(0), c.Active(Initiate, &Facts{}))
}

func TestCombine(t *testing.T) {
	a := &Plan{Name: "a", Intent: "first", Adherence: Adherence{0.9, 0.05}, Rules: []Rule{{Name: "one", At: Initiate, Only: []string{"jab"}}}}
	b := &Plan{Name: "b", Intent: "second", Adherence: Adherence{0.5, 0.1}, Rules: []Rule{
		{Name: "two", At: Defend, Only: []string{"parry"}},
		{Name: "three", At: Answer, Only: []string{"jab"}, Adherence: &Adherence{0.3, 0}}}}
	p := Combine("both", a, b)
	assert.Equal(t, "both", p.Name)
	assert.Equal(t, "first; second", p.Intent)
	c, err := Compile(p)
	require.NoError(t, err)
	assert.Equal(t, []float64{0.9, 0.5, 0.3}, []float64{c.Adherence(0), c.Adherence(1), c.Adherence(2)})
	assert.Nil(t, b.Rules[0].Adherence, "the plans are not changed")
	assert.Equal(t, UsualAdherence, Combine("none").Adherence)
}

func TestHotPathDoesNotAllocate(t *testing.T) {
	c := compiled(t, Rule{At: Initiate, Only: []string{"jab"}, When: map[Fact][]int{FactRange: {1}}})
	out := make([]float64, tape.NumMoves)
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		var f Facts
		f.Set(FactRange, 1)
		c.Multipliers(Initiate, c.Active(Initiate, &f), out)
		c.BeliefOdds(c.Active(Believe, &f))
	}))
}

func BenchmarkActive(b *testing.B) {
	c, err := Compile(&Plan{Adherence: UsualAdherence, Rules: []Rule{
		{At: Initiate, Only: []string{"jab"}, When: map[Fact][]int{FactRange: {1}}},
		{At: Initiate, Only: []string{"jab"}, When: map[Fact][]int{FactRound: {1}, FactLeadFoot: {0}}}}})
	if err != nil {
		b.Fatal(err)
	}
	f := factsOf(map[Fact]int{FactRange: 1, FactRound: 1})
	for _, at := range []Point{Initiate, Defend} {
		b.Run(at.String(), func(b *testing.B) {
			mask := uint32(0)
			for b.Loop() {
				mask |= c.Active(at, f)
			}
			_ = mask
		})
	}
}
