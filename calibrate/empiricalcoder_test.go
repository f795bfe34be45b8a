package calibrate

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// offBy says how far an estimate from coders' tape is off that from the same bouts without error: the mean difference of the logarithms of rates, by the
// group of the act, and of shares, by point: those of acts, weighted by their share, and that of doing nothing. Rates of which less than 40 acts were
// seen are left out, since then the logarithm of a mean hangs on who errs in which.
func offBy(right, got *Library) map[string]float64 {
	sums, weights := map[string]float64{}, map[string]float64{}
	after := map[string]float64{}
	for _, x := range got.Estimates {
		after[x.Name] = x.After
	}
	for _, x := range right.Estimates {
		f, known := fighter.Named(x.Name)
		if !known || !x.Estimated || x.Events < 40 {
			continue
		}
		class, weight := "", 1.
		if _, m, ok := initiateOf(f); ok {
			if homeGroup(m.Act()) == tape.NumGroups { // a change of stance
				continue
			}
			class = homeGroup(m.Act()).String()
		} else if k, z, ok := pointOf(f); ok {
			class, weight = []string{"answers", "continues"}[k], x.After
			if f == choiceTables[k](z, tape.NoMove) {
				class += ": nothing"
			}
		} else {
			continue
		}
		if x.After > 0 && after[x.Name] > 0 {
			sums[class], weights[class] = sums[class]+weight*math.Log(after[x.Name]/x.After), weights[class]+weight
		}
	}
	for class := range sums {
		sums[class] /= weights[class]
	}
	return sums
}

// Planted coders miss, make up and confuse acts as often as UsualCoder says, in four libraries of 12 fighters with four bouts each. Taken at their word
// the population is off by what they miss: of feints, steps and hands at the hands a fifth to a third, and where something was done nothing seems to
// be. With two codings a bout less than a third of that is left, feints and steps within .1. Of what is continued with about half is left: misread
// continuations make fighters look more alike than they are, and that draws the mean of a table that is nothing five times in six to what is
// seen most. One coding, with its errors
// assumed, moves nothing but what is called another act, and standard errors grow by what it leaves open. Means and standard errors are over the
// libraries, and the difference must be told: 4.9 of its standard errors.
func TestPopulationPutsBackWhatCodersMiss(t *testing.T) {
	const libraries = 4
	usual := UsualCoder()
	all := map[string]map[string][]float64{"at their word": {}, "two coders": {}, "one coder, assumed": {}}
	wider := []float64{}
	for k := range libraries {
		full := libraryOf(t, fighter.Shipped(), uint64(60+k), 12, 2)
		random := chance(uint64(k))
		var one, two []*tape.Coding
		for _, c := range full {
			a, b := errant{usual, random}.codes(c, "a"), errant{usual, random}.codes(c, "b")
			one, two = append(one, a), append(two, a, b)
		}
		estimate := func(codings []*tape.Coding, o Options) *Library {
			l, err := EstimatePopulation(codings, o)
			require.NoError(t, err)
			return l
		}
		right, word, assumed := estimate(full, Options{}), estimate(one, Options{}), estimate(one, Options{Coder: usual})
		for name, l := range map[string]*Library{"at their word": word, "two coders": estimate(two, Options{Coder: usual}), "one coder, assumed": assumed} {
			for class, off := range offBy(right, l) {
				all[name][class] = append(all[name][class], off)
			}
		}
		for i, x := range word.Estimates {
			f, known := fighter.Named(x.Name)
			if _, m, ok := initiateOf(f); known && ok && x.Estimated && homeGroup(m.Act()) == tape.GroupFeints {
				wider = append(wider, assumed.Estimates[i].SE/assumed.Estimates[i].After-x.SE/x.After)
			}
		}
	}
	told := func(name, class string) (mean, se float64) {
		mean, variance := meanVariance(all[name][class])
		return mean, math.Sqrt(variance / libraries)
	}
	for _, name := range []string{"at their word", "one coder, assumed", "two coders"} {
		text := ""
		for _, class := range slices.Sorted(maps.Keys(all[name])) {
			mean, se := told(name, class)
			text += fmt.Sprintf("  %s %+.3f ± %.3f", class, mean, se)
		}
		t.Logf("%-20s%s", name, text)
	}
	for _, class := range []string{"feints", "steps", "setups", "hand_fights", "answers", "continues", "answers: nothing"} {
		var gain []float64
		for k, off := range all["at their word"][class] {
			gain = append(gain, math.Abs(off)-math.Abs(all["two coders"][class][k]))
		}
		mean, variance := meanVariance(gain)
		require.Greater(t, mean, 4.9*math.Sqrt(variance/libraries), class)
		was, _ := told("at their word", class)
		is, _ := told("two coders", class)
		most := 1. / 3
		if class == "continues" {
			most = 2. / 3
		}
		require.Less(t, math.Abs(is), most*math.Abs(was), class)
	}
	for _, class := range []string{"feints", "steps"} {
		is, se := told("two coders", class)
		require.Less(t, math.Abs(is), .1+4.9*se, class)
	}
	for _, more := range wider {
		require.Greater(t, more, .02) // the assumption leaves 30 % missed open by a factor of three
	}
}

// A library of the engine's own tape errs nowhere: with or without an assumption on coders it is to the bit what it was.
func TestEnginesLibraryErrsNowhere(t *testing.T) {
	full := libraryOf(t, fighter.Shipped(), 5, 6, 1)
	plain, err := EstimatePopulation(full, Options{})
	require.NoError(t, err)
	for _, c := range full {
		c.Bout.Coder = engineCoder
	}
	engines, err := EstimatePopulation(full, Options{Coder: UsualCoder()})
	require.NoError(t, err)
	require.Equal(t, plain.Population.Figures, engines.Population.Figures)
	require.Equal(t, plain.Estimates, engines.Estimates)
}

// By hand: of 100 choices 40 seemed to be jabs and 60 nothing; where .8 of the jabs are seen there were 50, and 50 times nothing. A library in which
// half of a fighter's choices are coded twice puts back half of that. More cannot be put back than seemed to be nothing, of which a fifth stays.
func TestChoicesPutBack(t *testing.T) {
	figures := TableWith(fighter.Answer(1, tape.MoveJab))
	twice, once := &tape.Bout{}, &tape.Bout{}
	d := &libraryDoubt{of: map[*tape.Bout]*boutDoubt{twice: {estimated: true}, once: {}}}
	d.correct.tables[0][1][tape.MoveJab] = -math.Log(.8)
	of := func(jabs, none, joined float64, bouts ...*tape.Bout) infer.Chosen {
		t := newCounts(nil)
		for _, b := range bouts {
			t.rounds = append(t.rounds, &roundCount{bout: b, choices: map[fighter.Figure]float64{fighter.Answer(1, tape.MoveJab): 10}})
		}
		u := infer.Chosen{Counts: make([]float64, tape.NumMoves), JoinedCount: joined}
		if joined > 0 {
			u.Joined = []int{int(tape.MoveStepBack), int(tape.NoMove)}
		}
		u.Counts[tape.MoveJab], u.Counts[tape.NoMove] = jabs, none
		d.choices(&u, figures, t)
		return u
	}
	for _, c := range []struct {
		u                  infer.Chosen
		jabs, none, joined float64
	}{
		{of(40, 60, 0, twice), 50, 50, 0}, {of(40, 60, 0, twice, once), 45, 55, 0}, {of(40, 60, 0, once), 40, 60, 0},
		{of(40, 0, 60, twice), 50, 0, 50}, {of(96, 4, 0, twice), 99.2, .8, 0},
	} {
		require.InDelta(t, c.jabs, c.u.Counts[tape.MoveJab], 1e-9)
		require.InDelta(t, c.none, c.u.Counts[tape.NoMove], 1e-9)
		require.InDelta(t, c.joined, c.u.JoinedCount, 1e-9)
	}
}
