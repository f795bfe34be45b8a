package calibrate

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

var usualOptions = AgreeOptions{Window: .3, Level: .95, Windows: []float64{.1, .3, 1.2}, Seed: 1}

// trueCoding plays one bout of the engine and takes its events as what really happened.
func trueCoding(t *testing.T, seed uint64) (*tape.Bout, *tape.Coding) {
	t.Helper()
	played := simulated(t, fighter.Population("vole", fighter.AverageBody()).Centre(), seed, 1)[0]
	b := &tape.Bout{ID: "vole-shrew", Fighters: [2]tape.Fighter{{ID: "vole"}, {ID: "shrew"}}, Rules: "mma-3x5", RuleSet: played.Bout.RuleSet, Level: "events",
		LookedFor: tape.AllGroups(), Corners: [2]bool{true, true}, Kind: "bout", Ended: tape.Ended{Winner: tape.NoCorner}, Invented: true}
	c := &tape.Coding{Bout: b, Name: "first"}
	for _, e := range played.Events() {
		c.Rows = append(c.Rows, tape.Row{Event: e})
	}
	return b, c
}

// sloppy is a coder who misses, is late, is not exact, and takes one result for another; chances and seconds.
type sloppy struct{ miss, late, spread, flip, extra float64 }

// code writes down what really happened as the sloppy coder would.
func (s sloppy) code(of *tape.Coding, name string, random *rand.Rand) *tape.Coding {
	c := &tape.Coding{Bout: of.Bout, Name: name}
	bell := int64(of.Bout.RuleSet.RoundSeconds) * 1e6
	put := func(e tape.Event) { c.Rows = append(c.Rows, tape.Row{Event: e}) }
	for i := range of.Rows {
		e := of.Rows[i].Event
		if isEvent(&e) && random.Float64() < s.extra {
			made := e
			made.Clock = random.Int64N(bell)
			put(made)
		}
		if isEvent(&e) && random.Float64() < s.miss {
			continue
		}
		e.Clock = min(max(e.Clock+int64(1e6*(s.late+s.spread*random.NormFloat64())), 0), bell)
		if e.Act.IsStrike() && random.Float64() < s.flip {
			if e.Result = e.Result + 1; e.Result > tape.Hurt {
				e.Result = tape.Missed
			}
		}
		put(e)
	}
	slices.SortStableFunc(c.Rows, func(a, b tape.Row) int {
		if a.Round != b.Round {
			return int(a.Round) - int(b.Round)
		}
		return int(a.Clock - b.Clock)
	})
	return c
}

func chance(seed uint64) *rand.Rand {
	s := kernel.NewKey(seed, 0x636f646572).Stream()
	return rand.New(&s)
}

// within holds a count of n to a chance, 4.9 standard errors √(p(1-p)/n), granting what else may move it.
func within(t *testing.T, what string, hits, n int, p, off float64) {
	t.Helper()
	se := math.Sqrt(p * (1 - p) / float64(n))
	t.Logf("%s: %d of %d = %.4f, planted %.4f, standard error %.4f", what, hits, n, float64(hits)/float64(n), p, se)
	require.LessOrEqual(t, math.Abs(float64(hits)/float64(n)-p), 4.9*se+off, what)
}

// What is planted comes back: the second coder misses 10 %, is 0.25 s late with a spread of 0.1 s, and takes 5 % of results for the next.
//
// The offset is a median of n clock differences of spread σ = 0.1: standard error 1.2533·σ/√n. A clock that is off by more than the
// window of 3σ loses its partner: that happens to 0.0027 of acts, so that the second seems to miss 1 - 0.9·0.9973 = 0.1024 and the first
// 0.0027; acts pair off wrongly where two of one kind stand within the window, which moves counts by well under 0.005. A wrong partner also brings a wrong
// result: the share of flips is granted 0.01.
func TestPlantedErrorsComeBack(t *testing.T) {
	var onlyFirst, onlySecond, matched, flips, strikes, alike int
	for seed := range uint64(4) {
		b, first := trueCoding(t, 40+seed)
		second := sloppy{miss: .1, late: .25, spread: .1, flip: .05}.code(first, "second", chance(seed))
		a, err := Agree(b, []*tape.Coding{first, second}, usualOptions)
		require.NoError(t, err)
		p := &a.Pairs[0]
		require.True(t, p.Offset.Corrected)
		se := 1.2533 * .1 / math.Sqrt(p.Offset.Count)
		t.Logf("offset %.4f (%.4f to %.4f), standard error %.4f", p.Offset.Centre, p.Offset.Low, p.Offset.High, se)
		require.InDelta(t, .25, p.Offset.Centre, 4.9*se)
		require.Less(t, p.Uncorrected.Agreement.Centre, p.Events.Agreement.Low)
		onlyFirst, onlySecond, matched = onlyFirst+p.Events.OnlyFirst, onlySecond+p.Events.OnlySecond, matched+p.Events.Matched
		for _, c := range p.Codes {
			if c.Code == "results" {
				strikes += c.Units
				flips += c.Units - int(c.Same.Centre*float64(c.Units)+.5)
				require.Less(t, c.Kappa.Centre, c.Weighted.Centre) // by one step only
			}
		}
		for _, c := range p.Confusions {
			if c.First == c.Second {
				alike += c.Count
			}
		}
		// |N(0, σ)| has the median 0.6745σ; density there 0.6356/σ, so that the standard error is 1/(2·0.6356/σ·√n) = 0.787σ/√n.
		require.InDelta(t, .06745, p.Clocks.Apart.Centre, 4.9*.787*.1/math.Sqrt(p.Clocks.Apart.Count))
		for _, e := range a.Errors {
			if e.Coder == "second" && e.Group == "strikes" {
				require.True(t, e.Estimate)
				within(t, "strikes missed", int(e.Miss.Centre*e.Miss.Count+.5), int(e.Miss.Count), .1024, .005)
			}
		}
	}
	within(t, "missed by the second", onlyFirst, matched+onlyFirst, .1024, .005)
	within(t, "missed by the first", onlySecond, matched+onlySecond, .0027, .005)
	within(t, "results flipped", flips, strikes, .05, .01)
	// The acts were not touched, so that a pair of two acts is a wrong pair.
	require.Less(t, float64(matched-alike), .01*float64(matched))
}

// Equal codings agree fully by everything that is defined, with nothing to look at.
func TestEqualCodings(t *testing.T) {
	b, first := trueCoding(t, 50)
	a, err := Agree(b, []*tape.Coding{first, {Bout: b, Name: "second", Rows: first.Rows}}, usualOptions)
	require.NoError(t, err)
	p := &a.Pairs[0]
	require.False(t, p.Offset.Corrected)
	require.Zero(t, p.Offset.Centre)
	require.Empty(t, p.Disagreements)
	require.Equal(t, 1., p.Events.Agreement.Centre)
	require.Less(t, p.Events.Agreement.Low, 1.)
	require.Greater(t, p.Events.Matched, 300)
	for _, g := range p.Groups {
		require.Equal(t, g.First, g.Matched, g.Group)
		require.Zero(t, g.Confused+g.OnlyFirst+g.OnlySecond, g.Group)
	}
	defined := 0
	for _, c := range p.Codes {
		require.Equal(t, 1., c.Same.Centre, c.Code)
		if c.Kappa.Defined {
			defined++
			require.InDelta(t, 1, c.Kappa.Centre, 1e-12, c.Code)
			require.InDelta(t, 1, c.Alpha.Centre, 1e-12, c.Code)
			require.InDelta(t, 1, c.AC1.Centre, 1e-12, c.Code)
			require.Less(t, c.Kappa.Low, 1., c.Code)
		}
	}
	require.Greater(t, defined, 6)
	require.Len(t, p.States, 4)
	for _, s := range p.States {
		if s.Seconds > 0 {
			require.InDelta(t, 1, s.Share.Centre, 1e-12, s.State)
		}
	}
	require.Greater(t, p.States[0].Seconds, 1700.) // both fighters, three rounds of 300 s
	for _, w := range p.Curve {
		require.Equal(t, p.Events.First, w.Events.Matched)
	}
}

// A coder who is only late agrees fully once that is taken out: by event and by time.
func TestOffsetAloneIsTakenOut(t *testing.T) {
	b, first := trueCoding(t, 51)
	for _, late := range []float64{-1.7, .04, 2.5} {
		second := sloppy{late: late}.code(first, "second", chance(1))
		a, err := Agree(b, []*tape.Coding{first, second}, usualOptions)
		require.NoError(t, err)
		p := &a.Pairs[0]
		require.InDelta(t, late, p.Offset.Centre, 1e-5)
		// Clocks that would fall outside the round were cut off: at most the acts of 2.5 s at each end of three rounds.
		require.Greater(t, p.Events.Agreement.Centre, .98)
		require.InDelta(t, 1, p.States[0].Share.Centre, 1e-6)
	}
}

// Exchanging the coders exchanges sides and nothing else.
func TestExchangingCoders(t *testing.T) {
	b, truth := trueCoding(t, 52)
	random := chance(7)
	x := sloppy{miss: .15, late: .2, spread: .15, flip: .1}.code(truth, "x", random)
	y := sloppy{miss: .1, spread: .1, flip: .1, extra: .05}.code(truth, "y", random)
	a, err := Agree(b, []*tape.Coding{x, y}, usualOptions)
	require.NoError(t, err)
	o, err := Agree(b, []*tape.Coding{y, x}, usualOptions)
	require.NoError(t, err)
	p, q := &a.Pairs[0], &o.Pairs[0]
	require.Equal(t, p.Offset.Centre, -q.Offset.Centre)
	require.Equal(t, p.Offset.Low, -q.Offset.High)
	require.Equal(t, p.Events.Agreement, q.Events.Agreement)
	require.Equal(t, p.Clocks, q.Clocks)
	for i := range p.Groups {
		require.Equal(t, p.Groups[i].OnlyFirst, q.Groups[i].OnlySecond)
		require.Equal(t, p.Groups[i].Agreement, q.Groups[i].Agreement)
		require.Equal(t, p.Groups[i].MissFirst, q.Groups[i].MissSecond)
	}
	require.Len(t, q.Codes, len(p.Codes))
	for i := range p.Codes {
		require.InDelta(t, p.Codes[i].Kappa.Centre, q.Codes[i].Kappa.Centre, 1e-12)
		require.InDelta(t, p.Codes[i].Kappa.Low, q.Codes[i].Kappa.Low, 1e-12)
		require.InDelta(t, p.Codes[i].Alpha.Low, q.Codes[i].Alpha.Low, 1e-12)
		require.InDelta(t, p.Codes[i].AC1.High, q.Codes[i].AC1.High, 1e-12)
	}
	for i := range p.States {
		require.InDelta(t, p.States[i].Seconds, q.States[i].Seconds, 1e-9)
		require.InDelta(t, p.States[i].Kappa.Low, q.States[i].Kappa.Low, 1e-9)
	}
	require.Len(t, q.Disagreements, len(p.Disagreements))
	turned := map[Confusion]bool{}
	for _, c := range q.Confusions {
		turned[Confusion{c.Second, c.First, c.Count}] = true
	}
	for _, c := range p.Confusions {
		require.True(t, turned[c], c)
	}
}

// The same seed gives the same result, map order or not.
func TestAgreeIsRepeatable(t *testing.T) {
	b, truth := trueCoding(t, 53)
	x := sloppy{miss: .1, spread: .1, flip: .1, extra: .05}.code(truth, "x", chance(8))
	y := sloppy{miss: .1, spread: .1}.code(truth, "y", chance(9))
	first := ""
	for range 2 {
		a, err := Agree(b, []*tape.Coding{truth, x, y}, usualOptions)
		require.NoError(t, err)
		data, err := json.Marshal(a)
		require.NoError(t, err)
		if first == "" {
			first = string(data)
		}
		require.Equal(t, first, string(data))
	}
}

// With three coders what two others saw is what happened: misses of .05, .1 and .2 come back though the first makes up acts, and so does
// how many. Made-up acts are .05/(.95+.05) of what the first coded. A made-up act finds a true one of its kind that another coder alone
// saw so rarely that .01 is granted; spread .05 s loses no partners.
func TestThreeCoders(t *testing.T) {
	b, truth := trueCoding(t, 54)
	random := chance(10)
	misses := []float64{.05, .1, .2}
	codings := []*tape.Coding{sloppy{miss: .05, spread: .05, extra: .05}.code(truth, "one", random),
		sloppy{miss: .1, spread: .05, late: .5}.code(truth, "two", random), sloppy{miss: .2, spread: .05, flip: .2}.code(truth, "three", random)}
	a, err := Agree(b, codings, usualOptions)
	require.NoError(t, err)
	require.Len(t, a.Pairs, 3)
	require.InDelta(t, .5, a.Pairs[0].Offset.Centre, .02)
	require.InDelta(t, -.5, a.Pairs[2].Offset.Centre, .02)
	for _, e := range a.Errors {
		k := slices.Index(a.Codings, e.Coder)
		if e.Group != "strikes" && e.Group != "steps" {
			continue
		}
		within(t, e.Coder+" misses "+e.Group, int(e.Miss.Centre*e.Miss.Count+.5), int(e.Miss.Count), misses[k], .01)
		within(t, e.Coder+" confuses "+e.Group, int(e.Confused.Centre*e.Confused.Count+.5), int(e.Confused.Count), 0, .01)
		made := map[string]float64{"one": .05}[e.Coder]
		within(t, e.Coder+" makes up "+e.Group, int(e.Extra.Centre*e.Extra.Count+.5), int(e.Extra.Count), made, .02)
	}
	require.NotNil(t, a.All)
	for _, c := range a.All.Codes {
		if c.Code == "results" { // two coders agree fully, the third does not
			require.InDelta(t, .8, c.Same.Centre, 4.9*math.Sqrt(.8*.2/float64(c.Units))+.02)
			require.True(t, c.Fleiss.Defined)
			require.True(t, c.Fleiss.Centre > .6 && c.Fleiss.Centre < 1)
			require.InDelta(t, c.Fleiss.Centre, c.Alpha.Centre, .05)
		}
	}
}

// One coding: nothing is compared, and the error is an assumption that says so.
func TestOneCoder(t *testing.T) {
	b, truth := trueCoding(t, 55)
	a, err := Agree(b, []*tape.Coding{truth}, usualOptions)
	require.NoError(t, err)
	require.Empty(t, a.Pairs)
	require.NotEmpty(t, a.Errors)
	require.NotEmpty(t, a.Warnings)
	for _, e := range a.Errors {
		require.False(t, e.Estimate)
		require.Contains(t, e.Source, "judgement")
		require.True(t, e.Miss.Low < e.Miss.Centre && e.Miss.Centre < e.Miss.High)
	}
}
