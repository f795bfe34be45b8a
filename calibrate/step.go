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

const (
	stepSeed      = 0x73746570
	stepDraws     = 60  // replayed tapes for each step tried
	stepApart     = .15 // of a logarithm, on either side, for the slopes of the moments
	mostFits      = 8   // Gauss-Newton steps
	slopes        = 2   // of them, that find the slopes anew; the others keep them
	stepPasses    = 2   // over all fighters, since who met share their ranges
	farthestStep  = .2
	leastInformed = .1 // of a figure's precision before tape, that tape must add
	stepRidge     = .1 // of each moment's variance, in the weights alone
)

// The figures that are fitted.
var (
	stepFigure = fighter.Alone(fighter.StepLength)
	timeFigure = fighter.Alone(fighter.StepTime)
	strideOf   = [2]fighter.Figure{stepFigure, timeFigure}
)

// stride is the logarithms of a step's length and of its time.
type stride [2]float64

// fitSteps fits everybody's step and takes those that converged over into the profiles. Method of simulated moments with common
// random numbers (McFadden 1989, Econometrica 57, 995-1026; Gourieroux & Monfort 1996, Simulation-Based Econometric Methods; both from
// memory), penalised by the population's prior of the logarithms: with slopes J of the moments, weights W and their covariance Ω, the
// minimum of (coded-simulated)'W(coded-simulated) + (x-prior)'P(x-prior) has around the truth, on average over the prior, the covariance
// H⁻¹(J'WΩWJ + P)H⁻¹ with H = J'WJ + P (the sandwich). Ω is taken from whole tapes simulated with draws of the profiles, so that what
// tape leaves open of rates and skills, of the others' steps, of all that is assumed and of how late coders see feet is in it; simulation
// adds 1/draws of it. The coder's clocks are as unsteady and as coarse there as on the tape.
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

// stepper fits one fighter's step.
type stepper struct {
	profile *fighter.Profile
	usual   *fighter.Profile // as the population has somebody with that body
	bouts   []*replay
	corners []tape.Corner
	known   [][][]stay // by bout and round: when the fighter's zone was known
	coded   motion
	shown   [numMoments]bool
	prior   [2]fighter.Posterior
	clocks  clocks
	workers int
	drawn   map[*fighter.Profile][]fighter.Draw // assumptions too
}

func newStepper(p, usual *fighter.Profile, all []*replay, workers int) *stepper {
	s := &stepper{profile: p, usual: usual, workers: workers, drawn: map[*fighter.Profile][]fighter.Draw{}}
	for k, figure := range strideOf {
		s.prior[k] = usual.Figures[figure]
	}
	m := &s.coded
	for _, r := range all {
		for c := tape.RedCorner; c <= tape.BlueCorner; c++ {
			if r.src.id(c) == p.ID && r.src.lookedFor(tape.StateRange) {
				s.bouts, s.corners = append(s.bouts, r), append(s.corners, c)
				s.known = append(s.known, s.read(r, c, m))
				s.draw(r.pair[0])
				s.draw(r.pair[1])
			}
		}
	}
	feet := m.feet()
	for i := range s.shown {
		s.shown[i] = feet > 0 && (i < inNearer || i < stepLags && m.steps[i-inNearer] > 0 || i >= stepLags && m.gaps.n[i-stepLags] > 0)
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

// simulate plays so many tapes, all with that step, always with the same luck.
func (s *stepper) simulate(ctx context.Context, x stride) (tapes, error) {
	out := make(tapes, stepDraws)
	bouts := make([]*sim.Bout, batch.Workers(s.workers, stepDraws))
	err := batch.Run(ctx, stepDraws, len(bouts), func(w, k int) error {
		if bouts[w] == nil {
			bouts[w] = sim.NewBout()
		}
		var m motion
		for i, r := range s.bouts {
			rounds, err := r.play(bouts[w], s.draws(r, s.corners[i], k, x), kernel.NewKey(stepSeed, uint64(k), uint64(i)), s.clocks.off(k))
			if err != nil {
				return err
			}
			for n, rr := range rounds {
				m.add(rr, s.corners[i], s.known[i][n])
			}
		}
		out[k] = shownBy(&m, k)
		return nil
	}, nil)
	return out, err
}

// draw draws a profile once for all steps tried, assumptions too: how soon a step begins hangs on the way back to guard and on reactions.
func (s *stepper) draw(p *fighter.Profile) {
	for k := uint64(len(s.drawn[p])); k < stepDraws; k++ {
		s.drawn[p] = append(s.drawn[p], p.Draw(stepSeed, k, true))
	}
}

// draws gives draw k of both.
func (s *stepper) draws(r *replay, c tape.Corner, k int, x stride) (d [2]fighter.Draw) {
	d[c], d[c.Other()] = slices.Clone(s.drawn[r.pair[c]][k]), s.drawn[r.pair[c.Other()]][k]
	for i, figure := range strideOf {
		d[c][figure] = math.Exp(x[i])
	}
	return d
}

// fit goes from the population's step, or from where an earlier pass ended.
func (s *stepper) fit(ctx context.Context, before *StepFit) (*StepFit, error) {
	f := &StepFit{Fighter: s.profile.ID, Ended: StepUnseen, Steps: s.coded.steps[0] + s.coded.steps[1], Gaps: s.coded.gaps.total()}
	b := newStepBelief(s.prior)
	defer func() { b.tell(f) }()
	if !slices.Contains(s.shown[:], true) {
		return f, nil
	}
	f.Ended = StepUnfinished
	if before != nil {
		b.at = stride{math.Log(before.Length.A), math.Log(before.Time.A)}
		s.clocks = before.clocks
	}
	var l *slope
	for i := range mostFits {
		var near tapes
		var err error
		if i < slopes {
			l, near, err = s.slope(ctx, b.at)
		} else {
			near, err = s.simulate(ctx, b.at)
		}
		if err != nil {
			return nil, err
		}
		settled := b.learn(l.information(s.off(near)))
		settled = s.steady(near, l.clear) && settled
		f.clocks, f.Clocks = s.clocks, s.clocks.sd()/1e6
		if b.told == [2]bool{} {
			f.Ended = StepUnidentified
			break
		}
		if settled {
			f.Ended = StepConverged
			break
		}
	}
	return f, nil
}

// off gives how far coded moments lie from simulated ones.
func (s *stepper) off(t tapes) (out [numMoments]float64) {
	coded := s.coded.moments()
	for i := range out {
		out[i] = coded[i] - stat.Mean(t.column(i), nil)
	}
	return out
}

// describe sets the moments beside each other.
func (s *stepper) describe(ctx context.Context, f *StepFit) error {
	if f.Ended == StepUnseen {
		return nil
	}
	population, err := s.simulate(ctx, stride{math.Log(s.prior[0].A), math.Log(s.prior[1].A)})
	if err != nil {
		return err
	}
	fitted, err := s.simulate(ctx, stride{math.Log(f.Length.A), math.Log(f.Time.A)})
	if err != nil {
		return err
	}
	coded := s.coded.moments()
	for i, shown := range s.shown {
		if !shown {
			continue
		}
		mean, sd := stat.MeanStdDev(fitted.column(i), nil)
		m := StepMoment{Name: momentNames[i], Coded: coded[i], Population: stat.Mean(population.column(i), nil), Fitted: mean, Error: sd}
		if sd > 0 {
			m.StandardResidual = (m.Coded - mean) / sd
		}
		f.Moments = append(f.Moments, m)
	}
	return nil
}
