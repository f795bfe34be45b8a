package infer

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
)

// Pull is estimates moved towards their mean.
type Pull struct {
	Mean   float64
	Factor float64 // what is left of an estimate's distance from the mean: 1 nothing moved, 0 all at the mean
	Values []float64
}

// PullToMean shrinks at least four estimates, all with the same known sampling variance, to their mean: the positive-part James–Stein
// estimator with factor 1-(k-3)·variance/V, V the sum of squares about the mean (Efron & Morris 1975, J. Am. Stat. Assoc. 70, 311–319).
func PullToMean(estimates []float64, variance float64) Pull {
	if len(estimates) < 4 || !(variance >= 0) {
		panic("infer: shrinkage to a mean needs four estimates and a variance")
	}
	p := Pull{Mean: stat.Mean(estimates, nil), Values: make([]float64, len(estimates))}
	v := 0.0
	for _, x := range estimates {
		v += (x - p.Mean) * (x - p.Mean)
	}
	if v > 0 {
		p.Factor = max(1-float64(len(estimates)-3)*variance/v, 0)
	}
	for i, x := range estimates {
		p.Values[i] = p.Mean + p.Factor*(x-p.Mean)
	}
	return p
}

// ArcsineShare puts x of n on the scale √n·asin(2x/n-1), where its sampling variance is about 1 whatever the share (Efron & Morris 1975).
func ArcsineShare(x, n float64) float64 {
	checkTrials(x, n)
	return math.Sqrt(n) * math.Asin(2*x/n-1)
}

// BetaByMoments is the beta distribution with the mean and variance (divisor k-1) of observed shares (Gelman et al. 2013, section 5.1).
// The variance still contains sampling noise, so it is wider than the spread of true shares: good for a weak prior, not for an answer.
// It reports false where no beta distribution fits: fewer than two shares, no spread, or a spread wider than any beta's.
func BetaByMoments(shares []float64) (Beta, bool) {
	if len(shares) < 2 || floats.Min(shares) < 0 || floats.Max(shares) > 1 {
		return Beta{}, false
	}
	mean, variance := stat.MeanVariance(shares, nil)
	size := mean*(1-mean)/variance - 1
	if !(variance > 0 && size > 0) {
		return Beta{}, false
	}
	return Beta{mean * size, (1 - mean) * size}, true
}
