package calibrate

import (
	"fmt"
	"math"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/infer"
)

// multipleRounds is how often fighters are read anew on what was last estimated of the others (judgement): what tape alone says is taken from the
// curvature at the mode, and a few acts say little of a median far from it.
const multipleRounds = 4

// multiples re-estimates the multiples by place and by last act: median and spread of each between fighters. Of a fighter it takes what tape alone says, the
// posterior less the prior that went into it, as a normal number. It notes what places make of each fighter's free seconds at last.
func (e *estimator) multiples() {
	before := slices.Clone(e.population.Figures)
	phi := make([][fighter.NumZones]float64, len(e.ids))
	for i, id := range e.ids {
		phi[i] = e.tallies[id].factors()
	}
	for round := range multipleRounds {
		last, own := round == multipleRounds-1, e.onMedians(before, phi)
		for i := range fighter.Figure(fighter.NumPlaces) * fighter.Figure(fighter.NumSorts) {
			e.multiple(fighter.Placed(0, 0)+i, before, own, leastEvents, "acts there", last)
		}
		for i := range fighter.Figure(numMultiples) {
			e.multiple(fighter.Follows(fighter.AfterStep)+i, before, own, leastChoices, "choices", last)
		}
	}
	for i, id := range e.ids {
		e.leans = append(e.leans, setPlaces(e.population.Profile(id, fighter.Body{}), e.tallies[id], &phi[i]))
	}
}

// onMedians gives everybody's profiles on the medians of now and the spreads there were before: on a spread at its limit little would be told.
func (e *estimator) onMedians(before []fighter.Posterior, phi [][fighter.NumZones]float64) (own []*fighter.Profile) {
	for i, id := range e.ids {
		p := e.population.Profile(id, fighter.Body{})
		for f := fighter.Placed(0, 0); isPlace(f) || isAfter(f); f++ {
			p.Figures[f].B = before[f].B
		}
		setPlaces(p, e.tallies[id], &phi[i])
		setTables(p, e.tallies[id])
		own = append(own, p)
	}
	return own
}

func (e *estimator) multiple(f fighter.Figure, all []fighter.Posterior, own []*fighter.Profile, least float64, of string, last bool) {
	before, now := all[f], e.population.Figures[f].A
	x := Estimate{Name: fighter.Define(f).Name, Unit: fighter.Define(f).Unit, Spread: "sd", Before: before.A, After: before.A, Was: before.B, Is: before.B, figure: f}
	var shifts, precisions []float64
	for i, p := range own {
		if p.Sources[f] != fighter.FromTape {
			continue
		}
		x.Fighters, x.Rounds, x.Events = x.Fighters+1, x.Rounds+e.tallies[e.ids[i]].roundsOf(), x.Events+p.Seen[f]
		post := p.Figures[f]
		if told := 1/(post.B*post.B) - 1/(before.B*before.B); told > 0 {
			shifts = append(shifts, math.Log(now/before.A)+math.Log(post.A/now)/(post.B*post.B)/told)
			precisions = append(precisions, told)
		}
	}
	if x.Why = tooFew(x.Fighters, x.Events, least, of); x.Why == "" {
		shift, se, spread := meanShift(shifts, precisions, before.B*before.B)
		x.After = before.A * math.Exp(shift)
		x.SE, x.Is, x.AtLimit = x.After*se, math.Sqrt(spread.Variance), spread.AtLimit
		e.population.Figures[f] = fighter.Posterior{A: x.After, B: x.Is}
		if last {
			e.tape(x.Name, &x, fmt.Sprintf("standard error %.2g; before: %.3g, sd %.3g", x.SE, x.Before, x.Was))
		}
	}
	if last {
		e.add(x)
	}
}

// meanShift gives the mean of normal shifts with their precisions, its standard error, and the variance between them. Zero, with the variance
// v0 there was before, stands for one more.
func meanShift(shifts, precisions []float64, v0 float64) (mean, se float64, spread infer.SpreadFit) {
	spread.Variance = v0
	for range 100 {
		information, score, last := 1/v0, 0.0, mean
		for i, x := range shifts {
			w := 1 / (1/precisions[i] + spread.Variance)
			information, score = information+w, score+w*x
		}
		mean, se = score/information, 1/math.Sqrt(information)
		units := make([]infer.Shifted, len(shifts))
		for i, x := range shifts {
			units[i] = infer.Shifted{Over: precisions[i] * (x - mean), Luck: precisions[i], Slope: precisions[i]}
		}
		spread = infer.FitSpread(units, v0, leanFighters, leastSpread*leastSpread)
		if math.Abs(mean-last) < 1e-12 {
			break
		}
	}
	return mean, se, spread
}

// nothings gives how often nothing was chosen where so much could be written down, each as so many as after a punch: where something is half as likely by
// the odds, two nothings stand for one.
func (e *estimator) nothings(c *counts, could pattern, none fighter.Figure) float64 {
	k := 0
	if none >= fighter.Continue(0, 0) {
		k = 1
	}
	n := c.tables[could][none]
	for a := range fighter.NumAfters {
		if f, ok := afterMultiple(k, a); ok {
			n += c.lasts[could][lastChoice{none, a}] * (e.population.Figures[f].A - 1)
		}
	}
	return n
}
