package calibrate

import (
	"fmt"
	"math"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/infer"
)

// afters re-estimates the multiples by last act.
func (e *estimator) afters() {
	var figures []fighter.Figure
	for i := range numMultiples {
		figures = append(figures, fighter.Follows(fighter.AfterStep)+fighter.Figure(i))
	}
	e.multiples(figures, leastChoices, "choices", setTables)
}

// multipleRounds is how often fighters are read anew on what was last estimated of the others (judgement): what tape alone says is taken from the curvature at the
// mode, and counts of a few say little of a median far from it.
const multipleRounds = 4

// multiples re-estimates the median and spread of multiples between fighters, of which each needs so much of what it is about on tape. Of a fighter it takes what
// tape alone says, the posterior less the prior that went into it, as a normal number; set reads a fighter's tape.
func (e *estimator) multiples(figures []fighter.Figure, least float64, of string, set func(*fighter.Profile, *counts)) {
	before := slices.Clone(e.population.Figures)
	for round := range multipleRounds {
		own := make([]*fighter.Profile, len(e.ids))
		for i, id := range e.ids {
			own[i] = e.population.Profile(id, fighter.Body{})
			for _, f := range figures {
				own[i].Figures[f].B = before[f].B // a spread at its limit would leave little to be told
			}
			set(own[i], e.tallies[id])
		}
		for _, f := range figures {
			x := e.multiple(f, before[f], own, least, of)
			if round == multipleRounds-1 && x.Estimated {
				e.tape(x.Name, &x, fmt.Sprintf("standard error %.2g; before: %.3g, sd %.3g", x.SE, x.Before, x.Was))
			}
			if round == multipleRounds-1 {
				e.add(x)
			}
		}
	}
}

// multiple estimates one; own are everybody's profiles on the median of now.
func (e *estimator) multiple(f fighter.Figure, before fighter.Posterior, own []*fighter.Profile, least float64, of string) Estimate {
	x := Estimate{Name: fighter.Define(f).Name, Unit: fighter.Define(f).Unit, Spread: "sd", Before: before.A, After: before.A, Was: before.B, Is: before.B, figure: f}
	now := e.population.Figures[f].A
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
		x.After, x.Estimated = before.A*math.Exp(shift), true
		x.SE, x.Is, x.AtLimit = x.After*se, math.Sqrt(spread.Variance), spread.AtLimit
		e.population.Figures[f] = fighter.Posterior{A: x.After, B: x.Is}
	}
	return x
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
