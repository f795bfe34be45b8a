package calibrate

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// Long slow steps and short fast ones come back from four bouts each, against somebody with the population's .32 m and usual time, who stays
// there; seeds are fixed; the second coder writes tenths of a second. Two prior standard deviations away, priors of ±10 % hold the estimates
// back: at four bouts they are about as strong as a third of the tape, so each fit must have gone at least half of the way and at most 1.3 times. The
// other's true logarithms must lie within 4.9 posterior standard deviations, and the spread of all must have fallen from .1 below .07.
func TestStepsComeBack(t *testing.T) {
	for _, x := range []struct {
		length, time float64
		grain        int64
	}{{.26, 1.25, 0}, {.40, .8, 100_000}} {
		d := fighter.Population("vole", fighter.AverageBody()).Centre()
		usual := d[stepFigure]
		d[stepFigure], d[timeFigure] = x.length, x.time
		r, err := Calibrate(clockedIn(simulated(t, d, 41, 4), x.grain), Options{Steps: true})
		require.NoError(t, err)
		require.Len(t, r.Steps, 2)
		shrew, vole := r.Steps[0], r.Steps[1]
		for _, f := range r.Steps {
			require.Equal(t, StepConverged, f.Ended)
			require.Equal(t, [2]bool{true, true}, f.Told)
			require.Less(t, f.Length.B, .07)
			require.Less(t, f.Time.B, .07)
			require.Greater(t, f.Steps, 300.)
			require.Greater(t, f.Gaps, 300.)
			require.Len(t, f.Moments, int(numMoments))
			p := r.Profiles[f.Fighter]
			for k, post := range []fighter.Posterior{f.Length, f.Time} {
				require.Equal(t, post, p.Figures[strideOf[k]])
				require.Equal(t, fighter.FromTape, p.Sources[strideOf[k]])
			}
			// A step in takes .3 s as usual (tape.UsualTime), and what is believed of length and time hardly hangs together.
			require.InEpsilon(t, f.Length.A/f.Time.A/.3, f.Speed.A, 1e-12)
			require.InEpsilon(t, math.Hypot(f.Length.B, f.Time.B), f.Speed.B, .2)
		}
		for _, way := range []float64{math.Log(vole.Length.A/usual) / math.Log(x.length/usual), math.Log(vole.Time.A) / math.Log(x.time)} {
			require.Greater(t, way, .5)
			require.Less(t, way, 1.3)
		}
		require.InDelta(t, math.Log(usual), math.Log(shrew.Length.A), 4.9*shrew.Length.B)
		require.InDelta(t, 0, math.Log(shrew.Time.A), 4.9*shrew.Time.B)
		// The moments that the fit is about are nearer with the fitted step: those of steps that changed the range, and of when steps ended.
		for _, m := range vole.Moments[inNearer:] {
			require.Less(t, math.Abs(m.Coded-m.Fitted), math.Abs(m.Coded-m.Population), m.Name)
		}
	}
}

// clockedIn rounds tapes' clocks as a coder does.
func clockedIn(tapes []*tape.Coding, grain int64) []*tape.Coding {
	for _, c := range tapes {
		for i, e := range rounded(c.Events(), grain, int64(c.Bout.RuleSet.RoundSeconds)*1e6) {
			c.Rows[i].Event = e
		}
	}
	return tapes
}

// A coder whose clocks are off by .15 s at random, act by act, is found out to .05 s, and not believed to the millisecond: the spread of the time is
// wider than with exact clocks on the same bouts, and truth lies within 2.5 posterior standard deviations (two fighters, two figures and two coders:
// one in ten sets of seeds fails by chance). Without allowing for it lengths came out 3.4 too short: a step that is written down late has changed the range
// before it began.
func TestUnsteadyClocksWidenStepTime(t *testing.T) {
	d := fighter.Population("vole", fighter.AverageBody()).Centre()
	spread := [2]float64{}
	for k, unsteady := range []float64{0, .15e6} {
		tapes := simulated(t, d, 43, 2)
		src := kernel.NewKey(12).Stream()
		for _, c := range tapes {
			for i := range c.Rows {
				if e := &c.Rows[i].Event; e.IsAct() {
					off := int64(unsteady * float64(kernel.Normal(src.Uint32())) / kernel.NormalUnit)
					e.Clock = min(max(e.Clock+off, 0), int64(c.Bout.RuleSet.RoundSeconds)*1e6)
				}
			}
			slices.SortStableFunc(c.Rows, func(a, b tape.Row) int {
				return cmp.Or(cmp.Compare(a.Round, b.Round), cmp.Compare(a.Clock, b.Clock))
			})
		}
		r, err := Calibrate(tapes, Options{Steps: true})
		require.NoError(t, err)
		for _, f := range r.Steps {
			require.InDelta(t, 0, math.Log(f.Time.A), 2.5*f.Time.B)
			require.InDelta(t, math.Log(d[stepFigure]), math.Log(f.Length.A), 2.5*f.Length.B)
			require.InDelta(t, unsteady/1e6, f.Clocks, .05)
			spread[k] += f.Time.B / 2
		}
	}
	require.Greater(t, spread[1], 1.2*spread[0])
}

// Tape without ranges leaves the population's step and says that it saw nothing; twenty seconds hardly move it.
func TestThinTapeLeavesThePopulationsStep(t *testing.T) {
	d := fighter.Population("vole", fighter.AverageBody()).Centre()
	tapes := simulated(t, d, 5, 1)
	tapes[0].Bout.LookedFor[tape.GroupRange] = false
	r, err := Calibrate(tapes, Options{Steps: true})
	require.NoError(t, err)
	usual := fighter.Population("vole", fighter.AverageBody())
	for _, f := range r.Steps {
		require.Equal(t, StepUnseen, f.Ended)
		require.Equal(t, usual.Figures[stepFigure], r.Profiles[f.Fighter].Figures[stepFigure])
		require.Equal(t, fighter.FromAssumption, r.Profiles[f.Fighter].Sources[stepFigure])
	}
	tapes = simulated(t, d, 5, 1)
	tapes[0].Bout.Coded = []tape.Interval{{Round: 1, From: 0, To: 20_000_000}}
	r, err = Calibrate(tapes, Options{Steps: true, For: []string{"vole"}})
	require.NoError(t, err)
	require.Len(t, r.Profiles, 1)
	require.InDelta(t, math.Log(usual.Figures[stepFigure].A), math.Log(r.Profiles["vole"].Figures[stepFigure].A), .1)
	require.Greater(t, r.Profiles["vole"].Figures[stepFigure].B, .08)
}

// The same tape gives the same fit for any number of workers.
func TestStepsDoNotDependOnWorkers(t *testing.T) {
	tapes := simulated(t, truth(), 9, 1)
	one, err := Calibrate(tapes, Options{Steps: true, Check: true, Workers: 1})
	require.NoError(t, err)
	two, err := Calibrate(tapes, Options{Steps: true, Check: true, Workers: 2})
	require.NoError(t, err)
	require.Equal(t, one.Steps, two.Steps)
	require.Equal(t, one.Residuals, two.Residuals)
}

// Where moments are linear in what is fitted, the estimate's error has the covariance that the sandwich gives, on average over the prior:
// 20,000 truths of both logarithms from N(0, .0025), three moments and a covariance that is not the weights'. The standard error of a variance
// is √(2/20000) of it, of a covariance at most √(2·a·b/20000), with a and b the two variances.
func TestSandwich(t *testing.T) {
	const n = 20000
	prior := [2]fighter.Posterior{{A: 1, B: .05}, {A: 1, B: .05}}
	cov := mat.NewSymDense(3, []float64{.005, .003, .00075, .003, .0125, -.0025, .00075, -.0025, .0025})
	l := &slope{use: []int{0, 1, 2}, by: mat.NewDense(3, 2, []float64{1, .5, -2, 0, .3, 1}), cov: cov}
	var chol mat.Cholesky
	require.True(t, chol.Factorize(cov))
	var lower mat.TriDense
	chol.LTo(&lower)
	src := kernel.NewKey(8).Stream()
	normals := func(k int) *mat.VecDense {
		out := mat.NewVecDense(k, nil)
		for i := range k {
			out.SetVec(i, float64(kernel.Normal(src.Uint32()))/kernel.NormalUnit)
		}
		return out
	}
	var square [2][2]float64
	var b *stepBelief
	for range n {
		x := normals(2)
		x.ScaleVec(.05, x)
		var off, noise mat.VecDense
		noise.MulVec(&lower, normals(3))
		off.MulVec(l.by, x)
		off.AddVec(&off, &noise)
		b = newStepBelief(prior)
		b.learn(l.information([numMoments]float64{off.AtVec(0), off.AtVec(1), off.AtVec(2)}))
		for i := range square {
			for k := range square {
				square[i][k] += (b.at[i] - x.AtVec(i)) * (b.at[k] - x.AtVec(k)) / n
			}
		}
	}
	require.Equal(t, [2]bool{true, true}, b.told)
	for k, spread := range b.spread {
		require.InEpsilon(t, spread*spread, square[k][k], 4.9*math.Sqrt(2./n))
		require.Less(t, spread, .05/math.Sqrt(1.5))
	}
	require.InDelta(t, b.covary, square[0][1], 4.9*math.Sqrt(2./n)*b.spread[0]*b.spread[1])
	require.Greater(t, math.Abs(b.covary), 10*4.9*math.Sqrt(2./n)*b.spread[0]*b.spread[1]*.1) // so that leaving it out would be seen
}

// A figure on which no moment hangs stays where the population has it, with its spread, and moves the other by nothing; whatever does not
// hang on either leaves both.
func TestAStepFigureThatTapeIsSilentOnStays(t *testing.T) {
	prior := [2]fighter.Posterior{{A: .32, B: .1}, {A: 1, B: .1}}
	l := &slope{use: []int{0, 1}, by: mat.NewDense(2, 2, []float64{1, 0, -2, .01}), cov: mat.NewSymDense(2, []float64{.01, 0, 0, .01})}
	b := newStepBelief(prior)
	b.learn(l.information([numMoments]float64{.1, -.2}))
	require.Equal(t, [2]bool{true, false}, b.told)
	require.Greater(t, b.at[0], math.Log(.32)+.05)
	require.Zero(t, b.at[1])
	require.InDelta(t, .1, b.spread[1], 1e-12)
	require.Less(t, b.spread[0], .07)
	require.Zero(t, b.covary)
	l.by.Set(0, 0, 0)
	l.by.Set(1, 0, .01)
	b = newStepBelief(prior)
	b.learn(l.information([numMoments]float64{.1, -.2}))
	require.Equal(t, [2]bool{}, b.told)
	require.Equal(t, newStepBelief(prior).at, b.at)
}

// A stay too short to be called one belongs to what was before; what is cut by a gap is not joined over it.
func TestSettledStays(t *testing.T) {
	at := func(from, to int64, zone fighter.Zone) stay { return stay{span{from * 1e5, to * 1e5}, int(zone)} }
	in := []stay{at(0, 10, fighter.Kicking), at(10, 12, fighter.Long), at(12, 30, fighter.Kicking), at(30, 40, fighter.Long), at(50, 52, fighter.Pocket)}
	require.Equal(t, []stay{at(0, 30, fighter.Kicking), at(30, 40, fighter.Long), at(50, 52, fighter.Pocket)}, settled(in))
	require.Equal(t, []stay{at(5, 10, fighter.Kicking), at(10, 12, fighter.Long), at(12, 20, fighter.Kicking), at(35, 40, fighter.Long)},
		overlap(in, []stay{at(5, 20, 0), at(35, 45, 0)}))
}

// What is counted of a minute on the feet, by hand: 30 s at kicking range and 30 s long, one step in that led there, one back that did
// not lead out, and the clinch does not count.
func TestMotion(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	rangeAt := func(s int64, v tape.Value) tape.Event {
		return tape.Event{Round: 1, Clock: s * 1e6, Corner: tape.RedCorner, Act: tape.StateRange, Value: v}
	}
	step := func(s int64, a tape.Act) tape.Event {
		return tape.Event{Round: 1, Clock: s * 1e6, Corner: tape.RedCorner, Act: a}
	}
	s := &source{bout: boutOf("one", rules, "stoat", "marten"), weight: 1, events: []tape.Event{
		rangeAt(0, tape.Kicking), rangeAt(30, tape.Long), step(30, tape.StepIn), step(40, tape.StepBack), rangeAt(60, tape.Clinch)}}
	s.lights = lights(s)
	r := &roundReader{src: s, light: &s.lights[0]}
	var m motion
	m.add(r, tape.RedCorner, r.stays(&auditFigure{state: tape.StateRange}, tape.RedCorner))
	require.Equal(t, [numMoments]float64{longShare: .5, kickShare: .5, kickCrossed: 1, inNearer: 1}, m.moments())
}

// Gaps by hand, from what tape says of usual times: a jab may be continued .175 s after its clock, a step .06 s; a defended attack is usually answered .15 s
// after it; a step takes .3 s, a circle .32. Planted lateness comes back by what the step was about; steps out of nothing count nowhere.
func TestStepGapsByHand(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	act := func(ms int64, c tape.Corner, a tape.Act, v tape.Value) tape.Event {
		return tape.Event{Round: 1, Clock: ms * 1000, Corner: c, Act: a, Value: v}
	}
	met := act(20_000, tape.BlueCorner, tape.Jab, tape.Head)
	met.Defence = tape.Guard
	s := &source{bout: boutOf("one", rules, "stoat", "marten"), weight: 1, events: []tape.Event{
		act(10_000, tape.RedCorner, tape.Jab, tape.Head), act(10_495, tape.RedCorner, tape.StepIn, tape.NoValue), // .175 + .3 + .020
		act(10_905, tape.RedCorner, tape.StepBack, tape.NoValue), // .06 + .3 + .050
		met, act(20_420, tape.RedCorner, tape.StepBack, tape.NoValue), // .15 + .3 - .030
		act(20_830, tape.RedCorner, tape.Circle, tape.Left), // .06 + .32 + .030
		act(30_000, tape.RedCorner, tape.StepIn, tape.NoValue)}}
	s.lights = lights(s)
	var g gaps
	g.add(&roundReader{src: s, light: &s.lights[0]}, tape.RedCorner)
	require.Equal(t, [numGaps]float64{afterStep: 2, afterAct: 1, inAnswer: 1}, g.n)
	require.InDelta(t, .040, g.mean(afterStep), 1e-12)
	require.InDelta(t, .020, g.mean(afterAct), 1e-12)
	require.InDelta(t, -.030, g.mean(inAnswer), 1e-12)
	require.InDelta(t, .0002, g.variance(afterStep), 1e-12) // (.05-.03)²/2
	require.Zero(t, g.variance(afterAct))
	require.Equal(t, 4., g.total())
}
