package calibrate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// Two rates with one place between them: of 41 and 15 cases of breast
// cancer in 28,010 and 19,017 woman-years (with and without fluoroscopy; Rothman & Greenland 1998, Modern Epidemiology, table 14-1) the rate
// ratio is 1.86 and the variance of its logarithm 1/41 + 1/15 (their formula 14-9; both from memory, the ratio and variance are exact
// arithmetic of the counts).
func TestMultipleIsTheRateRatio(t *testing.T) {
	one := places(1)
	f := placeFit{strata: []*stratum{{acts: 56, seconds: map[places]float64{0: 19017, one: 28010}, begun: map[places]float64{0: 15, one: 41}}}}
	for k := range f.prior {
		f.prior[k] = fighter.Posterior{B: 1e4}
	}
	mean, cov, told := f.mode()
	require.InDelta(t, 41./28010/(15./19017), math.Exp(mean[0]), 1e-6)
	require.InDelta(t, 1./41+1./15, cov.At(0, 0), 1e-6)
	require.Equal(t, [fighter.NumPlaces]bool{true}, told)
}

// With a prior the mode is where its pull and the tape's are even (exact: the score is 0).
func TestMultiplesArePulledToThePopulation(t *testing.T) {
	f := placeFit{strata: []*stratum{{acts: 30, seconds: map[places]float64{0: 100, 1: 50, 3: 20}, begun: map[places]float64{0: 10, 1: 12, 3: 8}}}}
	for k := range f.prior {
		f.prior[k] = fighter.Posterior{A: math.Log(1.2), B: .25}
	}
	mean, _, told := f.mode()
	w0, w1, w3 := 100., 50*math.Exp(mean[0]), 20*math.Exp(mean[0]+mean[1])
	total := w0 + w1 + w3
	require.InDelta(t, 20-30*(w1+w3)/total, (mean[0]-math.Log(1.2))/(.25*.25), 1e-6)
	require.InDelta(t, 8-30*w3/total, (mean[1]-math.Log(1.2))/(.25*.25), 1e-6)
	require.Equal(t, [fighter.NumPlaces]bool{true, true}, told)
	require.InDelta(t, math.Log(1.2), mean[2], 1e-12, "where tape tells nothing the population's stays")
}

// habitTape is so many bouts of somebody with multiples by place against an average fighter, coded without an error.
func habitTape(t *testing.T, bouts int, edit func(d fighter.Draw)) []*tape.Coding {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	b := sim.NewBout()
	b.Setup(rules, sim.AverageWorld())
	b.NoStop = true
	d := fighter.Population("vole", fighter.AverageBody()).Centre()
	edit(d)
	require.NoError(t, b.Sides[0].Load(fighter.AverageBody(), d, nil, nil, rules))
	require.NoError(t, b.Sides[1].Load(fighter.AverageBody(), fighter.Population("newt", fighter.AverageBody()).Centre(), nil, nil, rules))
	var out []*tape.Coding
	for i := range bouts {
		b.Run(kernel.NewKey(0x706c616365, uint64(i)))
		bout := &tape.Bout{ID: string(rune('a' + i)), Coder: engineCoder, Rules: rules.Name, RuleSet: rules, Level: "events", LookedFor: tape.AllGroups(),
			Corners: [2]bool{true, true}, Usual: true, Kind: "bout", Ended: tape.Ended{Winner: tape.NoCorner}, Invented: true,
			Fighters: [2]tape.Fighter{{ID: "vole", Body: physiqueOf(fighter.AverageBody())}, {ID: "newt", Body: physiqueOf(fighter.AverageBody())}}}
		c := &tape.Coding{Bout: bout, Name: "events"}
		for _, e := range b.Events {
			c.Rows = append(c.Rows, tape.Row{Event: e})
		}
		out = append(out, c)
	}
	return out
}

// Somebody who kicks three times as often from the centre and circles four tenths as often away from it is told from one who does not: by the profile's
// own doubt, with what the population pulls them back taken off (each lies within 4.9 of the posterior's standard deviations of what was
// planted, at 12 bouts, and at least as far from the population's 1). Where the places are swapped on the tape, so are the multiples.
func TestPlantedHabitsComeBack(t *testing.T) {
	kicks, circles := fighter.Placed(fighter.OwnCentre, fighter.Kicks), fighter.Placed(fighter.TheirCentre, fighter.Circling)
	codings := habitTape(t, 12, func(d fighter.Draw) { d[kicks], d[circles] = 3, .4 })
	read := func() *fighter.Profile {
		profiles, err := Profiles(codings, "vole")
		require.NoError(t, err)
		return profiles["vole"]
	}
	p := read()
	for f, want := range map[fighter.Figure]float64{kicks: 3, circles: .4} {
		post, prior := p.Figures[f], fighter.Shipped().Figures[f]
		told := 1/(post.B*post.B) - 1/(prior.B*prior.B)
		alone, se := math.Log(post.A)/(post.B*post.B)/told, 1/math.Sqrt(told)
		require.InDelta(t, math.Log(want), alone, 4.9*se, "%s", fighter.Define(f).Name)
		require.Greater(t, math.Abs(alone), 4.9*se, "%s", fighter.Define(f).Name)
		require.Equal(t, fighter.FromTape, p.Sources[f])
	}
	for _, c := range codings {
		for i := range c.Rows {
			if e := &c.Rows[i].Event; e.Act == tape.StateCentre && (e.Value == tape.Red || e.Value == tape.Blue) {
				e.Value = tape.Red + tape.Blue - e.Value
			}
		}
	}
	swapped := read()
	require.Less(t, swapped.Figures[kicks].A, 1.0)
	require.Greater(t, swapped.Figures[fighter.Placed(fighter.TheirCentre, fighter.Kicks)].A, 1.5)
}

// Tape on which nobody wrote down centre, fence or stances leaves the multiples as they were, and rates as they are without places.
func TestPlacesThatNobodyWroteDown(t *testing.T) {
	codings := habitTape(t, 1, func(fighter.Draw) {})
	for _, c := range codings {
		c.Bout.LookedFor[tape.GroupCentre], c.Bout.LookedFor[tape.GroupFence] = false, false
	}
	profiles, err := Profiles(codings, "vole")
	require.NoError(t, err)
	p := profiles["vole"]
	for k := range fighter.OpenStance {
		for s := range fighter.NumSorts {
			require.Equal(t, fighter.Shipped().Figures[fighter.Placed(k, s)], p.Figures[fighter.Placed(k, s)], "%s.%s", k, s)
			require.NotEqual(t, fighter.FromTape, p.Sources[fighter.Placed(k, s)])
		}
	}
}
