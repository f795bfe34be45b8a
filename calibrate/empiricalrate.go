package calibrate

import (
	"fmt"
	"math"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// rateUnits is what a library shows of one rate.
type rateUnits struct {
	estimate Estimate
	figure   fighter.Figure
	units    []infer.Counted // by fighter, and the population before as one more
}

// rates re-estimates all rates; those with enough tape share what is known of how far fighters differ.
func (e *estimator) rates() {
	var all []rateUnits
	var sets [][]infer.Counted
	for z := range fighter.NumZones {
		phi := e.dispersion(z)
		for m := range tape.NumMoves {
			r, ok := e.rate(z, m, phi)
			if !ok {
				continue
			}
			all = append(all, r)
			if r.estimate.Why == "" {
				sets = append(sets, r.units)
			}
		}
	}
	shape := e.population.Prior.RateCounts
	if len(sets) > 0 {
		shape = infer.FitShape(sets, infer.Lean{Size: shape, SD: leanSD}, mostCounts)
	}
	for _, r := range all {
		e.settleRate(r, infer.Lean{Size: shape, SD: leanSD})
	}
}

// dispersion is the factor between rounds in a zone, pooled over all fighters.
func (e *estimator) dispersion(z fighter.Zone) float64 {
	var parts []infer.Dispersion
	for _, id := range e.ids {
		if d := e.tallies[id].dispersion(z); d.DF > 0 {
			parts = append(parts, d)
		}
	}
	return infer.PoolDispersion(parts...).Factor
}

// rate gathers all fighters' counts of a move in a zone. It reports false for what the population does not do and nobody did.
func (e *estimator) rate(z fighter.Zone, m tape.Move, phi float64) (rateUnits, bool) {
	f := fighter.Initiate(z, m)
	post := e.population.Figures[f]
	r := rateUnits{figure: f, estimate: Estimate{Name: fighter.Define(f).Name, Unit: fighter.Define(f).Unit, Spread: "counts", figure: f}}
	x := &r.estimate
	exposure := 0.0
	for i, id := range e.ids {
		acts, seconds := initiated(e.tallies[id].rounds, z, m)
		place := e.leans[i].of(z, m)
		n, s := sum(acts), sum(seconds)*place.by
		if s == 0 {
			continue
		}
		left := 1 / (1 + n/phi*place.variance) // as in surer
		r.units = append(r.units, infer.Counted{Count: n / phi * left, Exposure: e.inSight(id, z, m) * place.by / phi * left})
		x.Fighters, x.Rounds, x.Events = x.Fighters+1, x.Rounds+len(seconds), x.Events+n
		exposure += s
	}
	expected := 0.0
	if post.A > 0 {
		x.Before, x.Was = post.A/post.B, post.A
		x.After, x.Is = x.Before, x.Was
		expected = exposure * x.Before
		r.units = append(r.units, infer.Counted{Count: post.A, Exposure: post.B})
	}
	x.Why = tooFew(x.Fighters, max(x.Events, expected), leastEvents, "acts seen or expected")
	return r, post.A > 0 || x.Events > 0 && x.Why == ""
}

// inSight is the time in which one act would be counted for each there was: where coders miss a fifth, four fifths of it. So the count stays
// what it is, and as sure as it is.
func (e *estimator) inSight(id string, z fighter.Zone, m tape.Move) (s float64) {
	for _, r := range e.tallies[id].rounds {
		if _, seconds := initiated([]*roundCount{r}, z, m); len(seconds) > 0 {
			s += seconds[0] * e.coders.seen(r.bout, z, m)
		}
	}
	return s
}

func (e *estimator) settleRate(r rateUnits, lean infer.Lean) {
	x := r.estimate
	if x.Why == "" {
		fit, ok := infer.FitGamma(r.units, lean, mostCounts)
		if !ok {
			panic("calibrate: a rate without an event")
		}
		e.population.Figures[r.figure] = fighter.Posterior{A: fit.Shape, B: fit.Rate}
		z, m, _ := initiateOf(r.figure)
		x.After, x.SE, x.Is, x.AtLimit = fit.Mean(), math.Hypot(fit.MeanSE, fit.Mean()*math.Sqrt(e.coders.doubtOfRate(z, m))), fit.Shape, fit.AtLimit
		e.tape(x.Name, &x, fmt.Sprintf("standard error %.2g; before: %.3g, counts %.3g", x.SE, x.Before, x.Was))
	}
	e.add(x)
}
