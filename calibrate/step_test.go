package calibrate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// Steps of .26 and .40 m come back from four bouts each, against somebody with the population's .32 m, who stays there; seeds are fixed. Two
// prior standard deviations away, the prior of ±10 % holds the estimate back: at four bouts it is about as strong as a third of the tape,
// so the fit must have gone at least half of the way and at most 1.3 times. Seen: .91 and .92 of it. The other's true logarithm must lie
// within 4.9 posterior standard deviations, and the spread of both must have fallen from .1 below .07.
func TestStepsComeBack(t *testing.T) {
	for _, length := range []float64{.26, .40} {
		d := fighter.Population("vole", fighter.AverageBody()).Centre()
		usual := d[stepFigure]
		d[stepFigure] = length
		r, err := Calibrate(simulated(t, d, 41, 4), Options{Steps: true})
		require.NoError(t, err)
		require.Len(t, r.Steps, 2)
		shrew, vole := r.Steps[0], r.Steps[1]
		for _, f := range r.Steps {
			require.Equal(t, StepConverged, f.Ended)
			require.Less(t, f.Length.B, .07)
			require.Greater(t, f.Steps, 300.)
			require.Len(t, f.Moments, int(numMoments))
			p := r.Profiles[f.Fighter]
			require.Equal(t, f.Length, p.Figures[stepFigure])
			require.Equal(t, fighter.FromTape, p.Sources[stepFigure])
		}
		way := math.Log(vole.Length.A/usual) / math.Log(length/usual)
		require.Greater(t, way, .5)
		require.Less(t, way, 1.3)
		require.InDelta(t, math.Log(usual), math.Log(shrew.Length.A), 4.9*shrew.Length.B)
		// The moments that the fit is about are nearer with the fitted step: those of steps that changed the range.
		for _, m := range vole.Moments[inNearer:] {
			require.Less(t, math.Abs(m.Coded-m.Fitted), math.Abs(m.Coded-m.Population), m.Name)
		}
	}
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

// Where moments are linear in what is fitted, the estimate's error has the variance that the sandwich gives, on average over the prior:
// 20,000 truths from N(0, .01), two moments with slopes 1 and -2 and a covariance that is not the weights'. The standard error of a
// variance is √(2/20000) of it.
func TestSandwich(t *testing.T) {
	const prior, n = .01, 20000
	cov := mat.NewSymDense(2, []float64{.02, .012, .012, .05})
	l := &slope{use: []int{0, 1}, by: []float64{1, -2}, cov: cov}
	var chol mat.Cholesky
	require.True(t, chol.Factorize(cov))
	var lower mat.TriDense
	chol.LTo(&lower)
	src := kernel.NewKey(8).Stream()
	normal := func() float64 { return float64(kernel.Normal(src.Uint32())) / kernel.NormalUnit }
	square, want := 0.0, 0.0
	for range n {
		x, a, b := math.Sqrt(prior)*normal(), normal(), normal()
		off := [numMoments]float64{x + lower.At(0, 0)*a, -2*x + lower.At(1, 0)*a + lower.At(1, 1)*b}
		much, way, middle := l.information(off)
		whole := much + 1/prior
		square += (way/whole - x) * (way/whole - x)
		want = (middle + 1/prior) / whole / whole
	}
	require.InEpsilon(t, want, square/n, 4.9*math.Sqrt(2./n))
	require.Less(t, want, prior/1.5)
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
