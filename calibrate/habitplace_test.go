package calibrate

import (
	"fmt"
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

// placedAt are acts and seconds elsewhere and in a place.
type placedAt struct{ here, there, secondsHere, secondsThere float64 }

// fitOf regresses strata on one place, of which nothing is known before.
func fitOf(strata ...placedAt) (mean, sd float64) {
	f := placeFit{}
	for k := range f.prior {
		f.prior[k].B = 1e4
	}
	const there = places(1)
	for _, s := range strata {
		f.strata = append(f.strata, &stratum{acts: s.here + s.there, seconds: map[places]float64{0: s.secondsHere, there: s.secondsThere},
			begun: map[places]float64{0: s.here, there: s.there}})
	}
	m, cov, told := f.mode()
	for k := range told {
		if told[k] != (k == 0) {
			panic("told of where nobody was")
		}
	}
	return m[0], math.Sqrt(cov.At(0, 0))
}

// Five strata with a level each: coronary deaths of British doctors by smoking and age (Doll & Hill 1966, as in Breslow & Day 1987, Statistical
// Methods in Cancer Research II). Poisson regression gives the ratio 1.4255 with the standard error .1531, which is .1531/1.4255 of its logarithm
// (from memory; rounding allows 1 in the last digit). At the maximum the fitted deaths of smokers add up to those counted (exact: the score equation).
func TestMultipleIsThePoissonRegression(t *testing.T) {
	strata := []placedAt{{2, 32, 18790, 52407}, {12, 104, 10673, 43248}, {28, 206, 5710, 28612}, {28, 186, 2585, 12663}, {31, 102, 1462, 5317}}
	mean, sd := fitOf(strata...)
	require.InDelta(t, 1.4255, math.Exp(mean), 1e-4)
	require.InDelta(t, .1531, sd*math.Exp(mean), 1e-4)
	counted, fitted := 0.0, 0.0
	for _, s := range strata {
		w := math.Exp(mean) * s.secondsThere
		counted, fitted = counted+s.there, fitted+(s.here+s.there)*w/(w+s.secondsHere)
	}
	require.InDelta(t, counted, fitted, 1e-3)
}

// Two places that overlap: counts just as a rate and two multiples make them give both back, and the rate is that of where none holds (exact but for the priors,
// which weigh a millionth; the rate by what the variance of the multiples adds to their mean).
func TestPlacesMultiply(t *testing.T) {
	const centre, open = places(1 << fighter.OwnCentre), places(1 << fighter.OpenStance)
	by := map[places]float64{0: 1, centre: 3, open: .5, centre | open: 1.5}
	p := knowsNothing()
	r := &roundCount{bout: boutOf("made", mustRules(t), "vole", "shrew"), round: 1, acts: map[fighter.Figure]float64{}, there: map[spotAt]float64{},
		placedActs: map[spotAct]float64{}, coded: 4e6, age: 1}
	for hold, b := range by {
		at := spotAt{fighter.Long, 31, hold}
		r.there[at] = 1e6
		r.seconds[fighter.Long] += 1e6
		r.placedActs[spotAct{tape.MoveCross, at}] += .1 * 1e6 * b
		r.acts[fighter.Initiate(fighter.Long, tape.MoveCross)] += .1 * 1e6 * b
	}
	c := newCounts(nil)
	c.rounds = append(c.rounds, r)
	setRates(p, c)
	require.InDelta(t, 3, p.Figures[fighter.Placed(fighter.OwnCentre, fighter.Punches)].A, 1e-4)
	require.InDelta(t, .5, p.Figures[fighter.Placed(fighter.OpenStance, fighter.Punches)].A, 1e-4)
	require.InDelta(t, .1, p.Figures[fighter.Initiate(fighter.Long, tape.MoveCross)].Mean(fighter.Rate), 1e-5)
	require.EqualValues(t, .1*1e6*4.5, p.Seen[fighter.Placed(fighter.OwnCentre, fighter.Punches)])
	for s := range fighter.NumSorts {
		for k := range fighter.NumPlaces {
			told := s == fighter.Punches && (k == fighter.OwnCentre || k == fighter.OpenStance)
			require.Equal(t, told, p.Sources[fighter.Placed(k, s)] == fighter.FromTape, fighter.Define(fighter.Placed(k, s)).Name)
		}
	}
}

// centreKicker kicks three times as often while nearer the centre, and in all else is as the population.
func centreKicker() fighter.Draw {
	d := fighter.Population("vole", fighter.AverageBody()).Centre()
	d[fighter.Placed(fighter.OwnCentre, fighter.Kicks)] = 3
	return d
}

// The rows behind a multiple are those that the profile says were seen.
func TestRowsBehindPlaces(t *testing.T) {
	codings := simulated(t, centreKicker(), 53, 2)
	got, err := Profiles(codings, "vole")
	require.NoError(t, err)
	for _, s := range []fighter.Sort{fighter.Kicks, fighter.Punches, fighter.Forward} {
		f := fighter.Placed(fighter.OwnCentre, s)
		rows, err := Behind(codings, Options{}, "vole", f)
		require.NoError(t, err)
		require.Positive(t, rows.Count)
		require.InDelta(t, got["vole"].Seen[f], rows.Count, 1e-9)
		for _, x := range rows.Sightings {
			of, ok := fighter.SortOf(tape.MoveOf(x.Act.Act, x.Act.Value))
			require.True(t, ok && of == s && x.Hit)
		}
	}
}

// Tape to come is worth something for what the centre makes of a fighter, on the feet; of steps back on the fence never.
func TestYieldOfPlaces(t *testing.T) {
	got, err := Yields(&fighter.Pair{Red: fighter.Population("mole", fighter.AverageBody()), Blue: fighter.Population("newt", fighter.AverageBody())}, mustRules(t))
	require.NoError(t, err)
	for k := range fighter.NumPlaces {
		for s := range fighter.NumSorts {
			f := fighter.Placed(k, s)
			feet, elsewhere := 0.0, 0.0
			for z := range fighter.NumZones {
				if hasStance(z) {
					feet += got[0].Adds[z][f]
				} else {
					elsewhere += got[0].Adds[z][f]
				}
			}
			require.Zero(t, elsewhere, fighter.Define(f).Name)
			if k == fighter.OwnCentre || k == fighter.TheirCentre { // nobody need come to the fence, and stances hardly change
				require.Positive(t, feet, fighter.Define(f).Name)
			}
			require.True(t, places(1<<k).leaves(s) || feet == 0, fighter.Define(f).Name)
		}
	}
}

// A library of fighters who kick twice as often from the centre, differ in it by .5, and punch from the other's fence half as often: both come back, and what is as it was is
// not taken for something else. 60 fighters of 18 rounds each.
func TestPopulationOfPlacesComesBack(t *testing.T) {
	truth := fighter.Shipped().Clone()
	kicks, punches := fighter.Placed(fighter.OwnCentre, fighter.Kicks), fighter.Placed(fighter.TheirFence, fighter.Punches)
	truth.Figures[kicks] = fighter.Posterior{A: 2, B: .5}
	truth.Figures[punches] = fighter.Posterior{A: .5, B: .25}
	l, err := EstimatePopulation(libraryOf(t, truth, 14, 60, 3), Options{})
	require.NoError(t, err)
	seen := 0
	for _, x := range l.Estimates {
		if !isPlace(x.figure) || !x.Estimated {
			continue
		}
		seen++
		want := truth.Figures[x.figure]
		if x.figure == kicks || x.figure == punches {
			t.Logf("%s: %.3f ± %.3f, sd %.3f; truth %.3f, sd %.3f", x.Name, x.After, x.SE, x.Is, want.A, want.B)
			require.Less(t, math.Abs(math.Log(x.After/want.A)), math.Abs(math.Log(x.Before/want.A))/2, x.Name)
		}
		require.InDelta(t, math.Log(want.A), math.Log(x.After), 4.9*x.SE/x.After, x.Name)
		// A variance between 60, each known to about .3, has the standard error √(2/60)·(B² + .3²).
		require.InDelta(t, want.B*want.B, x.Is*x.Is, 4.9*math.Sqrt(2./60)*(want.B*want.B+.3*.3), x.Name)
	}
	require.Greater(t, seen, 20)
	for _, z := range []fighter.Zone{fighter.Kicking, fighter.Long} {
		f := fighter.Initiate(z, tape.MoveLowKickOutside)
		for _, x := range l.Estimates {
			if x.figure == f {
				require.InDelta(t, x.Before, x.After, 4.9*x.SE, fmt.Sprintf("%s is of elsewhere", x.Name))
			}
		}
	}
}

// southpawBouts plays an orthodox fighter against southpaws and orthodox ones in turn.
func southpawBouts(t *testing.T, d fighter.Draw, seed uint64, bouts int) (out []*tape.Coding) {
	t.Helper()
	rules := mustRules(t)
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(rules, sim.AverageWorld())
	for i := range bouts {
		body := fighter.AverageBody()
		body.Southpaw = i%2 == 0
		id := fmt.Sprintf("newt%d", i%2)
		require.NoError(t, b.Sides[0].Load(fighter.AverageBody(), d, nil, nil, rules))
		require.NoError(t, b.Sides[1].Load(body, fighter.Population(id, body).Centre(), nil, nil, rules))
		b.Run(kernel.NewKey(seed, uint64(i)))
		c := codingOf(boutOf(fmt.Sprint("bout ", i), rules, "vole", id), b.Events)
		c.Bout.Fighters[1].Body = physiqueOf(body)
		out = append(out, c)
	}
	return out
}

// Who punches half as often against the other stance is found to, from bouts against both.
func TestPlantedStanceComesBack(t *testing.T) {
	f := fighter.Placed(fighter.OpenStance, fighter.Punches)
	d := fighter.Population("vole", fighter.AverageBody()).Centre()
	d[f] = .5
	got, err := Profiles(southpawBouts(t, d, 54, 8), "vole")
	require.NoError(t, err)
	post := got["vole"].Figures[f]
	t.Logf("punches against the other stance: %.2f (%.2f)", post.A, post.B)
	require.InDelta(t, math.Log(.5), math.Log(post.A), 4*post.B)
	require.Less(t, post.A, .75)
}
