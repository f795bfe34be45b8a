package calibrate

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tape"
)

// Applicants admitted and not at Berkeley in 1973, by department, men and women: Bickel, Hammel & O'Connell (1975), Science 187, 398-404; counts
// as in R's UCBAdmissions (from memory).
var admitted = [6][2][2]float64{
	{{512, 313}, {89, 19}}, {{353, 207}, {17, 8}}, {{120, 205}, {202, 391}}, {{138, 279}, {131, 244}}, {{53, 138}, {94, 299}}, {{22, 351}, {24, 317}},
}

// The odds ratio common to six 2×2 tables, by a level for each table and one coefficient: R's glm gives .09987 for women, standard error .08085, and
// .58205 ± .06899 for the first department (from memory, as printed).
func TestCommonOddsRatio(t *testing.T) {
	l := &logistic{precision: make([]float64, 7)}
	for d, sexes := range admitted {
		for s, n := range sexes {
			tr := trial{terms: []term{{d, 1}}, made: n[0], tries: n[0] + n[1]}
			if s == 1 {
				tr.terms = append(tr.terms, term{6, 1})
			}
			l.trials = append(l.trials, tr)
		}
	}
	f := l.fit()
	require.Equal(t, converged, f.ended)
	require.InDelta(t, .09987, f.mean[6], 6e-6)
	require.InDelta(t, .08085, math.Sqrt(f.cov.At(6, 6)), 6e-6)
	require.InDelta(t, .58205, f.mean[0], 6e-6)
	require.InDelta(t, .06899, math.Sqrt(f.cov.At(0, 0)), 6e-6)
}

// choicesOf are choices made by hand, under a pattern: something is another strike at each range, so that none may have strayed.
func choicesOf(could pattern, k int, n map[[2]int][2]float64) *counts { // by range and what came before: something and nothing
	c := newCounts(nil)
	c.tables[could], c.lasts[could] = map[fighter.Figure]float64{}, map[lastChoice]float64{}
	for at, x := range n {
		for i, m := range []tape.Move{[]tape.Move{tape.MoveJab, tape.MoveCross, tape.MoveRearHook}[at[0]], tape.NoMove} {
			f := choiceTables[k](at[0], m)
			c.tables[could][f] += x[i]
			c.lasts[could][lastChoice{f, fighter.After(at[1])}] += x[i]
		}
	}
	return c
}

func everything(t *testing.T) pattern { return pattern{tape.AllGroups(), allowed(t), false} }

// knowsNothing is a population that counts for a millionth of a choice, and whose multiples may be anything.
func knowsNothing() *fighter.Profile {
	p := fighter.Population("vole", fighter.AverageBody())
	for f := range p.Figures {
		switch fighter.Define(fighter.Figure(f)).Law {
		case fighter.Weight:
			p.Figures[f].A *= 1e-7
		case fighter.Size:
			p.Figures[f].B = 1e3
		}
	}
	return p
}

// One range, kicks beside punches: with nothing believed before, the multiple is the odds ratio and its variance Σ 1/n (Woolf 1955, from memory) beside misreadOdds, and the
// odds after punches are those of punches alone. Three ranges (departments of the six above): at the maximum the fitted choices add up to those counted, at every
// range and after kicks (exact: the score equations of logistic regression).
func TestMultipleIsTheOddsRatio(t *testing.T) {
	const long = 1
	punch, kick := int(fighter.AfterPunch), int(fighter.AfterKick)
	p := knowsNothing()
	setTables(p, choicesOf(everything(t), 1, map[[2]int][2]float64{{long, punch}: {60, 140}, {long, kick}: {20, 90}}))
	post := p.Figures[fighter.Follows(fighter.AfterKick)]
	require.InDelta(t, 20./90/(60./140), post.A, 1e-5)
	require.InDelta(t, 1./20+1./90+1./60+1./140, post.B*post.B-misreadOdds*misreadOdds, 1e-5)
	require.EqualValues(t, 110, p.Seen[fighter.Follows(fighter.AfterKick)])
	require.Equal(t, fighter.FromTape, p.Sources[fighter.Follows(fighter.AfterKick)])
	require.NotEqual(t, fighter.FromTape, p.Sources[fighter.Follows(fighter.AfterFeint)])
	somethings, variance := somethingOf(p, 1, long)
	none := p.Figures[fighter.Continue(long, tape.NoMove)]
	require.InDelta(t, 60./140, somethings/none.Mean(fighter.Weight), 1e-5)
	require.InDelta(t, 1./60+1./140, variance, 1e-5)

	p = knowsNothing()
	n := map[[2]int][2]float64{}
	for z := range fighter.ExchangeZones {
		n[[2]int{z, punch}], n[[2]int{z, kick}] = admitted[z][0], admitted[z][1]
	}
	setTables(p, choicesOf(everything(t), 0, n))
	by := p.Figures[fighter.Replies(fighter.AfterKick)].A
	kicks, fitted := 0.0, 0.0
	for z := range fighter.ExchangeZones {
		something, _ := somethingOf(p, 0, z)
		odds := something / p.Figures[fighter.Answer(z, tape.NoMove)].Mean(fighter.Weight)
		punches, after := admitted[z][0], admitted[z][1]
		x := (punches[0]+punches[1])*odds/(1+odds) + (after[0]+after[1])*odds*by/(1+odds*by)
		require.InDelta(t, punches[0]+after[0], x, 1e-3)
		kicks, fitted = kicks+after[0], fitted+(after[0]+after[1])*odds*by/(1+odds*by)
	}
	require.InDelta(t, kicks, fitted, 1e-3)
}

// somethingOf adds up the weights of doing something in a table, and gives the variance of the logarithm of its odds against nothing.
func somethingOf(p *fighter.Profile, k, z int) (something, variance float64) {
	square := 0.0
	for m := range tape.NumMoves {
		if post := p.Figures[choiceTables[k](z, m)]; m != tape.NoMove && post.A > 0 {
			something, square = something+post.Mean(fighter.Weight), square+post.Mean(fighter.Weight)*post.Mean(fighter.Weight)/post.A
		}
	}
	return something, square/something/something + 1/p.Figures[choiceTables[k](z, tape.NoMove)].A
}

// After punches alone nothing is new: weights are the prior's plus the choices, to the bit a Dirichlet's (exact: conjugate).
func TestPunchesAloneLeaveADirichlet(t *testing.T) {
	p, prior := fighter.Population("vole", fighter.AverageBody()), fighter.Population("vole", fighter.AverageBody())
	setTables(p, choicesOf(everything(t), 1, map[[2]int][2]float64{{2, int(fighter.AfterPunch)}: {30, 12}}))
	require.Equal(t, prior.Figures[fighter.Continue(2, tape.MoveRearHook)].A+30, p.Figures[fighter.Continue(2, tape.MoveRearHook)].A)
	none := p.Figures[fighter.Continue(2, tape.NoMove)]
	require.InDelta(t, prior.Figures[fighter.Continue(2, tape.NoMove)].A+12, none.A, 1e-8)
	require.Zero(t, none.B)
	for a := fighter.AfterStep; a < fighter.NumAfters; a++ {
		require.Equal(t, prior.Figures[fighter.Follows(a)], p.Figures[fighter.Follows(a)])
	}
}

// What could not be done, or was not looked for, says nothing: choices just as a table and a multiple of one half make them, seen by a coder who
// looks for everything, by one who does not look for kicks, and with the back on the fence, give both back (exact but for the population's own weight, a
// ten-thousandth of theirs).
func TestMultiplesKnowWhatCouldBeWrittenDown(t *testing.T) {
	const long, each = 1, 1e6
	weights := map[tape.Move]float64{tape.NoMove: 50, tape.MoveCross: 20, tape.MoveLowKickOutside: 15, tape.MoveStepBack: 15}
	deaf := tape.AllGroups()
	deaf[tape.GroupStrikes] = false
	for name, patterns := range map[string][]pattern{
		"everything":      {everything(t)},
		"also no strikes": {everything(t), {deaf, allowed(t), false}},
		"also the fence":  {everything(t), {tape.AllGroups(), allowed(t), true}},
		"both":            {everything(t), {deaf, allowed(t), false}, {tape.AllGroups(), allowed(t), true}},
	} {
		c := newCounts(nil)
		for _, could := range patterns {
			c.tables[could], c.lasts[could] = map[fighter.Figure]float64{}, map[lastChoice]float64{}
			for a, by := range map[fighter.After]float64{fighter.AfterPunch: 1, fighter.AfterStep: .5} {
				whole := 0.0
				of := func(m tape.Move) float64 {
					switch {
					case could.forbidden(m):
						return 0
					case m == tape.NoMove:
						return weights[m]
					}
					return by * weights[m]
				}
				for m := range weights {
					whole += of(m)
				}
				for m := range weights {
					as := m
					if could.hidden(m) {
						as = tape.NoMove
					}
					f := fighter.Continue(long, as)
					c.tables[could][f] += each * of(m) / whole
					c.lasts[could][lastChoice{f, a}] += each * of(m) / whole
				}
			}
		}
		p := fighter.Population("vole", fighter.AverageBody())
		setTables(p, c)
		require.InDelta(t, .5, p.Figures[fighter.Follows(fighter.AfterStep)].A, .005, name)
		something, _ := somethingOf(p, 1, long)
		require.InDelta(t, 1, something/p.Figures[fighter.Continue(long, tape.NoMove)].Mean(fighter.Weight), .01, name)
	}
}

// stopper goes on half as often after steps, and half as often not at all after strikes, as the population does at long range; after feints and hand
// work as the population. Before multiples by last act a profile from 30 rounds gave a fifth too few strikes after own strikes and three fifths too
// many after other acts.
func stopper() fighter.Draw {
	d := fighter.Population("vole", fighter.AverageBody()).Centre()
	none := func(z int) float64 {
		whole := 0.0
		for m := range tape.NumMoves {
			whole += d[fighter.Continue(z, m)]
		}
		return d[fighter.Continue(z, tape.NoMove)] / whole
	}
	odds := func(nothing float64) float64 { return (1 - nothing) / nothing }
	usual := none(fighter.Long.Exchange())
	for a, then := range map[fighter.After]float64{fighter.AfterStep: 1 - (1-usual)/2, fighter.AfterFeint: usual, fighter.AfterHandWork: usual} {
		d[fighter.Follows(a)] = odds(then) / odds(usual/2)
	}
	for z := range fighter.ExchangeZones {
		is := none(z)
		d[fighter.Continue(z, tape.NoMove)] *= odds(is) / odds(is/2)
	}
	return d
}

// following counts, per bout, strikes that continue own strikes and those that continue other own acts.
func following(t *testing.T, codings []*tape.Coding) (afterStrikes, afterOthers float64) {
	for _, c := range codings {
		var events []tape.Event
		for i := range c.Rows {
			events = append(events, c.Rows[i].Event)
		}
		for i := range events {
			if e := &events[i]; e.Corner == tape.RedCorner && e.Act.IsStrike() {
				if at, about := tape.Origin(events, i); at == tape.Continue && events[about].Act.IsStrike() {
					afterStrikes++
				} else if at == tape.Continue {
					afterOthers++
				}
			}
		}
	}
	require.NotZero(t, afterStrikes*afterOthers)
	return afterStrikes / float64(len(codings)), afterOthers / float64(len(codings))
}

// The planted stopper, calibrated from ten bouts (30 rounds): bouts played with the profile have as many strikes after own strikes and after other acts
// as the truth's, within the luck of what was coded. Counts of a bout vary about as Poisson's with a factor of 2 (bouts differ in where they are
// fought): of n counted in ten bouts the logarithm has the standard error √(2/n), and 150 bouts a side add √(2·2/(15·n)).
func TestPlantedStopperComesBack(t *testing.T) {
	truth := stopper()
	coded := simulated(t, truth, 41, 10)
	p, err := Profiles(coded, "vole")
	require.NoError(t, err)
	for a := fighter.AfterStep; a < fighter.NumAfters; a++ {
		f := fighter.Follows(a)
		post := p["vole"].Figures[f]
		require.InDelta(t, math.Log(truth[f]), math.Log(post.A), 4*post.B, fighter.Define(f).Name)
	}
	n := func(d fighter.Draw, seed uint64) [2]float64 {
		strikes, others := following(t, simulated(t, d, seed, 150))
		return [2]float64{strikes, others}
	}
	real, fitted := n(truth, 42), n(p["vole"].Centre(), 43)
	for i, name := range []string{"after strikes", "after other acts"} {
		luck := math.Sqrt(2 / (10 * real[i]) * (1 + 2./15))
		t.Logf("strikes %s: truth %.1f a bout, profile %.1f (%+.0f %%), standard error %.0f %%", name, real[i], fitted[i], 100*(fitted[i]/real[i]-1), 100*luck)
		require.InDelta(t, 0, math.Log(fitted[i]/real[i]), 3*luck, name)
		require.Less(t, math.Abs(fitted[i]/real[i]-1), .15, name)
	}
}

// Tape to come is worth something for every multiple, where their acts are over.
func TestYieldOfMultiples(t *testing.T) {
	got, err := Yields(&fighter.Pair{Red: fighter.Population("mole", fighter.AverageBody()), Blue: fighter.Population("newt", fighter.AverageBody())}, mustRules(t))
	require.NoError(t, err)
	for i := range numMultiples {
		f := fighter.Follows(fighter.AfterStep) + fighter.Figure(i)
		feet, elsewhere := 0.0, 0.0
		for z := range fighter.NumZones {
			if hasStance(z) {
				feet += got[0].Adds[z][f]
			} else {
				elsewhere += got[0].Adds[z][f]
			}
		}
		require.Positive(t, feet, fighter.Define(f).Name)
		require.Zero(t, elsewhere, fighter.Define(f).Name)
	}
}

// A library of fighters who go on after steps with half of the odds and differ in it by .5: both come back, and tables, which stay as they were,
// are not taken for other ones.
func TestPopulationOfMultiplesComesBack(t *testing.T) {
	truth := fighter.Shipped().Clone()
	step := fighter.Follows(fighter.AfterStep)
	truth.Figures[step] = fighter.Posterior{A: .5, B: .5}
	l, err := EstimatePopulation(libraryOf(t, truth, 12, 80, 3), Options{})
	require.NoError(t, err)
	seen := 0
	for _, x := range l.Estimates {
		if !isAfter(x.figure) {
			continue
		}
		seen++
		want := truth.Figures[x.figure]
		t.Logf("%s: %.3f ± %.3f, sd %.3f; truth %.3f, sd %.3f", x.Name, x.After, x.SE, x.Is, want.A, want.B)
		require.True(t, x.Estimated, x.Name)
		require.InDelta(t, math.Log(want.A), math.Log(x.After), 4.9*x.SE/x.After, x.Name)
		// The variance between 80, each known to about .15, has the standard error √(2/80)·(B² + .15²).
		require.InDelta(t, want.B*want.B, x.Is*x.Is, 4.9*math.Sqrt(2./80)*(want.B*want.B+.15*.15), x.Name)
	}
	require.Equal(t, numMultiples, seen)
	for _, z := range []fighter.Zone{fighter.Kicking, fighter.Long} {
		none := fmt.Sprintf("continue.%s.none", z)
		for _, x := range l.Estimates {
			if x.Name == none {
				require.InDelta(t, x.Before, x.After, 4.9*x.SE+.01, none)
			}
		}
	}
}
