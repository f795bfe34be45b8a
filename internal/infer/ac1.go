package infer

import (
	"fmt"
	"math"
)

// Rated is a unit that several coders gave codes to: how many coders chose each code. Weight is how many such units there are.
type Rated struct {
	Counts []float64 // by code, the same codes for all units
	Weight float64
}

// RatedPairs turns a table of two coders into units.
func RatedPairs(t Crosstab) (units []Rated) {
	t.check()
	for i := range t {
		for j, n := range t[i] {
			if n > 0 {
				counts := make([]float64, len(t))
				counts[i]++
				counts[j]++
				units = append(units, Rated{counts, n})
			}
		}
	}
	return units
}

// raters counts the coders of a unit.
func (u Rated) raters() (r float64) {
	for _, x := range u.Counts {
		if !(x >= 0) {
			panic(fmt.Sprintf("infer: %v is no count of coders", x))
		}
		r += x
	}
	return r
}

// agree is the share of the unit's pairs of coders that chose the same code.
func (u Rated) agree() float64 {
	same, r := 0.0, u.raters()
	for _, x := range u.Counts {
		same += x * (x - 1)
	}
	return same / (r * (r - 1))
}

// AC1 is Gwet's coefficient (2008, Br. J. Math. Stat. Psychol. 61, 29–48): chance agrees only on units that are hard to code, Expected =
// Σ π(1-π)/(q-1) over q codes of share π. It does not fall to nothing when one code is common, as kappa does. The codes are those of
// the units' Counts, used or not. Units with fewer than two coders are left out. The standard error is the linearised one over units, divisor
// n² (Gwet 2008); Count is the units, taken to be independent.
func AC1(units []Rated, level float64) Coefficient {
	return chanceCorrected(units, level, "Gwet's AC1", func(share []float64, q float64) []float64 {
		chance := make([]float64, len(share))
		for k, p := range share {
			chance[k] = (1 - p) / (q - 1)
		}
		return chance
	})
}

// FleissKappa is Fleiss' kappa (1971, Psychol. Bull. 76, 378–382); of two coders it is Scott's pi. Expected = Σ π². Fleiss asks for the
// same number of coders on every unit; units with fewer than two are left out, others count as one unit each (Gwet 2014), with whose
// linearised standard error the interval is made.
func FleissKappa(units []Rated, level float64) Coefficient {
	return chanceCorrected(units, level, "Fleiss' kappa", func(share []float64, _ float64) []float64 { return share })
}

// chanceCorrected: chance gives what a vote for code k adds to the agreement by chance, linear in the votes.
func chanceCorrected(units []Rated, level float64, method string, chance func(share []float64, q float64) []float64) Coefficient {
	kept, n := ratedTwice(units)
	switch {
	case n == 0:
		return coefficient(0, 0, 0, level, method)
	case len(kept[0].Counts) < 2:
		return coefficient(1, 1, n, level, method)
	}
	share := shareOf(kept, n)
	per := chance(share, float64(len(share)))
	pa, pe, apart := 0.0, 0.0, 0.0
	for k := range share {
		pe += share[k] * per[k]
	}
	for _, u := range kept {
		pa += u.Weight * u.agree() / n
		if u.agree() < 1 {
			apart += u.Weight
		}
	}
	c := coefficient(pa, pe, n, level, method)
	if c.Defined {
		c.Apart = apart
		c.normal(chanceError(kept, per, c, n))
	}
	return c
}

func ratedTwice(units []Rated) (kept []Rated, n float64) {
	for _, u := range units {
		if u.raters() >= 2 && u.Weight > 0 {
			kept = append(kept, u)
			n += u.Weight
		}
	}
	return kept, n
}

// chanceError: a unit moves the coefficient by its own agreement and, through the shares, by the chance agreement.
func chanceError(units []Rated, per []float64, c Coefficient, n float64) float64 {
	sum := 0.0
	for _, u := range units {
		chance, r := 0.0, u.raters()
		for k, x := range u.Counts {
			chance += per[k] * x / r
		}
		x := (u.agree() - c.Expected - 2*(1-c.Centre)*(chance-c.Expected)) / (1 - c.Expected)
		sum += u.Weight * (x - c.Centre) * (x - c.Centre)
	}
	return math.Sqrt(sum) / n
}

func shareOf(units []Rated, n float64) []float64 {
	share := make([]float64, len(units[0].Counts))
	for _, u := range units {
		r := u.raters()
		for k, x := range u.Counts {
			share[k] += u.Weight * x / r / n
		}
	}
	return share
}
