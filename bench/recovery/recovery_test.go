package main

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/study"
	"whatbout/tape"
)

// The level of a class's test: with 15 classes at two amounts of tape, one run in 40,000 is red by chance.
const red = 1e-6

// Every class must be uniform, and inside 90 % within .06 of it, of the classes with most ranks (from 800) within .035. Simulation-based
// calibration (Talts, Betancourt, Simpson, Vehtari & Gelman 2018, from memory): with truths from the prior, the ranks of truths in the
// posteriors are uniform. Held at the amounts of tape that a team and a library have. Two leagues of 40 give each class from 200 to 5,500
// ranks; .06 is three standard errors of .9 among 225 (√(.9·.1/225) = .02). What that can see: Kolmogorov's statistic of n ranks is red from
// √n·D = 2.69 on (2·exp(-2·2.69²) = 1e-6), so that with 700 ranks a distance of 0.10 is red, which a shift of a quarter of a standard
// deviation makes, or a spread that is 1.6 times too narrow; finer faults show in the table only: after 30 rounds answer and continue tables
// lie inside 90 % about 88 times in 100, rates 88 to 90.
func TestRanksAreUniform(t *testing.T) {
	for _, rounds := range []int{3, 30} {
		sums, err := measure(1, 2, 40, rounds, nil)
		require.NoError(t, err)
		require.Len(t, sums, 15)
		for _, c := range sums.classes() {
			s, slack := sums[c], .06
			if len(s.shares) >= 800 {
				slack = .035
			}
			require.Greater(t, s.uniform(), red, "%s after %d rounds: inside 90 %%: %.3f, z %+.2f, sd %.2f", c, rounds, s.inside(.9), s.mean(), s.sd())
			require.InDelta(t, .9, s.inside(.9), slack, "%s after %d rounds", c, rounds)
		}
	}
}

// What a coder or the code may get wrong must be seen, each in the classes that it touches.
func TestPlantedFaultsAreRed(t *testing.T) {
	for name, c := range map[string]struct {
		fault spoil
		red   []string
	}{
		"corners swapped": {spoil{tape: func(l *league) {
			for _, c := range l.tape[:len(l.tape)/2] { // in half of the bouts
				c.Bout.Fighters[0].ID, c.Bout.Fighters[1].ID = c.Bout.Fighters[1].ID, c.Bout.Fighters[0].ID
			}
		}}, []string{"rate.long", "rate.kicking", "rate.out"}},
		"half of the exposure": {spoil{profile: func(p *fighter.Profile) {
			prior := fighter.Population(p.ID, p.Body)
			for f := range p.Figures {
				if fighter.Define(fighter.Figure(f)).Law == fighter.Rate {
					p.Figures[f].B = (p.Figures[f].B + prior.Figures[f].B) / 2
				}
			}
		}}, []string{"rate.out", "rate.kicking", "rate.long", "rate.pocket", "rate.clinch"}},
		"acts a second late": {spoil{tape: func(l *league) {
			for _, c := range l.tape {
				late(c, tape.NoCorner)
			}
		}}, []string{"rate.kicking", "rate.long", "rate.pocket"}},
		"one corner a second late": {spoil{tape: func(l *league) {
			for _, c := range l.tape {
				late(c, tape.RedCorner)
			}
		}}, []string{"answer", "rate.long", "rate.pocket"}},
		"results the wrong way round": {spoil{tape: func(l *league) {
			for _, c := range l.tape {
				for i := range c.Rows {
					switch r := &c.Rows[i].Result; *r {
					case tape.Clean:
						*r = tape.Missed
					case tape.Missed:
						*r = tape.Clean
					}
				}
			}
		}}, []string{"attack", "defence"}},
		"bites nobody saw": {spoil{tape: func(l *league) {
			for _, c := range l.tape {
				for i := range c.Rows {
					if e := &c.Rows[i].Event; e.Act.IsFeint() && i%2 == 0 {
						e.Defence = tape.DefenceNone
					}
				}
			}
		}}, []string{"bite"}},
	} {
		sums, err := measure(1, 2, 40, 12, &c.fault)
		require.NoError(t, err, name)
		for _, class := range c.red {
			require.Less(t, sums[class].uniform(), red, "%s: %s inside 90 %%: %.3f", name, class, sums[class].inside(.9))
		}
	}
}

// late moves the acts of a corner, or of both, a second on; what would be past the bell stays there. States are sampled and stay.
func late(c *tape.Coding, who tape.Corner) {
	bell := int64(c.Bout.RuleSet.RoundSeconds) * 1e6
	for i := range c.Rows {
		if e := &c.Rows[i].Event; e.IsAct() && (who == tape.NoCorner || e.Corner == who) {
			e.Clock = min(e.Clock+1_000_000, bell)
		}
	}
	inOrder(c.Rows)
}

// The check itself: ranks of the right posterior are uniform, those of one with half the standard deviation, double, or a mean moved by half a
// standard deviation are not (the three wrong analysts of checks K11.1: truth N(0,1), seen with an error N(0,1), posterior
// N(y/2, 1/2)). 2,000 replicates; exact.
func TestRanksOfWrongPosteriorsAreRed(t *testing.T) {
	for name, c := range map[string]struct {
		spread, shift float64
		right         bool
	}{"right": {1, 0, true}, "half": {.5, 0, false}, "double": {2, 0, false}, "moved": {1, .5, false}} {
		src := kernel.NewKey(11).Stream()
		normal := distuv.Normal{Mu: 0, Sigma: 1, Src: &src}
		s := &summary{}
		for range 2000 {
			truth := normal.Rand()
			y := truth + normal.Rand()
			const tau = .7071067811865476
			s.shares = append(s.shares, distuv.Normal{Mu: y/2 + c.shift*tau, Sigma: c.spread * tau}.CDF(truth))
		}
		require.Equal(t, c.right, s.uniform() > red, name)
	}
}

// Kolmogorov's limit: 10, 5 and 1 % at 1.223848, 1.358099 and 1.627624 (Miller 1956, JASA 51, 111-121, from memory).
func TestKolmogorov(t *testing.T) {
	for x, p := range map[float64]float64{1.223848: .10, 1.358099: .05, 1.627624: .01} {
		require.InDelta(t, p, kolmogorov(x), 1e-6)
	}
	require.InDelta(t, 1, kolmogorov(0), 0)
	// D = .290 of ten values against the uniform (Conover, as checks K11.7e has it).
	s := &summary{[]float64{.621, .503, .203, .477, .710, .581, .329, .480, .554, .382}}
	require.InDelta(t, kolmogorov(.290*3.1622776601683795), s.uniform(), 1e-9)
}

// On the feet the rule of choice points takes at least 98 acts in a hundred for what they are, of those begun or continued, and 93 of answers.
func TestChoicePointsAreToldApart(t *testing.T) {
	counts, err := confused(30)
	require.NoError(t, err)
	for at, c := range map[tape.Point]float64{tape.Initiate: .98, tape.Continue: .98, tape.Answer: .93} {
		for point, n := range counts {
			if point.String() == at.String() {
				require.Greater(t, float64(n[at]), c*float64(n[tape.Initiate]+n[tape.Answer]+n[tape.Continue]), point)
			}
		}
	}
}

// Everybody has the rounds they are said to have, never against themselves.
func TestSchedule(t *testing.T) {
	for _, rounds := range roundsShown {
		had := map[int]int{}
		for _, p := range schedule(40, rounds) {
			require.NotEqual(t, p[0], p[1])
			had[p[0]] += 3
			had[p[1]] += 3
		}
		require.Len(t, had, 40)
		for _, n := range had {
			require.Equal(t, rounds, n)
		}
	}
}

// The chain from end to end for two pairs after one bout each: every interval of every effect is counted once, as inside, outside or not
// resolved, and all effects are measures that study reports. Two pairs say nothing of coverage; that is the program's table.
func TestChainCountsEveryInterval(t *testing.T) {
	plan, err := planNamed(chainPlan)
	require.NoError(t, err)
	for _, beyond := range []bool{false, true} {
		told := 0
		run := chainRun{plan, []int{3}, 2, 4, true, beyond}
		require.NoError(t, run.run(context.Background(), func(pairs int, got [][]held) {
			told++
			require.Equal(t, 2, pairs)
			for i, e := range effects {
				h := got[0][i]
				require.GreaterOrEqual(t, study.MeasureNamed(e.name), 0)
				require.Equal(t, 2.0, h.intervals+h.unresolved, e.name)
				require.LessOrEqual(t, h.inside, h.intervals)
				require.LessOrEqual(t, h.within, h.unresolved)
				require.Len(t, h.between, 2)
				require.Len(t, h.off, 2)
			}
		}))
		require.Equal(t, 1, told)
	}
	require.Equal(t, "0.75 +- 0.22", share(3, 4)) // √(.75·.25/4) = .2165
	require.Equal(t, "-", share(0, 0))
}
