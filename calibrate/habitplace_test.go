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

// One range, one place: the multiple is the ratio of two rates, and its logarithm's variance 1/n + 1/m (given the sum, one count is binomial with the odds
// multiple times seconds over seconds: exact).
func TestMultipleIsTheRateRatio(t *testing.T) {
	mean, sd := fitOf(placedAt{here: 41, there: 15, secondsHere: 28010, secondsThere: 19017})
	require.InDelta(t, math.Log(15./19017/(41./28010)), mean, 1e-6)
	require.InDelta(t, math.Sqrt(1./15+1./41), sd, 1e-6)
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

// swapped has the centre held by the wrong corner.
func swapped(codings []*tape.Coding) []*tape.Coding {
	for _, c := range codings {
		for i := range c.Rows {
			if r := &c.Rows[i]; r.Act == tape.StateCentre && r.Value != tape.Even {
				r.Value = tape.Red + tape.Blue - r.Value
			}
		}
	}
	return codings
}

// The planted kicker after ten bouts, for somebody who believes that people differ much in this (.8): the multiple comes back within four of its standard
// deviations, and above 2. The rates of kicks, which are of elsewhere, do not take it in: over the ranges the sum of the deviates of their logarithms is
// normal, within 4 √n. With the labels of the centre swapped it is not found, and the other's centre seems to matter.
func TestPlantedKickerComesBack(t *testing.T) {
	f, theirs := fighter.Placed(fighter.OwnCentre, fighter.Kicks), fighter.Placed(fighter.TheirCentre, fighter.Kicks)
	truth := centreKicker()
	o := Options{For: []string{"vole"}, Population: fighter.Shipped().Clone()}
	o.Population.Figures[f].B, o.Population.Figures[theirs].B = .8, .8
	got, err := Calibrate(simulated(t, truth, 51, 10), o)
	require.NoError(t, err)
	p := got.Profiles["vole"]
	post := p.Figures[f]
	t.Logf("kicks from the centre: %.2f (sd of the logarithm %.2f); the other's %.2f (%.2f)", post.A, post.B, p.Figures[theirs].A, p.Figures[theirs].B)
	require.InDelta(t, math.Log(3), math.Log(post.A), 4*post.B)
	require.Greater(t, post.A, 2.)
	require.Equal(t, fighter.FromTape, p.Sources[f])
	require.InDelta(t, 0, math.Log(p.Figures[theirs].A), 4*p.Figures[theirs].B)
	deviates, n := 0.0, 0.0
	for z := fighter.Out; z <= fighter.Pocket; z++ {
		for m := range tape.NumMoves {
			s, ok := fighter.SortOf(m)
			rate := p.Figures[fighter.Initiate(z, m)]
			if ok && s == fighter.Kicks && rate.A > 4 {
				deviates += math.Log(rate.Mean(fighter.Rate)/truth[fighter.Initiate(z, m)]) * math.Sqrt(rate.A)
				n++
			}
		}
	}
	t.Logf("rates of kicks: mean deviate %+.2f of %.0f", deviates/n, n)
	require.Greater(t, n, 5.)
	require.InDelta(t, 0, deviates, 4*math.Sqrt(n))

	wrong, err := Calibrate(swapped(simulated(t, truth, 51, 10)), o)
	require.NoError(t, err)
	require.Less(t, wrong.Profiles["vole"].Figures[f].A, 1.)
	require.Greater(t, wrong.Profiles["vole"].Figures[theirs].A, 1.5)
}

// What is not looked for stays as it was before, and the rest is still told.
func TestPlacesNotLookedForStay(t *testing.T) {
	codings := simulated(t, centreKicker(), 52, 2)
	for _, c := range codings {
		c.Bout.LookedFor[tape.GroupCentre] = false
	}
	got, err := Profiles(codings, "vole")
	require.NoError(t, err)
	p, prior := got["vole"], fighter.Population("vole", fighter.AverageBody())
	for s := range fighter.NumSorts {
		for _, k := range []fighter.Place{fighter.OwnCentre, fighter.TheirCentre} {
			f := fighter.Placed(k, s)
			require.Equal(t, prior.Figures[f], p.Figures[f], fighter.Define(f).Name)
			require.NotEqual(t, fighter.FromTape, p.Sources[f], fighter.Define(f).Name)
		}
	}
	require.Equal(t, fighter.FromTape, p.Sources[fighter.Placed(fighter.TheirFence, fighter.Punches)])
	back := fighter.Placed(fighter.OwnFence, fighter.Back)
	require.Equal(t, prior.Figures[back], p.Figures[back], "nobody steps back there")
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
