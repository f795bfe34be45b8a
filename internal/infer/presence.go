package infer

import (
	"math"
)

// PositiveAgreement is 2·both/(2·both + first + second): of the events that either coder saw, how far they saw the same (Dice 1945,
// Ecology 26, 297–302; positive specific agreement). The bounds are the Wilson limits of J = both/(both + first + second), taken through
// 2J/(1+J), which rises with J. Count is the events that anybody saw.
func PositiveAgreement(both, first, second, level float64) Interval {
	i := Wilson(both, both+first+second, level)
	dice := func(j float64) float64 { return 2 * j / (1 + j) }
	i.Low, i.High, i.Method = dice(i.Low), dice(i.High), "positive agreement, from Wilson score"
	if i.Count > 0 {
		i.Centre = dice(i.Centre)
	}
	return i
}

// Missed is the chance that one coder misses an event: of those that the other coder saw (both + other), the share that this one did
// not. It is Lincoln's and Petersen's argument: coders miss events independently, and nobody codes what did not happen. Events that
// are hard for both make the truth higher, events made up by the other coder make it lower. Bounds: Wilson.
func Missed(both, other, level float64) Interval {
	i := Wilson(other, both+other, level)
	i.Method = "capture-recapture, Wilson score"
	return i
}

// Recapture estimates how many events there were, from how many the first and the second coder saw, a and b, and both: Chapman's estimator
// (a+1)(b+1)/(both+1) - 1 (1951, Univ. Calif. Publ. Stat. 1, 131–160) under the assumptions of [Missed], with the variance of Seber 1970
// (Biometrika 57, 547–560). Bounds are log-normal in what nobody saw (Chao 1987, Biometrics 43, 783–791), so that they never fall below
// what somebody saw. Count is what somebody saw.
func Recapture(a, b, both, level float64) Interval {
	if !(both >= 0 && both <= a && both <= b) {
		panic("infer: both coders saw at most what each saw")
	}
	seen := a + b - both
	i := Interval{Level: level, Kind: Confidence, Method: "capture-recapture (Chapman)", Count: seen,
		Centre: (a+1)*(b+1)/(both+1) - 1}
	variance := (a + 1) * (b + 1) * (a - both) * (b - both) / ((both + 1) * (both + 1) * (both + 2))
	i.Low, i.High = seen, i.Centre
	if unseen := i.Centre - seen; unseen > 0 {
		factor := math.Exp(normalQuantile(level) * math.Sqrt(math.Log(1+variance/(unseen*unseen))))
		i.Low, i.High = seen+unseen/factor, seen+unseen*factor
	} else {
		i.warn("one coder saw nothing that the other did not: what nobody saw has no bounds")
	}
	return i
}
