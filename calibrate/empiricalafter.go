package calibrate

import (
	"fmt"
	"math"

	"whatbout/fighter"
	"whatbout/internal/infer"
)

// multiples re-estimates the multiples by place and by last act: median and spread of each between fighters. Of a fighter it takes what tape alone says, the
// posterior less the prior that went into it, as a normal number.
func (e *estimator) multiples() {
	own := make([]*fighter.Profile, len(e.ids))
	for i, id := range e.ids {
		own[i] = e.population.Profile(id, fighter.Body{})
		e.leans = append(e.leans, setPlaces(own[i], e.tallies[id]))
		setTables(own[i], e.tallies[id])
	}
	for i := range fighter.Figure(fighter.NumPlaces) * fighter.Figure(fighter.NumSorts) {
		e.multiple(fighter.Placed(0, 0)+i, own, leastEvents, "acts there")
	}
	for i := range numMultiples {
		e.multiple(fighter.Follows(fighter.AfterStep)+fighter.Figure(i), own, leastChoices, "choices")
	}
}

func (e *estimator) multiple(f fighter.Figure, own []*fighter.Profile, least float64, of string) {
	before := e.population.Figures[f]
	x := Estimate{Name: fighter.Define(f).Name, Unit: fighter.Define(f).Unit, Spread: "sd", Before: before.A, After: before.A, Was: before.B, Is: before.B, figure: f}
	var shifts, precisions []float64
	for i, p := range own {
		if p.Sources[f] != fighter.FromTape {
			continue
		}
		x.Fighters, x.Rounds, x.Events = x.Fighters+1, x.Rounds+e.tallies[e.ids[i]].roundsOf(), x.Events+p.Seen[f]
		post := p.Figures[f]
		if told := 1/(post.B*post.B) - 1/(before.B*before.B); told > 0 {
			shifts, precisions = append(shifts, math.Log(post.A/before.A)/(post.B*post.B)/told), append(precisions, told)
		}
	}
	if x.Why = tooFew(x.Fighters, x.Events, least, of); x.Why == "" {
		shift, se, spread := meanShift(shifts, precisions, before.B*before.B)
		x.After = before.A * math.Exp(shift)
		x.SE, x.Is, x.AtLimit = x.After*se, math.Sqrt(spread.Variance), spread.AtLimit
		e.population.Figures[f] = fighter.Posterior{A: x.After, B: x.Is}
		e.tape(x.Name, &x, fmt.Sprintf("standard error %.2g; before: %.3g, sd %.3g", x.SE, x.Before, x.Was))
	}
	e.add(x)
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
