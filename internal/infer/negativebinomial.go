package infer

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// NegativeBinomial is a forecast of a count whose rate is not known: a Poisson count with a gamma rate (Greenwood & Yule 1920, J. R. Stat.
// Soc. 83, 255–279). Its variance is Mean + Mean²/Size; an infinite Size is the Poisson. Mean and Size are above 0.
type NegativeBinomial struct{ Mean, Size float64 }

// Predictive is the forecast of a count in a further exposure, in the unit of Rate, above 0.
func (g Gamma) Predictive(exposure float64) NegativeBinomial {
	return NegativeBinomial{Mean: g.Mean() * exposure, Size: g.Shape}
}

// CountsLike is the forecast with the mean and variance of drawn counts: of draws that spread no more than a Poisson's, the Poisson. Draws
// that are all zero are taken for half a count in one draw more. There must be at least two.
func CountsLike(draws []float64) NegativeBinomial {
	var g Group
	for _, x := range draws {
		if !(x >= 0) {
			panic(fmt.Sprintf("infer: a count of %v", x))
		}
		g.Add(x)
	}
	if g.N < 2 {
		panic("infer: a forecast from draws needs two of them")
	}
	mean := max(g.Sum, .5) / g.N
	size := math.Inf(1)
	if extra := g.squares()/(g.N-1) - mean; extra > 0 {
		size = mean * mean / extra
	}
	return NegativeBinomial{Mean: mean, Size: size}
}

// LogChance is the logarithm of the chance of a count, a whole number from 0.
func (f NegativeBinomial) LogChance(count float64) float64 {
	if math.IsInf(f.Size, 1) {
		return distuv.Poisson{Lambda: f.Mean}.LogProb(count)
	}
	sum, _ := math.Lgamma(count + 1)
	sum = -sum - f.Size*math.Log1p(f.Mean/f.Size) + count*math.Log(f.Mean/(1+f.Mean/f.Size))
	for i := 0.0; i < count; i++ { // not by gamma functions, whose difference loses its digits where Size is large
		sum += math.Log1p(i / f.Size)
	}
	return sum
}

// CRPS is the continuous ranked probability score of the forecast, in counts, 0 best: the sum over counts of the squared distance between
// the forecast's distribution and the step at the count that came (Gneiting & Raftery 2007, J. Am. Stat. Assoc. 102, 359–378), until both
// are one within 1e-12.
func (f NegativeBinomial) CRPS(count float64) (sum float64) {
	chance, below := f.LogChance(0), 0.0
	for k := 0.0; k <= count || below < 1-1e-12 && k < f.beyond(); k++ {
		below += math.Exp(chance)
		chance += math.Log1p(k/f.Size) + math.Log(f.Mean/(k+1)) - math.Log1p(f.Mean/f.Size)
		d := below
		if k >= count {
			d--
		}
		sum += d * d
	}
	return sum
}

// beyond is so far out that rounding alone may keep the sum of chances from one.
func (f NegativeBinomial) beyond() float64 {
	return f.Mean + 100*(1+math.Sqrt(f.Mean+f.Mean*f.Mean/f.Size))
}
