package calibrate

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// ring is tape of fighters drawn from the population: everybody meets the next ones, both as the two levels of coding show it.
type ring struct {
	truths []fighter.Draw
	full   []*tape.Coding
	coarse []*tape.Coarse
}

func ringID(i int) string { return fmt.Sprintf("vole%02d", i) }

// newRing plays n fighters who have so many bouts of three rounds each, an even number.
func newRing(t *testing.T, seed uint64, n, bouts int) *ring {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	r := &ring{}
	for i := range n {
		r.truths = append(r.truths, fighter.Population(ringID(i), fighter.AverageBody()).Draw(seed, 0, false))
	}
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(rules, sim.AverageWorld())
	for apart := 1; apart <= bouts/2; apart++ {
		for i := range n {
			j := (i + apart) % n
			require.NoError(t, b.Sides[0].Load(fighter.AverageBody(), r.truths[i], nil, nil, rules))
			require.NoError(t, b.Sides[1].Load(fighter.AverageBody(), r.truths[j], nil, nil, rules))
			b.Run(kernel.NewKey(seed, 1, uint64(len(r.full))))
			c := codingOf(boutOf(fmt.Sprintf("bout%03d", len(r.full)), rules, ringID(i), ringID(j)), b.Events)
			r.full = append(r.full, c)
			coarse := tape.CoarseOf(c)
			bout := *c.Bout
			bout.Level, coarse.Bout = "exchanges", &bout
			r.coarse = append(r.coarse, coarse)
		}
	}
	return r
}

// fared is how a group of posteriors holds the truths.
type fared struct {
	z       []float64 // ranks as normal deviates
	by      []int     // whose
	logVar  float64   // sum of the variances of logarithms, or of skills
	figures float64
}

func (f *fared) add(who int, rank, variance float64) {
	f.z = append(f.z, distuv.UnitNormal.Quantile(min(max(rank, 1e-12), 1-1e-12)))
	f.by = append(f.by, who)
	f.logVar, f.figures = f.logVar+variance, f.figures+1
}

// inside gives the share of truths inside the middle 90 %, and its standard error from the fighters' own shares, since the figures of one
// fighter share tape.
func (f *fared) inside() (share, se float64) {
	hits, n := map[int]float64{}, map[int]float64{}
	for i, z := range f.z {
		n[f.by[i]]++
		if math.Abs(z) < 1.6449 {
			hits[f.by[i]]++
			share++
		}
	}
	share /= float64(len(f.z))
	for who, k := range n {
		se += math.Pow(hits[who]-k*share, 2)
	}
	return share, math.Sqrt(se) / float64(len(f.z))
}

// hold ranks the truths in the profiles: rates of attacks, rates and shares of steps back, and skills of those families that clean hits
// tell of.
func (r *ring) hold(profiles map[string]*fighter.Profile) map[string]*fared {
	out := map[string]*fared{"attacks": {}, "steps back": {}, "skills": {}}
	for i, d := range r.truths {
		p := profiles[ringID(i)]
		prior := fighter.Population("", p.Body)
		for z := range fighter.Zone(onFeet) {
			for m := range tape.NumMoves {
				f := fighter.Initiate(z, m)
				if post := p.Figures[f]; m != tape.NoMove && m.Act().IsAttack() && prior.Figures[f].A > 0 {
					out["attacks"].add(i, distuv.Gamma{Alpha: post.A, Beta: post.B}.CDF(d[f]), 1/post.A)
				}
			}
		}
		for _, b := range theCoarseUsual().gave.targets {
			out["steps back"].add(i, b.rank(p, d), b.variance(p))
		}
		for f := range fighter.CloseStrike {
			for _, figure := range []fighter.Figure{fighter.Attack(f), fighter.Defence(f)} {
				post := p.Figures[figure]
				out["skills"].add(i, distuv.Normal{Mu: post.A, Sigma: post.B}.CDF(d[figure]), post.B*post.B)
			}
		}
	}
	return out
}

// rank is where the truth lies in the posterior; that of a share is counted among draws.
func (b *backTarget) rank(p *fighter.Profile, truth fighter.Draw) float64 {
	below, draws := .5, 399
	for k := range draws {
		if d := p.Draw(17, uint64(k), false); b.log(d.Get) < b.log(truth.Get) {
			below++
		}
	}
	return below / float64(draws+1)
}

// Recovery from coarse tape: truths from the population, 12 rounds each, of which only samples and exchanges are seen. The truth lies inside
// 90 % as often as said, within 4.9 standard errors taken from the fighters' own shares (24 of them; about .009 for attacks, .025 for the
// other two); what the tape says is wider than what a coding of every act of the same rounds says, and closer to the truth than the population
// is. A tape that is half and half lies between.
func TestCoarseRecovery(t *testing.T) {
	r := newRing(t, 91, 24, 4)
	full, err := Calibrate(r.full, Options{})
	require.NoError(t, err)
	coarse, err := Calibrate(nil, Options{Coarse: r.coarse})
	require.NoError(t, err)
	mixed, err := Calibrate(r.full[:24], Options{Coarse: r.coarse[24:]})
	require.NoError(t, err)
	none := map[string]*fighter.Profile{}
	for i := range r.truths {
		none[ringID(i)] = fighter.Population(ringID(i), fighter.AverageBody())
	}
	events, exchanges, both, prior := r.hold(full.Profiles), r.hold(coarse.Profiles), r.hold(mixed.Profiles), r.hold(none)
	for what, f := range exchanges {
		inside, se := f.inside()
		t.Logf("%s: inside 90 %% %.3f, standard error %.3f; variance %.3f, of events %.3f, mixed %.3f, population %.3f", what, inside, se,
			f.logVar/f.figures, events[what].logVar/f.figures, both[what].logVar/f.figures, prior[what].logVar/f.figures)
		require.InDelta(t, .9, inside, 4.9*se, what)
		require.Less(t, f.logVar, prior[what].logVar, what)
		require.Less(t, both[what].logVar, f.logVar, what)
		require.Less(t, events[what].logVar, both[what].logVar, what)
	}
	require.Equal(t, 12, coarse.Evidence[ringID(0)].Coarse.Rounds)
	require.InDelta(t, 60, coarse.Evidence[ringID(0)].Coarse.Minutes, .1)
	require.Zero(t, coarse.Evidence[ringID(0)].Minutes)
}

// What coarse tape does tell: of two fighters, one kicks low four times as often, gives more ground and lands more. Each figure
// moves that way, the kick by a third of the true ratio's logarithm at least (over six such tapes by .44 of it on average; by .55 before people differed by
// place and last act, which exchanges do not show and which is therefore among what may have made the difference); figures it says
// nothing of stay the population's.
func TestCoarseTellsWhoLeads(t *testing.T) {
	d := fighter.Population("vole", fighter.AverageBody()).Centre()
	for z := fighter.Kicking; z <= fighter.Long; z++ {
		for _, m := range []tape.Move{tape.MoveLowKickOutside, tape.MoveLowKickCalf, tape.MoveLowKickInside} {
			d[fighter.Initiate(z, m)] *= 4
		}
	}
	d[fighter.Continue(fighter.Long.Exchange(), tape.MoveStepBack)] *= 4
	d[fighter.Attack(fighter.StraightPunch)] = 1
	var coarse []*tape.Coarse
	for _, c := range simulated(t, d, 5, 10) {
		coarse = append(coarse, tape.CoarseOf(c))
	}
	r, err := Calibrate(nil, Options{Coarse: coarse})
	require.NoError(t, err)
	vole, shrew := r.Profiles["vole"], r.Profiles["shrew"]
	population := fighter.Population("vole", fighter.AverageBody())
	kick := fighter.Initiate(fighter.Kicking, tape.MoveLowKickOutside)
	moved := math.Log(vole.Figures[kick].Mean(fighter.Rate) / shrew.Figures[kick].Mean(fighter.Rate))
	require.Greater(t, moved, math.Log(4)/3)
	require.InDelta(t, math.Log(4), moved, 2.58*math.Sqrt(1/vole.Figures[kick].A+1/shrew.Figures[kick].A), "within 99 % of its own doubt")
	back := fighter.Continue(fighter.Long.Exchange(), tape.MoveStepBack)
	require.Greater(t, vole.Figures[back].Mean(fighter.Weight), population.Figures[back].Mean(fighter.Weight))
	require.Greater(t, vole.Figures[fighter.Attack(fighter.StraightPunch)].A, 0.)
	for f := range vole.Figures {
		if vole.Sources[f] != fighter.FromTape {
			name, law := fighter.Define(fighter.Figure(f)).Name, fighter.Define(fighter.Figure(f)).Law
			require.InEpsilon(t, 1+population.Figures[f].Mean(law), 1+vole.Figures[f].Mean(law), 1e-12, name) // sums of shares round
			require.InEpsilon(t, 1+population.Figures[f].A, 1+vole.Figures[f].A, 1e-12, name)
		}
	}
	for _, f := range []fighter.Figure{fighter.Bite(fighter.Hip), fighter.Sense(fighter.Hip), fighter.Initiate(fighter.Long, tape.MoveFeintHand),
		fighter.Answer(fighter.Long.Exchange(), tape.MoveCross), fighter.Initiate(fighter.Top, tape.MoveGroundStrike)} {
		require.Equal(t, fighter.FromPopulation, vole.Sources[f], fighter.Define(f).Name)
	}
	j, err := r.Joint()
	require.NoError(t, err)
	_, err = fighter.JoinPair(vole, shrew, j)
	require.NoError(t, err)
}

// With every count known for its own the mixture is the conjugate update; exact.
func TestMixtureWithoutMixing(t *testing.T) {
	m := mixture{prior: []infer.Gamma{{Shape: 3, Rate: 30}, {Shape: 2, Rate: 10}}, exposure: []float64{60, 20},
		share: [][]float64{{1, 0}, {0, 1}}, counts: []float64{9, 0}}
	got, own := m.posterior()
	require.Equal(t, [][]float64{{9, 0}, {0, 0}}, own)
	for i, want := range []infer.Gamma{{Shape: 12, Rate: 90}, {Shape: 2, Rate: 30}} {
		require.InDelta(t, want.Shape, got[i].Shape, 1e-6)
		require.InDelta(t, want.Rate, got[i].Rate, 1e-6)
	}
}

// When nobody can tell two kinds apart, only their sum is known: each keeps much of its prior's doubt though there are 1000 counts. With
// equal priors and shares each is half, 500 of 100 s; the variance of the logarithm by Louis, inverting the matrix below; exact.
func TestMixtureOfTwins(t *testing.T) {
	m := mixture{prior: []infer.Gamma{{Shape: 3, Rate: .6}, {Shape: 3, Rate: .6}}, exposure: []float64{100, 100}, share: [][]float64{{1}, {1}}, counts: []float64{1000}}
	got, _ := m.posterior()
	// (b+E)·r = a + n/2 = 503; H = [[503-250, 250], [250, 253]]; H⁻¹ = [[253, -250], [-250, 253]]/(253² - 250²), 253² - 250² = 1509.
	for _, g := range got {
		require.InDelta(t, 503./100.6, g.Mean(), 1e-6)
		require.InDelta(t, 1509./253, g.Shape, 1e-6)
	}
}

// A bout with a coding of every act is not counted again by its exchanges, two coders of one bout count as one, and tape that cannot tell
// says why.
func TestCoarseCountsOnce(t *testing.T) {
	r := newRing(t, 7, 6, 2)
	full, err := Calibrate(r.full, Options{})
	require.NoError(t, err)
	var same []*tape.Coarse
	for _, c := range r.full {
		same = append(same, tape.CoarseOf(c)) // of the same bout
	}
	again, err := Calibrate(r.full, Options{Coarse: same})
	require.NoError(t, err)
	require.Equal(t, full.Profiles, again.Profiles)
	one, err := Calibrate(nil, Options{Coarse: r.coarse})
	require.NoError(t, err)
	two, err := Calibrate(nil, Options{Coarse: append(r.coarse, r.coarse...)})
	require.NoError(t, err)
	for f, post := range one.Profiles[ringID(0)].Figures {
		require.InDelta(t, post.A, two.Profiles[ringID(0)].Figures[f].A, 1e-6)
		require.InDelta(t, post.B, two.Profiles[ringID(0)].Figures[f].B, 1e-6*(1+post.B))
	}
	for _, c := range r.coarse {
		c.Samples = nil
	}
	blind, err := Calibrate(nil, Options{Coarse: r.coarse})
	require.NoError(t, err)
	require.Contains(t, blind.Notes, "bout000, events: exchanges without samples tell no rates, since nobody knows for how long the two stood where")
	jab := fighter.Initiate(fighter.Kicking, tape.MoveJab)
	require.Equal(t, fighter.FromPopulation, blind.Profiles[ringID(0)].Sources[jab])
	require.Equal(t, fighter.FromTape, one.Profiles[ringID(0)].Sources[jab])
}

// The figures that LEVELS.md quotes: openings for each expected act by zone, how often the nearest sample shows the zone an exchange was
// begun in, and how much better even looks are than independent ones.
func TestCoarseUsualIsAsDocumented(t *testing.T) {
	u := theCoarseUsual()
	for z, want := range []float64{.54, .40, .17, .05, .52} {
		at := byLegs
		if z == int(fighter.Clinch) {
			at = byHands
		}
		require.InDelta(t, want, u.share[z][at], .06, fighter.Zone(z))
	}
	for z, want := range []float64{.65, .57, .54, .39, .94} {
		require.InDelta(t, want, u.seenAs[z][z], .04, fighter.Zone(z))
		require.InDelta(t, 1, sum(u.seenAs[z][:]), 1e-9)
	}
	require.InDelta(t, .35, u.looks, .05)
}
