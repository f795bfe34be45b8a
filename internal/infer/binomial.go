package infer

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

func checkTrials(x, n float64) {
	if !(x >= 0 && x <= n) || math.IsInf(n, 1) {
		panic(fmt.Sprintf("infer: %v of %v is not a count of trials", x, n))
	}
}

// share starts an interval for x of n. Without trials everything is possible, and that is all an interval can say.
func share(x, n, level float64, kind Kind, method string) (i Interval, known bool) {
	checkTrials(x, n)
	tail(level) // refuse a bad level even when there is nothing to work out
	i = Interval{Level: level, Low: 0, High: 1, Centre: .5, Kind: kind, Method: method, Count: n}
	if n == 0 {
		i.warn("nothing was counted")
		return i, false
	}
	i.Centre = x / n
	return i, true
}

// Wilson is the score interval for a share of x in n trials (Wilson 1927, J. Am. Stat. Assoc. 22, 209–212). Its coverage is near the
// level on average, not at least the level everywhere.
func Wilson(x, n, level float64) Interval {
	i, known := share(x, n, level, Confidence, "Wilson score")
	if !known {
		return i
	}
	z := normalQuantile(level)
	p, zz := x/n, z*z
	middle := (p + zz/(2*n)) / (1 + zz/n)
	half := z / (1 + zz/n) * math.Sqrt(p*(1-p)/n+zz/(4*n*n))
	// At the ends the exact limit is 0 or 1; rounding must not move it.
	if x > 0 {
		i.Low = max(middle-half, 0)
	}
	if x < n {
		i.High = min(middle+half, 1)
	}
	return i
}

// ClopperPearson is the exact interval for a share of x in n trials: it covers with at least the level everywhere (Clopper & Pearson 1934,
// Biometrika 26, 404–413).
func ClopperPearson(x, n, level float64) Interval {
	i, known := share(x, n, level, Confidence, "Clopper-Pearson")
	if !known {
		return i
	}
	if x > 0 {
		i.Low = distuv.Beta{Alpha: x, Beta: n - x + 1}.Quantile(tail(level))
	}
	if x < n {
		i.High = distuv.Beta{Alpha: x + 1, Beta: n - x}.Quantile(1 - tail(level))
	}
	return i
}

// Jeffreys is the equal-tailed interval under the prior Beta(½, ½), with the lower limit 0 at x = 0 and the upper limit 1 at x = n (Brown,
// Cai & DasGupta 2001, Stat. Sci. 16, 101–133).
func Jeffreys(x, n, level float64) Interval {
	i, known := share(x, n, level, Credible, "Jeffreys")
	if !known {
		return i
	}
	posterior := distuv.Beta{Alpha: x + .5, Beta: n - x + .5}
	if x > 0 {
		i.Low = posterior.Quantile(tail(level))
	}
	if x < n {
		i.High = posterior.Quantile(1 - tail(level))
	}
	return i
}

// ModifiedJeffreys widens [Jeffreys] where its coverage dips: the exact limits at x = 0 and x = n, and no lower (upper) limit up to one
// event (failure) (Brown, Cai & DasGupta 2001, Table 5).
func ModifiedJeffreys(x, n, level float64) Interval {
	i := Jeffreys(x, n, level)
	i.Method = "modified Jeffreys"
	if n == 0 {
		return i
	}
	if x <= 1 {
		i.Low = 0
	}
	if n-x <= 1 {
		i.High = 1
	}
	if x == 0 {
		i.High = 1 - math.Pow(tail(level), 1/n)
	}
	if x == n {
		i.Low = math.Pow(tail(level), 1/n)
	}
	return i
}
