package calibrate

import (
	stdflag "flag"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// errant is a coder who errs in everything that CoderDoubt speaks of, as often as it says, one event independently of the other.
type errant struct {
	CoderDoubt
	random *rand.Rand
}

func (e errant) codes(of *tape.Coding, name string) *tape.Coding {
	c := &tape.Coding{Bout: of.Bout, Name: name}
	for i := range of.Rows {
		x := of.Rows[i].Event
		if !x.IsAct() || x.Act.IsState() {
			c.Rows = append(c.Rows, of.Rows[i])
			continue
		}
		if e.random.Float64() < e.Extra {
			made := x
			made.Clock = e.random.Int64N(x.Clock + 1)
			c.Rows = append(c.Rows, tape.Row{Event: made})
		}
		if e.random.Float64() < e.Missed[homeGroup(x.Act)] {
			continue
		}
		e.spoil(&x)
		c.Rows = append(c.Rows, tape.Row{Event: x})
	}
	slices.SortStableFunc(c.Rows, func(a, b tape.Row) int {
		if a.Round != b.Round {
			return int(a.Round) - int(b.Round)
		}
		return int(a.Clock - b.Clock)
	})
	return c
}

func (e errant) spoil(x *tape.Event) {
	if e.random.Float64() < e.Confused {
		var like []tape.Act
		for a := tape.StepIn; a < tape.StateRange; a++ {
			if _, possible := mismatch(x.Act, a); possible && a != x.Act && homeGroup(a) == homeGroup(x.Act) {
				like = append(like, a)
			}
		}
		if len(like) > 0 {
			x.Act = like[e.random.IntN(len(like))]
			x.Value = tape.MoveOf(x.Act, x.Value).Value()
		}
	}
	if e.random.Float64() >= e.Wrong {
		return
	}
	switch {
	case x.Act.IsStrike() && x.Result.IsClean():
		x.Result = tape.Missed
	case x.Act.IsStrike():
		x.Result = tape.Clean
	case x.Act.IsFeint() && x.Defence >= tape.Flinch:
		x.Defence = tape.DefenceNone
	case x.Act.IsFeint():
		x.Defence = tape.Flinch
	}
}

// holdAll ranks the truths of all that event tape moves, by class; rates by the group of the act.
func (r *ring) holdAll(profiles map[string]*fighter.Profile) map[string]*fared {
	out := map[string]*fared{"bites": {}, "tables": {}, "skills": {}, "last acts": {}}
	for i, d := range r.truths {
		p := profiles[ringID(i)]
		prior := fighter.Population("", p.Body)
		for z := range fighter.Pocket + 1 {
			for m := range tape.NumMoves {
				f := fighter.Initiate(z, m)
				if m == tape.NoMove || m.Act().IsState() || prior.Figures[f].A == 0 || p.Sources[f] != fighter.FromTape {
					continue
				}
				name := homeGroup(m.Act()).String()
				if out[name] == nil {
					out[name] = &fared{}
				}
				out[name].add(i, distuv.Gamma{Alpha: p.Figures[f].A, Beta: p.Figures[f].B}.CDF(d[f]), 1/p.Figures[f].A)
			}
		}
		for _, b := range backTargets(fighter.Shipped()) {
			if b.table != nil && p.Sources[b.figure] == fighter.FromTape {
				out["tables"].add(i, b.rank(p, d), b.variance(p))
			}
		}
		for c := range fighter.NumCues {
			post := p.Figures[fighter.Bite(c)]
			out["bites"].add(i, distuv.Normal{Mu: post.A, Sigma: post.B}.CDF(d[fighter.Bite(c)]), post.B*post.B)
		}
		for k := range numMultiples {
			f := fighter.Follows(fighter.AfterStep) + fighter.Figure(k)
			post := p.Figures[f]
			out["last acts"].add(i, distuv.Normal{Mu: math.Log(post.A), Sigma: post.B}.CDF(math.Log(d[f])), post.B*post.B)
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

// shares gives, for each fighter, the share of all figures that hold the truth inside their 90 %.
func shares(classes map[string]*fared, fighters int) []float64 {
	hits, n := make([]float64, fighters), make([]float64, fighters)
	for _, f := range classes {
		for i, z := range f.z {
			n[f.by[i]]++
			if math.Abs(z) < 1.6449 {
				hits[f.by[i]]++
			}
		}
	}
	for i := range hits {
		hits[i] /= n[i]
	}
	return hits
}

var coderRings = stdflag.Int("coder-rings", 1, "rings of fighters for TestCoderErrorWidens")

// erringTape is what coders who err make of a ring's bouts: one of them alone, and two.
func erringTape(r *ring, c CoderDoubt, seed uint64) (one, two []*tape.Coding) {
	random := chance(seed)
	for _, k := range r.full {
		a, b := errant{c, random}.codes(k, "a"), errant{c, random}.codes(k, "b")
		one, two = append(one, a), append(two, a, b)
	}
	return one, two
}

// Coders are planted who err as UsualCoder says, on 12 rounds a fighter. Taken at their word, their profiles hold the truth far less often
// than they say; with the assumption on one coder, and with the estimates from two, they hold it nearly as often as those from a coder
// who errs nowhere. The standard error of a mean share is that of the fighters' shares, paired; the gain must be 4.9 of them. What
// is still short of the coder without error was measured as .014 with one and .007 with two (-coder-rings 3); more than .04 is a fault.
func TestCoderErrorWidens(t *testing.T) {
	const fighters = 12
	usual := UsualCoder()
	held := map[string][]float64{}
	classes := map[string]map[string]*fared{}
	for k := range *coderRings {
		r := newRing(t, 92+uint64(k), fighters, 4)
		one, two := erringTape(r, usual, 12+uint64(k))
		hold := func(name string, codings []*tape.Coding, o Options) {
			res, err := Calibrate(codings, o)
			require.NoError(t, err)
			got := r.holdAll(res.Profiles)
			held[name] = append(held[name], shares(got, fighters)...)
			if classes[name] == nil {
				classes[name] = map[string]*fared{}
			}
			for class, f := range got {
				classes[name][class] = classes[name][class].and(f, k*fighters)
			}
		}
		hold("no errors", r.full, Options{})
		hold("one coder, at their word", one, Options{})
		hold("one coder, assumed", one, Options{Coder: usual})
		hold("two coders", two, Options{Coder: usual})
	}
	for _, name := range slices.Sorted(maps.Keys(classes)) {
		mean, _ := meanVariance(held[name])
		t.Logf("%s: %.3f", name, mean)
		for _, class := range slices.Sorted(maps.Keys(classes[name])) {
			inside, se := classes[name][class].inside()
			t.Logf("  %-12s inside 90 %% %.3f, standard error %.3f", class, inside, se)
		}
	}
	right, _ := meanVariance(held["no errors"])
	for _, name := range []string{"one coder, assumed", "two coders"} {
		var gain []float64
		for i, x := range held[name] {
			gain = append(gain, x-held["one coder, at their word"][i])
		}
		mean, variance := meanVariance(gain)
		all, _ := meanVariance(held[name])
		se := math.Sqrt(variance / float64(len(gain)))
		t.Logf("%s: %.3f, better than at their word by %.3f, standard error %.3f; without errors %.3f", name, all, mean, se, right)
		require.Greater(t, mean, 4.9*se, name)
		require.Greater(t, all, right-.04, name)
	}
}

// and joins the ranks of further fighters, who are told apart by adding to their numbers; f may be nil.
func (f *fared) and(more *fared, from int) *fared {
	if f == nil {
		f = &fared{}
	}
	f.z = append(f.z, more.z...)
	for _, who := range more.by {
		f.by = append(f.by, who+from)
	}
	f.logVar, f.figures = f.logVar+more.logVar, f.figures+more.figures
	return f
}

// Exact: of 100 thousand acts begun by themselves and as many that follow others, coders who keep .8 of all write down .8·(100 + 100·.2) = 96, of
// which 16 are strays, and after a second thinning there are .64·(100 + 100·.36) = 87.04; of 100 s busy for 40 there seem to be 100·(1 - .4·.8) = 68 free,
// and then 100·(1 - .4·.64) = 74.4. From 96 and 87.04 in 68 and 74.4 s it follows again that there were 100 in 60.
func TestTwiceThinnedTellsOnceThinned(t *testing.T) {
	z, m := fighter.Long, tape.MoveCross
	var whole, part libraryCounts
	whole.acts[z][m], whole.seconds[z][m] = 96e3, 68e3
	part.acts[z][m], part.seconds[z][m] = thinnings*87.04e3, thinnings*74.4e3
	var share, acts [tape.NumGroups]float64
	for g := range share {
		share[g], acts[g] = .8, 10
	}
	k := keptBy(&share, &acts)
	require.InDelta(t, .8, k.before, 1e-12)
	l := lostIn(&whole, &part, k, nil)
	require.InDelta(t, 16./96, l.strays[z][m], 1e-4)
	require.InDelta(t, math.Log(100./60*68/96), l.rates[z][m], 1e-4)
	// Where more strays follow than anybody could have begun acts, a fifth of the count is left to belong there.
	part.acts[z][m] = thinnings * 200e3
	require.InDelta(t, mostStrays, lostIn(&whole, &part, k, nil).strays[z][m], 1e-12)
	// Weighted by what is missed: .2 of 10 steps and .1 of 40 strikes, 2 and 4 acts, leave (2·.8 + 4·.9)/6.
	require.InDelta(t, 5.2/6, keptBy(&[tape.NumGroups]float64{tape.GroupSteps: .8, tape.GroupStrikes: .9}, &[tape.NumGroups]float64{tape.GroupSteps: 10, tape.GroupStrikes: 40}).before, 1e-12)
}

// By hand: of 100 acts counted thinning leaves 90 in 100 of those that belong; it left 90/.7778 = 115.7, so 30 in 100 do not belong: strays. The
// variance of the logarithm of the other 70 is (100 + 30/4)/70², of the corrected count 1/77.78 of it is kept already. Where thinning takes
// what it should, 80 of 100, the count corrected to 125 is still known as 100 are. A share missed of .1 that is in doubt by .05 (variance
// of the logarithm of what is seen (.05/.9)²) makes strays doubtful by a half of 30.
func TestStraysStayInDoubt(t *testing.T) {
	jab, z := tape.MoveJab, fighter.Long
	of := func(kept, net, n float64, variance float64) float64 {
		d := &fighterDoubt{}
		d.correct.strays[z][jab] = 1 - kept*net
		d.groups[tape.GroupStrikes] = groupDoubt{log: -math.Log(.9), variance: variance}
		d.correct.rates[z][jab] = math.Log(net)
		return d.strayed(z, jab, n, n*net)
	}
	require.InDelta(t, 107.5/4900-1/77.7778, of(.9, .7/.9, 100, 0), 1e-6)
	require.InDelta(t, (107.5+15*15)/4900-1/77.7778, of(.9, .7/.9, 100, math.Pow(.05/.9, 2)), 1e-6)
	require.InDelta(t, 1./100-1./125, of(.8, 1.25, 100, 0), 1e-9)
	require.Zero(t, of(1, 1, 100, 0))
	require.Zero(t, of(.9, 1, 0, 0))
	b := &boutDoubt{estimated: true}
	b.groups[tape.GroupStrikes] = groupDoubt{log: -math.Log(.8), extra: .04} // (1-extra)/(1-missed) = 1.25: missed 1-.96·.8 = .232
	require.InDelta(t, 1-.232+.04, keptOf([]*boutDoubt{b}, tape.GroupStrikes, map[*boutDoubt]float64{b: 50}, true), 1e-12)
	require.InDelta(t, 1, keptOf([]*boutDoubt{b}, tape.GroupStrikes, map[*boutDoubt]float64{b: 50}, false), 1e-12)
}

// A coder who errs nowhere, and the engine, leave nothing to be taken in: profiles are then to the bit what tape says.
func TestNoErrorsNoDoubt(t *testing.T) {
	full := simulated(t, truth(), 3, 1)
	sources := sourcesOf(full, map[string]fighter.Body{"vole": fighter.AverageBody()})
	require.Equal(t, fighterDoubt{}, *doubtOf("vole", sources, doubtsOf(full, CoderDoubt{})))
	require.NotEqual(t, fighterDoubt{}, *doubtOf("vole", sources, doubtsOf(full, UsualCoder())))
}

// Two codings say how many acts there were: when each of two misses a third of the feints, their rate comes back; an assumption
// alone only makes it weigh less.
func TestTwoCodersCorrect(t *testing.T) {
	full := simulated(t, truth(), 3, 12)
	random := chance(3)
	third := errant{CoderDoubt{}, random}
	third.Missed[tape.GroupFeints] = 1. / 3
	var one, two []*tape.Coding
	for _, c := range full {
		a, b := third.codes(c, "a"), third.codes(c, "b")
		one, two = append(one, a), append(two, a, b)
	}
	rate := func(codings []*tape.Coding, o Options) (fighter.Posterior, float64) {
		r, err := Calibrate(codings, o)
		require.NoError(t, err)
		post := r.Profiles["vole"].Figures[fighter.Initiate(fighter.Kicking, tape.MoveFeintHand)]
		return post, post.Mean(fighter.Rate)
	}
	whole, right := rate(full, Options{})
	less, wrong := rate(one, Options{})
	wide, same := rate(one, Options{Coder: third.CoderDoubt})
	_, corrected := rate(two, Options{})
	se := math.Sqrt(1/whole.A + 1/less.A) // of the difference of two logarithms, as if independent
	t.Logf("rate %.4f, two thirds seen %.4f, corrected %.4f, assumed only %.4f; standard error of a logarithm %.3f", right, wrong, corrected, same, se)
	require.Greater(t, math.Log(right/wrong), .25)
	require.InDelta(t, 0, math.Log(corrected/right), 2*se)
	// What weighs less leaves more to the population, whose rate is above both here.
	require.True(t, wrong < same && same < fighter.Population("", fighter.AverageBody()).Centre()[fighter.Initiate(fighter.Kicking, tape.MoveFeintHand)])
	require.Less(t, wide.A, less.A/2)
}

// Shares within a factor of three are betas with that mean and spread: 5 % with the coefficient of variation √(exp((log 3/1.96)²)-1) = .607; the mean
// and variance of log(1-p) of Beta(1, b) are -1/b and 1/b² (exact: 1-p is then the power 1/b of a uniform).
func TestShareAsBeta(t *testing.T) {
	b := asBeta(.05)
	require.InDelta(t, .05, b.Mean(), 1e-12)
	require.InDelta(t, .607, b.SD()/.05, .001)
	mean, variance := logKept(infer.Beta{A: 1, B: 8})
	require.InDelta(t, -1./8, mean, 1e-9)
	require.InDelta(t, 1./64, variance, 1e-9)
	require.InDelta(t, 1, informs(.4, 0), 1e-12)
	require.Zero(t, informs(.4, .5))
}

func TestReadCoderDoubt(t *testing.T) {
	for text, want := range map[string]CoderDoubt{"exact": {}, "usual": UsualCoder()} {
		got, err := ReadCoderDoubt(text)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
	got, err := ReadCoderDoubt("missed=5, feints=20%,extra=0,confused=1,wrong=2")
	require.NoError(t, err)
	require.Equal(t, .05, got.Missed[tape.GroupStrikes])
	require.Equal(t, .2, got.Missed[tape.GroupFeints])
	require.Equal(t, []float64{0, .01, .02}, []float64{got.Extra, got.Confused, got.Wrong})
	require.Equal(t, "missed 5 to 20 % by group (strikes 5 %, feints 20 %), made up 0 %, called another act 1 %, results and bites wrong 2 %", got.String())
	for _, bad := range []string{"", "missed", "missed=-1", "missed=71", "misses=5", "extra=NaN"} {
		_, err := ReadCoderDoubt(bad)
		require.ErrorContains(t, err, "expected", bad)
	}
}

// By hand: of 1000 answers 200 are nothing, 500 crosses and 300 steps back. Of crosses a tenth is missed and of steps a quarter, so that 450
// and 225 are coded, and 200+50+75 = 325 as nothing. The estimate of nothing, 325 - 450·(1/.9-1) - 225·(1/.75-1) = 200, has the variance of Poisson's counts
// 325 + 450·.1111² + 225·.3333² = 355.6, so that its logarithm's is 355.6/200² = .00889, and that of crosses 1/450. The population's weights are next to none.
// Misses that are doubtful by .02 make nothing doubtful by .02·800/200 more, .0064, and counts weigh 1/(1+.02²·800) = .758: 1/(.758·200) = .00660 instead of
// the 1/200 in .00889.
func TestMissedAnswersWereNotNothing(t *testing.T) {
	moves := map[tape.Move]float64{tape.NoMove: 325, tape.MoveCross: 450, tape.MoveStepBack: 225}
	widened := func(sd float64) (p *fighter.Profile) {
		prior := fighter.Population("vole", fighter.AverageBody())
		for m := range tape.NumMoves {
			prior.Figures[fighter.Answer(1, m)] = fighter.Posterior{}
		}
		for m := range moves {
			prior.Figures[fighter.Answer(1, m)] = fighter.Posterior{A: .01}
		}
		p = prior.Clone()
		for m, n := range moves {
			p.Figures[fighter.Answer(1, m)].A += n
			p.Sources[fighter.Answer(1, m)] = fighter.FromTape
		}
		d := &fighterDoubt{}
		d.groups[tape.GroupStrikes].variance, d.groups[tape.GroupSteps].variance = sd*sd, sd*sd
		d.correct.tables[0][1][tape.MoveCross], d.correct.tables[0][1][tape.MoveStepBack] = -math.Log(.9), -math.Log(.75)
		d.widenTable(p, prior, 0, 1, func(m tape.Move) fighter.Figure { return fighter.Answer(1, m) })
		return p
	}
	sure := widened(0)
	of := func(p *fighter.Profile, m tape.Move) fighter.Posterior { return p.Figures[fighter.Answer(1, m)] }
	for m, n := range map[tape.Move]float64{tape.NoMove: 200, tape.MoveCross: 500, tape.MoveStepBack: 300} {
		require.InDelta(t, n, of(sure, m).Mean(fighter.Weight), 1, m)
	}
	require.InDelta(t, .00889, 1/of(sure, tape.NoMove).A, .0001)
	require.InDelta(t, 1./450, 1/of(sure, tape.MoveCross).A, .0001)
	require.InDelta(t, .00889-.005+.0066+.0064, 1/of(widened(.02), tape.NoMove).A, .0002)
}

// Two coders who miss as usual: doing nothing in answer to an attack is then as frequent in profiles as in those from tape of a coder who errs nowhere. At
// their word it comes out .09 too frequent at punching ranges, and was .043 with the correction by odds. Paired differences of 12 fighters with 12 rounds, in the
// share of nothing; what the misses leave is held to .025 and to less than a third of what they do.
func TestMissesDoNotMakeNothing(t *testing.T) {
	const fighters = 12
	r := newRing(t, 92, fighters, 4)
	misses := errant{CoderDoubt{Missed: UsualCoder().Missed}, chance(12)}
	var two []*tape.Coding
	for _, c := range r.full {
		two = append(two, misses.codes(c, "a"), misses.codes(c, "b"))
	}
	idle := func(codings []*tape.Coding, o Options) (share float64) {
		res, err := Calibrate(codings, o)
		require.NoError(t, err)
		for i := range fighters {
			for z := 1; z < fighter.ExchangeZones; z++ {
				all := 0.0
				for m := range tape.NumMoves {
					all += res.Profiles[ringID(i)].Figures[fighter.Answer(z, m)].Mean(fighter.Weight)
				}
				share += res.Profiles[ringID(i)].Figures[fighter.Answer(z, tape.NoMove)].Mean(fighter.Weight) / all / (2 * fighters)
			}
		}
		return share
	}
	right, corrected := idle(r.full, Options{}), idle(two, Options{Coder: misses.CoderDoubt})
	var one []*tape.Coding
	for i := 0; i < len(two); i += 2 {
		one = append(one, two[i])
	}
	naive := idle(one, Options{})
	t.Logf("nothing: no errors %.3f, one coder at their word %.3f, two corrected %.3f", right, naive, corrected)
	require.Greater(t, naive-right, .05)
	require.InDelta(t, right, corrected, .025)
	require.Less(t, math.Abs(corrected-right), (naive-right)/3)
}
