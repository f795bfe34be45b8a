package calibrate

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// otherPopulation is the program's own with something changed, as if it had been read from a file.
func otherPopulation(name string, change func(p *fighter.PopulationFile)) *fighter.PopulationFile {
	p := fighter.Shipped().Clone()
	p.ID = fighter.PopulationID{Name: name, SHA256: name}
	change(p)
	return p
}

// Exact: what a minute of tape adds to a rate, seconds, does not hang on how much was believed before, if the added is told from the very
// population that the profile stands on. Reckoned from the program's own it would be off by what the two differ in.
func TestYieldsFromTheProfilesOwnPopulation(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	surer := otherPopulation("surer.yaml", func(p *fighter.PopulationFile) {
		for f := range p.Figures {
			if fighter.Define(fighter.Figure(f)).Law == fighter.Rate {
				p.Figures[f].A, p.Figures[f].B = 3*p.Figures[f].A, 3*p.Figures[f].B // the same rates, three times as sure
			}
		}
	})
	mole := surer.Profile("mole", fighter.AverageBody())
	newt := fighter.Population("newt", fighter.AverageBody())
	plain, err := Yields(&fighter.Pair{Red: fighter.Population("mole", fighter.AverageBody()), Blue: newt}, rules)
	require.NoError(t, err)
	require.NoError(t, mole.StandOn(surer))
	got, err := Yields(&fighter.Pair{Red: mole, Blue: newt}, rules)
	require.NoError(t, err)
	some := 0
	for z := range fighter.NumZones {
		for m := range tape.NumMoves {
			f := fighter.Initiate(z, m)
			if want := plain[0].Adds[z][f]; want > 0 && surer.Figures[f].A > 0 {
				require.InEpsilon(t, want, got[0].Adds[z][f], 1e-9, fighter.Define(f).Name)
				some++
			}
		}
	}
	require.Greater(t, some, 40)
	require.Equal(t, plain[1].Share, got[1].Share)
}

// Bouts coded by exchanges are read against the bouts of the population that is given. Of one whose fighters attack three times as often a smaller
// part of the attacks opens an exchange, since more of them fall inside one: read against its own bouts its fighters' rates stay where they were
// believed to be, on average, as those of fighters drawn from what was believed must; read against the program's they seem lower.
func TestCoarseTapeIsReadAgainstItsPopulation(t *testing.T) {
	attacks := func(visit func(z fighter.Zone, f fighter.Figure)) {
		for z := fighter.Out; z <= fighter.Pocket; z++ {
			for m := range tape.NumMoves {
				if m != tape.NoMove && m.Act().IsAttack() {
					visit(z, fighter.Initiate(z, m))
				}
			}
		}
	}
	busy := otherPopulation("busy.yaml", func(p *fighter.PopulationFile) {
		attacks(func(_ fighter.Zone, f fighter.Figure) { p.Figures[f].B /= 3 })
	})
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	const n, apart = 16, 6
	var truths []fighter.Draw
	for i := range n {
		truths = append(truths, busy.Profile(strconv.Itoa(i), fighter.AverageBody()).Draw(41, 0, false))
	}
	var coarse []*tape.Coarse
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(rules, sim.AverageWorld())
	for by := 1; by <= apart; by++ {
		for i := range n {
			pair := [2]int{i, (i + by) % n}
			for c, who := range pair {
				require.NoError(t, b.Sides[c].Load(fighter.AverageBody(), truths[who], nil, nil, rules))
			}
			b.Run(kernel.NewKey(41, 1, uint64(len(coarse))))
			c := tape.CoarseOf(codingOf(boutOf("bout "+strconv.Itoa(len(coarse)), rules, strconv.Itoa(pair[0]), strconv.Itoa(pair[1])), b.Events))
			bout := *c.Bout
			bout.Level = "exchanges"
			c.Bout = &bout
			coarse = append(coarse, c)
		}
	}
	// The mean over fighters of what the sum of the rates is over what it was, and its standard error from the fighters' own.
	moved := func(u *coarseUsual) (mean, se float64) {
		o := Options{Coarse: coarse, Population: busy}
		in, err := o.sources(nil)
		require.NoError(t, err)
		g := o.gather(in, nil)
		var each []float64
		for i := range n {
			p := g.byActs(strconv.Itoa(i))
			g.coarse.tallies[p.ID].setOpenings(p, u, 0)
			is, was := 0.0, 0.0
			attacks(func(_ fighter.Zone, f fighter.Figure) {
				is, was = is+p.Figures[f].Mean(fighter.Rate), was+busy.Figures[f].Mean(fighter.Rate)
			})
			each = append(each, is/was-1)
		}
		mean, variance := meanVariance(each)
		return mean, math.Sqrt(variance / n)
	}
	own, se := moved(coarseUsualOf(busy))
	t.Logf("rates move by %.4f ± %.4f of themselves", own, se)
	require.Less(t, math.Abs(own), 4.9*se)
	other, se := moved(theCoarseUsual())
	t.Logf("read against the program's own by %.4f ± %.4f", other, se)
	require.Less(t, other, -4.9*se)
}
