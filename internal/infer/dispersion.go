package infer

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Dispersion says how much more counts vary from unit to unit (round to round) than independent events at one rate would.
type Dispersion struct {
	Units    int     // with exposure or trials
	Rate     float64 // common events per exposure, or share of trials
	ChiSq    float64 // Pearson's statistic
	DF       float64 // Units - 1, or a sum of such
	Raw      float64 // ChiSq/DF: 1 for independent events, below 1 for counts more even than chance
	Factor   float64 // Raw, but at least 1: what counts and exposure are divided by
	P        float64 // chance of a ChiSq as large from independent events
	O2       float64 // √(DF/2)·(Raw-1), about standard normal for independent events (Böhning 1994)
	Dean     float64 // Dean's P_B, about standard normal for independent events (Dean 1992); counts only, 0 for shares
	Warnings []string
}

// Below this many degrees of freedom the factor is little more than a guess: its relative standard deviation √(2/df) is above 0.45.
const fewDF = 10

// CountDispersion compares counts over units with their exposure: Pearson's statistic around the common rate (McCullagh & Nelder 1989,
// section 6.2) and Dean's P_B (Dean 1992, J. Am. Stat. Assoc. 87, 451–457). Units without exposure are left out. With fewer than two units
// or no event nothing can be said: the factor is 1 and a warning says so.
func CountDispersion(counts, exposures []float64) Dispersion {
	checkLengths(counts, exposures)
	events, exposure, units := totals(counts, exposures, func(y, t float64) bool { return y >= 0 && (t > 0 || y == 0) })
	if units < 2 || events == 0 {
		return unknownDispersion(units)
	}
	d := Dispersion{Units: units, Rate: events / exposure, DF: float64(units - 1)}
	excess, squares := 0.0, 0.0
	for i, y := range counts {
		if exposures[i] == 0 {
			continue
		}
		mu := d.Rate * exposures[i]
		d.ChiSq += (y - mu) * (y - mu) / mu
		excess += (y-mu)*(y-mu) - y
		squares += mu * mu
	}
	d.Dean = excess / math.Sqrt(2*squares)
	return d.finish(events / float64(units))
}

// ShareDispersion compares successes with trials over units, around the common share. Units without trials are left out. If nothing or
// everything succeeded nothing can be said: the factor is 1 and a warning says so.
func ShareDispersion(successes, trials []float64) Dispersion {
	checkLengths(successes, trials)
	hits, n, units := totals(successes, trials, func(y, t float64) bool { return y >= 0 && y <= t })
	if units < 2 || hits == 0 || hits == n {
		return unknownDispersion(units)
	}
	d := Dispersion{Units: units, Rate: hits / n, DF: float64(units - 1)}
	for i, y := range successes {
		if trials[i] == 0 {
			continue
		}
		mu := d.Rate * trials[i]
		d.ChiSq += (y - mu) * (y - mu) / (mu * (1 - d.Rate))
	}
	return d.finish(min(hits, n-hits) / float64(units))
}

// PoolDispersion joins figures that share one factor, since one figure alone seldom has the degrees of freedom to know it. Rate and
// Dean are of no single figure and stay 0; Units is the sum.
func PoolDispersion(parts ...Dispersion) Dispersion {
	var d Dispersion
	for _, p := range parts {
		d.Units, d.ChiSq, d.DF = d.Units+p.Units, d.ChiSq+p.ChiSq, d.DF+p.DF
	}
	if d.DF == 0 {
		return unknownDispersion(d.Units)
	}
	return d.finish(math.Inf(1))
}

// finish works out what follows from ChiSq and DF; expected is the mean count a unit.
func (d Dispersion) finish(expected float64) Dispersion {
	d.Raw = d.ChiSq / d.DF
	d.Factor = max(d.Raw, 1)
	d.P = distuv.ChiSquared{K: d.DF}.Survival(d.ChiSq)
	d.O2 = math.Sqrt(d.DF/2) * (d.Raw - 1)
	if d.DF < fewDF {
		d.Warnings = append(d.Warnings, fmt.Sprintf("over-dispersion from only %.0f degrees of freedom", d.DF))
	}
	if expected < 1 {
		d.Warnings = append(d.Warnings, "under one expected event a unit: the chance P is rough")
	}
	return d
}

func unknownDispersion(units int) Dispersion {
	return Dispersion{Units: units, Raw: 1, Factor: 1, P: 1, Warnings: []string{"over-dispersion cannot be told from these counts"}}
}

func checkLengths(a, b []float64) {
	if len(a) != len(b) {
		panic(fmt.Sprintf("infer: %d counts for %d units", len(a), len(b)))
	}
}

func totals(counts, sizes []float64, valid func(y, t float64) bool) (events, size float64, units int) {
	for i, y := range counts {
		if !valid(y, sizes[i]) || sizes[i] < 0 {
			panic(fmt.Sprintf("infer: unit %d has %v of %v", i, y, sizes[i]))
		}
		events, size = events+y, size+sizes[i]
		if sizes[i] > 0 {
			units++
		}
	}
	return events, size, units
}
