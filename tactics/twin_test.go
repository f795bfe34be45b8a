package tactics

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawRule draws a rule in the order that Write keeps. Factors are such that products are exact in any order.
func drawRule(t *rapid.T) Rule {
	r := Rule{Name: rapid.StringMatching(`[a-z:#'"éß-]{1,8}`).Draw(t, "name"), At: Point(rapid.IntRange(0, int(NumPoints)-1).Draw(t, "at"))}
	for range rapid.IntRange(0, 3).Draw(t, "facts") {
		f := Fact(rapid.IntRange(0, int(NumFacts)-1).Draw(t, "fact"))
		if !f.knownAt(r.At) {
			continue
		}
		if r.When == nil {
			r.When = map[Fact][]int{}
		}
		r.When[f] = rapid.SliceOfNDistinct(rapid.IntRange(0, len(f.Values())-1), 1, len(f.Values()), rapid.ID[int]).Draw(t, "values")
		slices.Sort(r.When[f])
	}
	words := rapid.SampledFrom(Words(r.At))
	for _, word := range rapid.SliceOfNDistinct(words, 1, min(4, len(Words(r.At))), rapid.ID[string]).Draw(t, "words") {
		r.Multiples = append(r.Multiples, Multiple{word, rapid.SampledFrom([]float64{0, 0.5, 2, 3}).Draw(t, "by")})
	}
	slices.SortStableFunc(r.Multiples, neverFirst)
	if r.At != Believe && rapid.Bool().Draw(t, "limit") {
		r.Only = rapid.SliceOfN(words, 1, 5).Draw(t, "only")
	}
	r.KeepTempo = r.At == Initiate && rapid.Bool().Draw(t, "tempo")
	if rapid.Bool().Draw(t, "own") {
		r.Adherence = &Adherence{rapid.Float64Range(0, 1).Draw(t, "share"), rapid.Float64Range(0, 0.5).Draw(t, "sd")}
	}
	return r
}

func drawPlan(t *rapid.T) *Plan {
	return rapid.Custom(func(t *rapid.T) *Plan {
		p := &Plan{Name: "drawn", Intent: rapid.StringMatching(`([a-z,;]{1,6}( [a-z,;]{1,6})?)?`).Draw(t, "intent"),
			Adherence: Adherence{rapid.Float64Range(0, 1).Draw(t, "share"), 0.1}}
		for range rapid.IntRange(0, 8).Draw(t, "rules") {
			p.Rules = append(p.Rules, drawRule(t))
		}
		return p
	}).Filter(func(p *Plan) bool {
		_, err := Compile(p)
		return err == nil
	}).Draw(t, "plan")
}

// slowHolds is the obvious form of a condition.
func slowHolds(r *Rule, known map[Fact]int) bool {
	for fact, values := range r.When {
		if v, is := known[fact]; !is || !slices.Contains(values, v) {
			return false
		}
	}
	return true
}

// slowMultiple is the obvious form of a rule's multiple of one alternative.
func slowMultiple(r *Rule, name string) float64 {
	covers := func(word string) bool { return word == name || slices.Contains(groups[word], name) }
	if len(r.Only) > 0 && !slices.ContainsFunc(r.Only, covers) {
		return 0
	}
	by := 1.0
	for _, m := range r.Multiples {
		if covers(m.What) {
			by *= m.By
		}
	}
	return by
}

// The compiled plan says what a plain reading of the rules says, rule by rule and name by name.
func TestCompiledIsThePlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		c, err := Compile(p)
		require.NoError(t, err)
		known := map[Fact]int{}
		for f := range NumFacts {
			if rapid.IntRange(0, 9).Draw(t, "known") > 0 {
				known[f] = rapid.IntRange(0, len(f.Values())-1).Draw(t, "value")
			}
		}
		for at := range NumPoints {
			want, tempo, rules := uint32(0), false, 0
			multiples := ones(len(Alternatives(at)))
			for i := range p.Rules {
				r := &p.Rules[i]
				if r.At != at {
					continue
				}
				rules++
				if !slowHolds(r, known) {
					continue
				}
				want |= 1 << i
				tempo = tempo || r.KeepTempo
				for a, name := range Alternatives(at) {
					multiples[a] *= slowMultiple(r, name)
				}
			}
			got := c.Active(at, factsOf(known))
			assert.Equal(t, want, got)
			assert.Equal(t, rules, c.Rules(at))
			assert.Equal(t, tempo, c.KeepTempo(got))
			out := make([]float64, len(multiples))
			c.Multipliers(at, got, out)
			assert.Equal(t, multiples, out)
			if at == Believe {
				assert.Equal(t, multiples[0], c.BeliefOdds(got))
			}
		}
	})
}

// What is written reads back as the same plan.
func TestWriteReadRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		data, err := Write(p)
		require.NoError(t, err)
		back, err := Read("drawn.yaml", data)
		require.NoError(t, err, string(data))
		assert.Equal(t, p, back, string(data))
	})
}
