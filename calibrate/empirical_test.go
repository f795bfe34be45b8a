package calibrate

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// libraryOf plays a ring in which everybody, drawn from a population, meets the next k.
func libraryOf(t testing.TB, p *fighter.PopulationFile, seed uint64, fighters, k int) []*tape.Coding {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(rules, sim.AverageWorld())
	var draws []fighter.Draw
	id := func(i int) string { return fmt.Sprintf("vole%03d", i%fighters) }
	for i := range fighters {
		draws = append(draws, p.Profile(id(i), fighter.AverageBody()).Draw(seed, 0, false))
	}
	var out []*tape.Coding
	for apart := 1; apart <= k; apart++ {
		for i := range fighters {
			require.NoError(t, b.Sides[0].Load(fighter.AverageBody(), draws[i], nil, nil, rules))
			require.NoError(t, b.Sides[1].Load(fighter.AverageBody(), draws[(i+apart)%fighters], nil, nil, rules))
			b.Run(kernel.NewKey(seed, uint64(len(out))))
			out = append(out, codingOf(boutOf(fmt.Sprintf("bout %03d", len(out)), rules, id(i), id(i+apart)), b.Events))
		}
	}
	return out
}

// shiftedPopulation differs from the embedded one in means and spreads.
func shiftedPopulation() *fighter.PopulationFile {
	p := fighter.Shipped().Clone()
	for f, by := range map[fighter.Figure]float64{
		fighter.Initiate(fighter.Long, tape.MoveJab):            1.8,
		fighter.Initiate(fighter.Kicking, tape.MoveFeintHip):    2.5,
		fighter.Initiate(fighter.Pocket, tape.MoveStepBack):     .5,
		fighter.Initiate(fighter.Kicking, tape.MoveFeintHand):   .5,
		fighter.Initiate(fighter.Kicking, tape.MoveCircleLeft):  2,
		fighter.Initiate(fighter.Kicking, tape.MoveCircleRight): .4,
	} {
		rate := by * p.Figures[f].Mean(fighter.Rate)
		p.Figures[f] = fighter.Posterior{A: 10, B: 10 / rate} // more alike than the embedded one's 3 counts have it
	}
	p.Figures[fighter.Answer(1, tape.MoveCross)].A *= 3
	p.Figures[fighter.Continue(1, tape.MoveStepBack)].A *= .3
	p.Figures[fighter.Defend(fighter.Straight, fighter.Slip)].A *= 3
	p.Figures[fighter.Bite(fighter.Hip)].A += .8
	for f := range fighter.NumFamilies {
		p.Figures[fighter.Attack(f)].B, p.Figures[fighter.Defence(f)].B = .6, .6
	}
	return p
}

// Fighters drawn from a shifted population: 36 of them with six rounds each. What was shifted is found again: every mean lies nearer the truth than
// the shipped one, and within 4.9 of its standard errors and a tenth of the truth, which is what reading tape is off by systematically (an act
// in thirty is taken for another choice point, and busy time is known to a tenth of a second only). So is the spread of the shifted rates: ten counts, three
// shipped, of which the four fighters that those stand for leave 10^.9·3^.1 = 8.9, and circumstances a little less; over five libraries of 36 the
// logarithm of one estimate has the standard deviation .28, and six of them .11 together.
func TestPopulationComesBack(t *testing.T) {
	truth := shiftedPopulation()
	l, err := EstimatePopulation(libraryOf(t, truth, 11, 36, 2), Options{})
	require.NoError(t, err)
	require.Equal(t, 36, l.Fighters)
	require.Equal(t, 36*2*2*3, l.Rounds)
	shares := func(p *fighter.PopulationFile, f fighter.Figure) float64 { // of the table that the figure is of
		sum := 0.0
		for _, x := range tableOf(f) {
			sum += p.Figures[x].A
		}
		return p.Figures[f].A / sum
	}
	sums := [2]float64{}
	var spreads []float64
	for _, x := range l.Estimates {
		f, known := fighter.Named(x.Name)
		if !known {
			continue
		}
		var was, want float64
		switch law := fighter.Define(f).Law; law {
		case fighter.Rate:
			was, want = fighter.Shipped().Figures[f].Mean(law), truth.Figures[f].Mean(law)
		case fighter.Weight:
			was, want = shares(fighter.Shipped(), f), shares(truth, f)
		default:
			was, want = fighter.Shipped().Figures[f].A, truth.Figures[f].A
		}
		require.InDelta(t, was, x.Before, 1e-12, x.Name)
		if math.Abs(was-want) < .25*want || math.Abs(was-want) < .01 {
			continue
		}
		t.Logf("%s: truth %.4f, shipped %.4f, estimated %.4f ± %.4f (%s %.3g, limit %v, %s)", x.Name, want, was, x.After, x.SE, x.Spread, x.Is, x.AtLimit, x.Why)
		require.True(t, x.Estimated, x.Name)
		require.Less(t, math.Abs(x.After-want), math.Abs(was-want), "%s: nearer", x.Name)
		require.InDelta(t, want, x.After, 4.9*x.SE+.1*math.Abs(want), x.Name)
		sums[0], sums[1] = sums[0]+math.Abs(x.After-want)/math.Abs(was-want), sums[1]+1
		if x.Spread == "counts" {
			spreads = append(spreads, math.Log(x.Is))
		}
	}
	require.GreaterOrEqual(t, sums[1], 9., "figures that were shifted")
	require.GreaterOrEqual(t, len(spreads), 6)
	require.InDelta(t, math.Log(8.5), stat.Mean(spreads, nil), 4.9*.28/math.Sqrt(float64(len(spreads))), "logarithm of counts of shifted rates")
	require.Less(t, sums[0]/sums[1], .35, "of the shift on average at most a third is left")
	last := l.Population.Prior.Skill
	t.Logf("skills differ by %.3f (truth .6, shipped .3)", last)
	require.InDelta(t, .6, last, .15)
}

func tableOf(f fighter.Figure) (out []fighter.Figure) {
	prefix := tablePrefix(f)
	for i := range fighter.NumFigures() {
		if tablePrefix(fighter.Figure(i)) == prefix {
			out = append(out, fighter.Figure(i))
		}
	}
	return out
}

func tablePrefix(f fighter.Figure) string {
	name := fighter.Define(f).Name
	for i := len(name) - 1; i >= 0; i-- {
		if name[i] == '.' {
			return name[:i]
		}
	}
	return name
}

// Libraries that carry nothing leave the population as it was, figure by figure, and say why: no tape, one round, one bout of two people, and
// bouts of which none counts.
func TestSmallLibraries(t *testing.T) {
	two := libraryOf(t, fighter.Shipped(), 3, 2, 1)[:1]
	oneRound := *two[0].Bout
	oneRound.ID, oneRound.Coded = "one round", []tape.Interval{{Round: 1, From: 0, To: 300e6}}
	unusual := *two[0].Bout
	unusual.ID, unusual.Usual = "unusual", false
	for name, tapes := range map[string][]*tape.Coding{
		"empty": nil, "one bout": two, "one round": {{Bout: &oneRound, Name: "events", Rows: two[0].Rows}},
		"nothing counts": {{Bout: &unusual, Name: "events", Rows: two[0].Rows}},
	} {
		l, err := EstimatePopulation(tapes, Options{})
		require.NoError(t, err, name)
		require.Equal(t, fighter.Shipped().Figures, l.Population.Figures, name)
		require.Equal(t, fighter.Shipped().Marks, l.Population.Marks, name)
		require.Equal(t, fighter.Shipped().Prior, l.Population.Prior, name)
		require.NotEmpty(t, l.Estimates)
		for _, x := range l.Estimates {
			require.False(t, x.Estimated, name)
			require.Contains(t, x.Why, "at least 5 are needed", name)
			require.Equal(t, x.Before, x.After)
			require.Zero(t, x.SE)
		}
	}
	one, err := EstimatePopulation([]*tape.Coding{{Bout: &oneRound, Name: "events", Rows: two[0].Rows}}, Options{})
	require.NoError(t, err)
	require.Equal(t, [2]int{2, 2}, [2]int{one.Fighters, one.Rounds}, "two fighters, one round each")
	require.InDelta(t, 10, one.Minutes, 1e-9)
}

// People who are all the same: means are found, and the spread of most rates reaches its limit, which is said. The marks say how much tape it was.
func TestEverybodyAlike(t *testing.T) {
	alike := fighter.Shipped().Clone()
	for i := range alike.Figures {
		switch p := &alike.Figures[i]; fighter.Define(fighter.Figure(i)).Law {
		case fighter.Rate:
			p.A, p.B = p.A*1e6, p.B*1e6
		case fighter.Weight:
			p.A *= 1e6
		case fighter.Skill:
			p.B = 1e-6
		}
	}
	l, err := EstimatePopulation(libraryOf(t, alike, 5, 24, 1), Options{})
	require.NoError(t, err)
	limits, estimated := 0, 0
	for _, x := range l.Estimates {
		if x.Spread == "counts" && x.Estimated {
			estimated++
			require.Greater(t, x.Is, x.Was, "%s: more alike than the embedded population has it", x.Name)
			if x.AtLimit {
				limits++
				require.InDelta(t, mostCounts, x.Is, mostCounts/50., x.Name)
			}
		}
	}
	require.Greater(t, estimated, 40)
	require.Greater(t, limits, estimated/4, "at their limit")
	require.Contains(t, fmt.Sprint(l.Notes), "whose spread is at its limit")
	require.InDelta(t, leastSpread, l.Population.Prior.Skill, .1)
	require.Equal(t, fighter.OnTape, l.Population.Marks["initiate.long.jab"].Basis)
	require.Regexp(t, `^24 fighters, \d+ rounds; standard error `, l.Population.Marks["initiate.long.jab"].Text)
	require.Equal(t, fighter.OnJudgement, l.Population.Marks["survive.hop"].Basis)

	// It is written, read, and profiles are made against it, which say so.
	again, err := fighter.ReadPopulation("mine.yaml", fighter.WritePopulation(l.Population))
	require.NoError(t, err)
	r, err := Calibrate(libraryOf(t, alike, 6, 4, 1), Options{Population: again, For: []string{"vole001"}})
	require.NoError(t, err)
	require.Equal(t, again.ID, r.Profiles["vole001"].Population)
	jab := fighter.Initiate(fighter.Long, tape.MoveJab)
	require.Greater(t, r.Profiles["vole001"].Figures[jab].A, again.Figures[jab].A)
}

// Bouts in which steps were not looked for, under rules that forbid shots: steps keep their proportion to doing nothing, which they were taken
// for; shots keep their share; crosses move.
func TestHiddenAndForbiddenMoves(t *testing.T) {
	tapes := libraryOf(t, shiftedPopulation(), 17, 16, 1)
	for _, c := range tapes {
		c.Bout.LookedFor[tape.GroupSteps] = false
		rules := *c.Bout.RuleSet
		rules.Allowed[tape.MoveShoot] = false
		c.Bout.RuleSet = &rules
	}
	l, err := EstimatePopulation(tapes, Options{})
	require.NoError(t, err)
	was, is := fighter.Shipped().Figures, l.Population.Figures
	share := func(p []fighter.Posterior, m tape.Move) float64 {
		sum := 0.0
		for x := range tape.NumMoves {
			sum += p[fighter.Answer(1, x)].A
		}
		return p[fighter.Answer(1, m)].A / sum
	}
	require.InDelta(t, share(was, tape.MoveShoot), share(is, tape.MoveShoot), 1e-9, "forbidden: its share stays")
	// Only the population, as one fighter more, tells steps from doing nothing; its own proportion is the same, but a Dirichlet makes rarer shares
	// of few counts a little larger.
	require.InEpsilon(t, share(was, tape.MoveStepBack)/share(was, tape.NoMove), share(is, tape.MoveStepBack)/share(is, tape.NoMove), .1)
	for _, x := range l.Estimates {
		if x.Name == "answer.long.shoot" || x.Name == "answer.long.none" {
			require.Zero(t, x.SE)
		}
		if x.Name == "initiate.long.shoot" {
			require.False(t, x.Estimated)
			require.Equal(t, was[fighter.Initiate(fighter.Long, tape.MoveShoot)], is[fighter.Initiate(fighter.Long, tape.MoveShoot)])
		}
	}
	require.Greater(t, share(is, tape.MoveCross), 1.3*share(was, tape.MoveCross))
}

// A library of rounds that are unlike each other: in half of each fighter's, drawn by lot, seven in ten of the acts are struck out. Against one
// in which as many are struck out evenly, most rates are less surely known, and what is luck of rounds is not taken for how fighters differ.
func TestRoundsUnlikeEachOther(t *testing.T) {
	thinned := func(keep func(lot uint32) float64) *Library {
		tapes := libraryOf(t, fighter.Shipped(), 23, 16, 1)
		for k, c := range tapes {
			src := kernel.NewKey(7, uint64(k)).Stream()
			var lots [2][4]uint32
			for corner := range lots {
				for round := range lots[corner] {
					lots[corner][round] = src.Uint32()
				}
			}
			var rows []tape.Row
			for _, row := range c.Rows {
				if !row.IsAct() || row.Corner == tape.NoCorner || float64(src.Uint32())/(1<<32) < keep(lots[row.Corner][row.Round]) {
					rows = append(rows, row)
				}
			}
			c.Rows = rows
		}
		l, err := EstimatePopulation(tapes, Options{})
		require.NoError(t, err)
		return l
	}
	uneven := thinned(func(lot uint32) float64 { return []float64{.3, 1}[lot%2] })
	even := thinned(func(uint32) float64 { return .65 })
	wider, rates := 0, 0
	var ratios, shapes [2]float64
	other := map[string]Estimate{}
	for _, y := range even.Estimates {
		other[y.Name] = y
	}
	for _, x := range uneven.Estimates {
		y := other[x.Name]
		if x.Spread != "counts" || !x.Estimated || !y.Estimated || x.Events < 40 {
			continue
		}
		rates++
		if x.SE/x.After > y.SE/y.After {
			wider++
		}
		ratios[0], ratios[1] = ratios[0]+x.SE/x.After, ratios[1]+y.SE/y.After
		shapes[0], shapes[1] = shapes[0]+math.Log(x.Is), shapes[1]+math.Log(y.Is)
	}
	t.Logf("%d rates, %d less sure; relative errors %.3f and %.3f; counts %.2f and %.2f", rates, wider, ratios[0]/float64(rates), ratios[1]/float64(rates),
		math.Exp(shapes[0]/float64(rates)), math.Exp(shapes[1]/float64(rates)))
	require.Greater(t, rates, 20)
	require.Greater(t, wider, rates*3/4)
	require.Greater(t, shapes[0], shapes[1]-.5*float64(rates))
}

// A library of 200 bouts of 60 fighters: the goal is a minute on two cores for either.
func BenchmarkLibraryOf200Bouts(b *testing.B) {
	tapes := libraryOf(b, fighter.Shipped(), 11, 50, 4)
	for name, do := range map[string]func() error{
		"calibrate": func() error {
			_, err := Calibrate(tapes, Options{Coder: usualDoubt(b)})
			return err
		},
		"population": func() error { _, err := EstimatePopulation(tapes, Options{}); return err },
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if err := do(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func usualDoubt(t testing.TB) CoderDoubt {
	d, err := ReadCoderDoubt("usual")
	require.NoError(t, err)
	return d
}
