package calibrate

import (
	"context"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/batch"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// StepFit is how long a fighter's steps are, found by simulated moments: of all step lengths the one with which the fighter's own coded
// bouts, played again, come nearest to how the tape has the fighter in and between ranges. How fast somebody closes follows from it and
// from how often they step.
type StepFit struct {
	Fighter string
	Ended   StepEnding
	Steps   float64           // own steps on the tape whose range was known at both ends
	Length  fighter.Posterior // m: median, and spread of the logarithm
	Moments []StepMoment      // those that the coding shows
}

// StepMoment is one figure of how a fighter moves between ranges.
type StepMoment struct {
	Name             string
	Coded            float64
	Population       float64 // simulated with the population's step
	Fitted           float64 // simulated with the fitted one
	Error            float64 // standard deviation of one such tape, of what is drawn for it and of the profiles
	StandardResidual float64 // coded less fitted, in those
}

// StepEnding says how the fit of a step length ended.
type StepEnding string

// How the fit of a step length ends. Only one that converged changes the profile.
const (
	StepConverged    StepEnding = "converged"
	StepUnfinished   StepEnding = "iterations exhausted"
	StepUnidentified StepEnding = "not identified: the tape does not tell it from the population's"
	StepUnseen       StepEnding = "no tape of ranges"
)

const (
	stepSeed      = 0x73746570
	stepDraws     = 60  // replayed tapes for each length tried
	stepApart     = .15 // of the logarithm, on either side, for the slope of the moments
	mostFits      = 8   // Gauss-Newton steps
	slopes        = 2   // of them, that find the slope anew; the others keep it
	stepPasses    = 2   // over all fighters, since who met share their ranges
	farthestStep  = .2
	leastInformed = .1 // of the prior's precision, that tape must add
	stepRidge     = .1 // of each moment's variance, in the weights alone
)

// stepFigure is the figure that is fitted.
var stepFigure = fighter.Alone(fighter.StepLength)

// fitSteps fits everybody's step length and takes those that converged over into the profiles. Method of simulated moments with common
// random numbers (McFadden 1989, Econometrica 57, 995-1026; Gourieroux & Monfort 1996, Simulation-Based Econometric Methods; both from
// memory), penalised by the population's prior of the logarithm: with slope J of the moments, weights W and their covariance Ω, the
// minimum of (coded-simulated)'W(coded-simulated) + (x-prior)²/τ² has around the truth, on average over the prior, the variance
// H⁻¹(J'WΩWJ + 1/τ²)H⁻¹ with H = J'WJ + 1/τ² (the sandwich). Ω is taken from whole tapes simulated with draws of the profiles, so that what
// tape leaves open of rates and skills, and of the others' steps, is in it; simulation adds 1/draws of it.
func fitSteps(ctx context.Context, profiles map[string]*fighter.Profile, all []*replay, o Options) ([]StepFit, error) {
	fits := map[string]*StepFit{}
	for pass := range stepPasses {
		for _, id := range slices.Sorted(maps.Keys(profiles)) {
			s := newStepper(profiles[id], o.population().Profile(id, profiles[id].Body), all, o.Workers)
			fit, err := s.fit(ctx, fits[id])
			if err != nil {
				return nil, err
			}
			fits[id] = fit
			fit.apply(profiles[id], s.usual)
			if pass < stepPasses-1 {
				continue
			}
			if err := s.describe(ctx, fit); err != nil {
				return nil, err
			}
		}
	}
	var out []StepFit
	for _, id := range slices.Sorted(maps.Keys(fits)) {
		out = append(out, *fits[id])
	}
	return out, nil
}

// apply moves the profile's figure, or leaves it at the population's.
func (f *StepFit) apply(p, usual *fighter.Profile) {
	p.Figures[stepFigure], p.Sources[stepFigure], p.Seen[stepFigure] = usual.Figures[stepFigure], usual.Sources[stepFigure], 0
	if f.Ended == StepConverged {
		p.Figures[stepFigure], p.Sources[stepFigure], p.Seen[stepFigure] = f.Length, fighter.FromTape, f.Steps
	}
}

// stepper fits one fighter's step.
type stepper struct {
	profile *fighter.Profile
	usual   *fighter.Profile // as the population has somebody with that body
	bouts   []*replay
	corners []tape.Corner
	known   [][][]stay // by bout and round: when the fighter's zone was known
	coded   [numMoments]float64
	shown   [numMoments]bool
	steps   float64
	prior   fighter.Posterior
	workers int
	drawn   map[*fighter.Profile][]fighter.Draw // the others' with a step of their own drawn
}

func newStepper(p, usual *fighter.Profile, all []*replay, workers int) *stepper {
	s := &stepper{profile: p, usual: usual, workers: workers, prior: usual.Figures[stepFigure], drawn: map[*fighter.Profile][]fighter.Draw{}}
	var m motion
	for _, r := range all {
		for c := tape.RedCorner; c <= tape.BlueCorner; c++ {
			if r.src.id(c) == p.ID && r.src.lookedFor(tape.StateRange) {
				s.bouts, s.corners = append(s.bouts, r), append(s.corners, c)
				s.known = append(s.known, s.read(r, c, &m))
				s.draw(r.pair[0])
				s.draw(r.pair[1])
			}
		}
	}
	s.coded, s.steps = m.moments(), m.steps[0]+m.steps[1]
	feet := m.seconds[fighter.Out] + m.seconds[fighter.Kicking] + m.seconds[fighter.Long] + m.seconds[fighter.Pocket]
	for i := range s.shown {
		s.shown[i] = feet > 0 && (i < inNearer || m.steps[i-inNearer] > 0)
	}
	return s
}

// read takes in a coded bout.
func (s *stepper) read(r *replay, c tape.Corner, m *motion) (known [][]stay) {
	for i := range r.src.lights {
		rr := &roundReader{src: r.src, light: &r.src.lights[i]}
		stays := rr.stays(&auditFigure{state: tape.StateRange}, c)
		known = append(known, stays)
		m.add(rr, c, stays)
	}
	return known
}

// simulate gives the moments of so many tapes, all with that logarithm of the step, always with the same luck.
func (s *stepper) simulate(ctx context.Context, x float64) ([][numMoments]float64, error) {
	out := make([][numMoments]float64, stepDraws)
	bouts := make([]*sim.Bout, batch.Workers(s.workers, stepDraws))
	err := batch.Run(ctx, stepDraws, len(bouts), func(w, k int) error {
		if bouts[w] == nil {
			bouts[w] = sim.NewBout()
		}
		var m motion
		for i, r := range s.bouts {
			rounds, err := r.play(bouts[w], s.draws(r, s.corners[i], k, x), kernel.NewKey(stepSeed, uint64(k), uint64(i)))
			if err != nil {
				return err
			}
			for n, rr := range rounds {
				m.add(rr, s.corners[i], s.known[i][n])
			}
		}
		out[k] = m.moments()
		return nil
	}, nil)
	return out, err
}

// draw draws a profile once for all lengths tried: assumptions at their centre but for the step.
func (s *stepper) draw(p *fighter.Profile) {
	for k := uint64(len(s.drawn[p])); k < stepDraws; k++ {
		d := p.Draw(stepSeed, k, false)
		d[stepFigure] = p.Draw(stepSeed, k, true)[stepFigure]
		s.drawn[p] = append(s.drawn[p], d)
	}
}

// draws gives draw k of both.
func (s *stepper) draws(r *replay, c tape.Corner, k int, x float64) (d [2]fighter.Draw) {
	d[c], d[c.Other()] = slices.Clone(s.drawn[r.pair[c]][k]), s.drawn[r.pair[c.Other()]][k]
	d[c][stepFigure] = math.Exp(x)
	return d
}

// fit goes from the population's step, or from where an earlier pass ended.
func (s *stepper) fit(ctx context.Context, before *StepFit) (*StepFit, error) {
	f := &StepFit{Fighter: s.profile.ID, Ended: StepUnseen, Length: s.prior, Steps: s.steps}
	if !slices.Contains(s.shown[:], true) {
		return f, nil
	}
	f.Ended = StepUnfinished
	start, tight := math.Log(s.prior.A), 1/(s.prior.B*s.prior.B)
	x := start
	if before != nil {
		x = math.Log(before.Length.A)
	}
	var l *slope
	for i := range mostFits {
		var tapes [][numMoments]float64
		var err error
		if i < slopes {
			l, tapes, err = s.slope(ctx, x)
		} else {
			tapes, err = s.simulate(ctx, x)
		}
		if err != nil {
			return nil, err
		}
		much, way, middle := l.information(s.off(tapes))
		if much < leastInformed*tight {
			f.Ended, f.Length = StepUnidentified, s.prior
			break
		}
		whole := much + tight
		step := (way - (x-start)*tight) / whole
		x += max(min(step, farthestStep), -farthestStep)
		f.Length = fighter.Posterior{A: math.Exp(x), B: math.Sqrt(middle+tight) / whole}
		if math.Abs(step) < f.Length.B/5 {
			f.Ended = StepConverged
			break
		}
	}
	return f, nil
}

// off gives how far coded moments lie from simulated ones.
func (s *stepper) off(tapes [][numMoments]float64) (out [numMoments]float64) {
	for i := range out {
		out[i] = s.coded[i] - stat.Mean(column(tapes, i), nil)
	}
	return out
}

// describe sets the moments beside each other.
func (s *stepper) describe(ctx context.Context, f *StepFit) error {
	if f.Ended == StepUnseen {
		return nil
	}
	population, err := s.simulate(ctx, math.Log(s.prior.A))
	if err != nil {
		return err
	}
	fitted, err := s.simulate(ctx, math.Log(f.Length.A))
	if err != nil {
		return err
	}
	for i, shown := range s.shown {
		if !shown {
			continue
		}
		mean, sd := stat.MeanStdDev(column(fitted, i), nil)
		m := StepMoment{Name: momentNames[i], Coded: s.coded[i], Population: stat.Mean(column(population, i), nil), Fitted: mean, Error: sd}
		if sd > 0 {
			m.StandardResidual = (m.Coded - mean) / sd
		}
		f.Moments = append(f.Moments, m)
	}
	return nil
}
