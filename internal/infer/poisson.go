package infer

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

func checkRate(x, exposure float64) {
	if !(x >= 0 && exposure > 0) || math.IsInf(x, 1) || math.IsInf(exposure, 1) {
		panic(fmt.Sprintf("infer: %v events in an exposure of %v are no rate", x, exposure))
	}
}

// Garwood is the exact interval for the rate of x events in an exposure, in events per unit of exposure (Garwood 1936, Biometrika 28,
// 437–442). Exposure must be above zero. Count is the events.
func Garwood(x, exposure, level float64) Interval {
	checkRate(x, exposure)
	i := Interval{Level: level, Centre: x / exposure, Kind: Confidence, Method: "Garwood", Count: x}
	if x > 0 {
		i.Low = distuv.Gamma{Alpha: x, Beta: 1}.Quantile(tail(level)) / exposure
	}
	i.High = distuv.Gamma{Alpha: x + 1, Beta: 1}.Quantile(1-tail(level)) / exposure
	if x == 0 {
		i.warn("no event was seen")
	}
	return i
}

// RateTest compares two rates: their difference, and how many standard errors it is from zero under the alternative (Wald) and under
// equal rates (score), with one-sided tail chances of a difference as large.
type RateTest struct {
	Difference     float64 // events per unit of exposure
	WaldZ, WaldP   float64
	ScoreZ, ScoreP float64
}

// CompareRates tests x1 events in t1 against x2 in t2 (Gu, Ng, Tang & Schucany 2008, Biom. J. 50, 283–298). Without any event all z are 0.
func CompareRates(x1, t1, x2, t2 float64) RateTest {
	checkRate(x1, t1)
	checkRate(x2, t2)
	d := x1/t1 - x2/t2
	pooled := (x1 + x2) / (t1 + t2)
	r := RateTest{Difference: d}
	if x1+x2 > 0 {
		r.WaldZ = d / math.Sqrt(x1/(t1*t1)+x2/(t2*t2))
		r.ScoreZ = d / math.Sqrt(pooled*(1/t1+1/t2))
	}
	r.WaldP, r.ScoreP = distuv.UnitNormal.Survival(r.WaldZ), distuv.UnitNormal.Survival(r.ScoreZ)
	return r
}
