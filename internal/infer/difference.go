package infer

import "math"

// NewcombeDifference is the interval for x1/n1 - x2/n2 of independent trials, by square-and-add from the [Wilson] limits (Newcombe 1998,
// Stat. Med. 17, 873–890, method 10). Count is all trials.
func NewcombeDifference(x1, n1, x2, n2, level float64) Interval {
	a, b := Wilson(x1, n1, level), Wilson(x2, n2, level)
	return squareAndAdd(a, b, 0, "Newcombe score", n1+n2)
}

// NewcombePaired is the interval for the difference of two shares seen on the same trials: both happened, only the first, only the
// second, neither. The difference is (first - second)/n (Newcombe 1998, Stat. Med. 17, 2635–2650, method 10). Count is the pairs.
func NewcombePaired(both, first, second, neither, level float64) Interval {
	n := both + first + second + neither
	a, b := Wilson(both+first, n, level), Wilson(both+second, n, level)
	return squareAndAdd(a, b, pairedPhi(both, first, second, neither), "Newcombe paired score", n)
}

// pairedPhi is Newcombe's correlation of the two outcomes, with his continuity correction for a positive one.
func pairedPhi(e, f, g, h float64) float64 {
	margins := (e + f) * (g + h) * (e + g) * (f + h)
	if margins == 0 {
		return 0
	}
	cross := e*h - f*g
	if cross > 0 {
		cross = max(cross-(e+f+g+h)/2, 0)
	}
	return cross / math.Sqrt(margins)
}

// squareAndAdd joins two intervals into one for their difference; rho is the correlation of the two estimates.
func squareAndAdd(a, b Interval, rho float64, method string, count float64) Interval {
	side := func(x, y float64) float64 { return math.Sqrt(max(x*x-2*rho*x*y+y*y, 0)) }
	d := a.Centre - b.Centre
	i := Interval{Level: a.Level, Centre: d, Kind: Confidence, Method: method, Count: count}
	i.Low = max(d-side(a.Centre-a.Low, b.High-b.Centre), -1)
	i.High = min(d+side(a.High-a.Centre, b.Centre-b.Low), 1)
	if len(a.Warnings) > 0 || len(b.Warnings) > 0 {
		i.Low, i.High = -1, 1
		i.warn("nothing was counted on one side")
	}
	return i
}
