package infer

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// Dunnett is the one-sided critical value for comparing k means with a control, all of equal size, on a pooled variance of df degrees of
// freedom: all k bounds hold together with the level's probability (Dunnett 1955, J. Am. Stat. Assoc. 50, 1096–1121). df may be infinite. It
// is also that of [Best] for k+1 independent equal samples (Hsu 1984).
func Dunnett(level float64, k int, df float64) float64 {
	return dunnett(level, k, df, func(z, w float64) float64 { return distuv.UnitNormal.CDF(z + w) })
}

// DunnettBothSides is the two-sided one.
func DunnettBothSides(level float64, k int, df float64) float64 {
	return dunnett(level, k, df, func(z, w float64) float64 { return distuv.UnitNormal.CDF(z+w) - distuv.UnitNormal.CDF(z-w) })
}

// dunnett solves E[E[inside(z, √2·d·s)^k]] = level for d, z the control's normal and s = √(χ²/df).
func dunnett(level float64, k int, df float64, inside func(z, w float64) float64) float64 {
	given := func(d, s float64) float64 {
		return overNormal(func(z float64) float64 { return math.Pow(inside(z, math.Sqrt2*d*s), float64(k)) })
	}
	return solve(level, 0, 100, func(d float64) float64 {
		if math.IsInf(df, 1) {
			return given(d, 1)
		}
		return overChi(df, func(s float64) float64 { return given(d, s) })
	})
}

// Rinott is the constant h of the two-stage procedure that picks the largest of k means with probability level if it leads by the difference
// that matters δ: option i gets max(n0, ⌈(h·S_i/δ)²⌉) values, S_i² its variance of the first n0, df = n0-1 (Rinott 1978, Comm. Stat. A 7,
// 799–811). It assumes independent samples: it is the plain way that the paired way is held against.
func Rinott(level float64, k int, df float64) float64 {
	x := distuv.ChiSquared{K: df}
	low, high := x.Quantile(1e-13), x.Quantile(1-1e-13)
	over := func(f func(y float64) float64) float64 {
		return quad.Fixed(func(u float64) float64 { y := math.Exp(u); return f(y) * x.Prob(y) * y }, math.Log(low), math.Log(high), 96, nil, 0)
	}
	return solve(level, 0, 200, func(h float64) float64 {
		return over(func(y float64) float64 {
			return math.Pow(over(func(x float64) float64 { return distuv.UnitNormal.CDF(h / math.Sqrt(df*(1/x+1/y))) }), float64(k-1))
		})
	})
}

// overNormal is the mean of f over a unit normal.
func overNormal(f func(z float64) float64) float64 {
	return quad.Fixed(func(z float64) float64 { return f(z) * distuv.UnitNormal.Prob(z) }, -9, 9, 96, nil, 0)
}

// overChi is the mean of f over s = √(χ²/df).
func overChi(df float64, f func(s float64) float64) float64 {
	x := distuv.ChiSquared{K: df}
	low, high := math.Sqrt(x.Quantile(1e-12)/df), math.Sqrt(x.Quantile(1-1e-12)/df)
	return quad.Fixed(func(s float64) float64 { return f(s) * x.Prob(df*s*s) * 2 * df * s }, low, high, 96, nil, 0)
}

// solve finds where a rising function reaches a value.
func solve(value, low, high float64, f func(float64) float64) float64 {
	for range 60 {
		if middle := (low + high) / 2; f(middle) < value {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
