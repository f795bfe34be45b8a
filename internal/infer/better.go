package infer

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Probability is a chance over draws with its own Monte Carlo error.
type Probability struct {
	Value    float64  `json:"value"`
	SE       float64  `json:"se"` // what another set of draws and bouts would change
	Count    int      `json:"count"`
	Resolved bool     `json:"resolved"`
	Warnings []string `json:"warnings,omitempty"`
}

// jackBlocks is into how many blocks of draws the standard error's jackknife cuts; 20 make it good to about a sixth.
const jackBlocks = 20

// Better is the chance that a further draw's expected value is above zero, or below it if lower is better.
//
// It counts shrunken draws, each as the chance that it is above zero when the grand mean is uncertain by its simulation error:
// Student's T((shrunken draw)/SE), K-1 degrees of freedom. With many draws that is a plain count. As τ² goes to zero it goes to the chance
// that the grand mean itself is above zero, so that unresolved draws get what the simulation knows, not 0 or 1 by the sign of noise.
//
// The standard error is a jackknife over blocks of draws, which sees the noise of mean and τ too, and at least the binomial one with
// one draw added on each side. Draws that are all exactly zero (equal plans) have the value ½ and no error.
func Better(groups []Group, lower bool) Probability { return chance(groups, nil, lower) }

// chance is Better; the spread is held to be at least that of a part of the doubt, if there is one.
func chance(groups, part []Group, lower bool) Probability {
	c := componentsOf(groups, part)
	p := Probability{Value: better(c, groups), Count: c.K, Resolved: c.Resolved()}
	if c.Mean == 0 && c.MSB == 0 && c.MSW == 0 {
		p.Warnings = append(p.Warnings, "no difference in any bout")
		return p
	}
	k := float64(c.K)
	towards := (p.Value*k + 1) / (k + 2)
	p.SE = max(math.Sqrt(towards*(1-towards)/k), jackknife(groups, part))
	if lower {
		p.Value = 1 - p.Value
	}
	if !p.Resolved {
		p.Warnings = append(p.Warnings, "not resolved: the chance is that of the mean over draws")
	}
	if c.K < fewDraws {
		p.Warnings = append(p.Warnings, "few draws: the error of the chance is rough")
	}
	return p
}

func better(c Components, groups []Group) float64 {
	values, se := shrunk(c, groups), c.SE()
	if se == 0 {
		return Above(values)
	}
	chance := distuv.StudentsT{Mu: 0, Sigma: se, Nu: float64(c.K - 1)}.CDF
	if c.K > manyDraws {
		chance = distuv.Normal{Mu: 0, Sigma: se}.CDF
	}
	sum := 0.0
	for _, x := range values {
		sum += chance(x)
	}
	return sum / float64(len(values))
}

// Above this many draws the normal stands for Student's t in better: they differ by under 0.002, and it is thirty times as fast.
const manyDraws = 100

// jackknife is the standard error of better over blocks of draws, dropped in turn (Efron & Tibshirani 1993, section 11.5).
func jackknife(groups, part []Group) float64 {
	k := len(groups)
	blocks := min(jackBlocks, k)
	if k-(k+blocks-1)/blocks < 2 {
		return 0
	}
	values := make([]float64, blocks)
	var kept, keptPart []Group
	mean := 0.0
	for b := range values {
		kept = withoutBlock(kept, groups, b, blocks)
		if len(part) >= 2*blocks {
			keptPart = withoutBlock(keptPart, part, b, blocks)
		} else {
			keptPart = part
		}
		values[b] = better(componentsOf(kept, keptPart), kept)
		mean += values[b] / float64(blocks)
	}
	sum := 0.0
	for _, v := range values {
		sum += (v - mean) * (v - mean)
	}
	return math.Sqrt(sum * float64(blocks-1) / float64(blocks))
}

// withoutBlock gives all groups but those of one of so many blocks, in the memory of into.
func withoutBlock(into, groups []Group, block, blocks int) []Group {
	k := len(groups)
	return append(append(into[:0], groups[:block*k/blocks]...), groups[(block+1)*k/blocks:]...)
}

func componentsOf(groups, part []Group) Components {
	c := Split(groups)
	if part != nil {
		c, _ = Ordered(c, Split(part))
	}
	return c
}
