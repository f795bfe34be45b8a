package infer

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Shares are what groups of features have of the variance that a regression's straight lines explain of its first outcome: the first-order index of
// each group where features of different groups are independent and the outcome is a straight line in them (Saltelli et al. 2008, Global
// Sensitivity Analysis: The Primer, section 1.2.5, squared standardized regression coefficients; from memory), with what the coefficients' own
// errors add taken off both above and below ([Regression.Explained]). Groups are those of features with learned 1.
//
// Bounds are Fieller's at the level with the variances of quadratic forms in normal coefficients b of covariance s·G: for forms A and C the
// covariance is 4s·b'AGCb + 2s²·tr(AGCG) (Searle 1971, Linear Models, chapter 2). Since groups are independent, A·G is about 1/(N-1) in the
// group, and the group's own part is taken at the share that is tried, not at the estimate, which would make bounds of small shares too near.
func (r *Regression) Shares(groups [][]float64, level float64) []Ratio {
	v, se := r.ExplainedOfFirst()
	out := make([]Ratio, len(groups))
	for i, learned := range groups {
		out[i] = r.share(learned, v, se, level)
	}
	return out
}

// share is that of one group of the variance v, which has the standard error se.
func (r *Regression) share(learned []float64, v, se, level float64) Ratio {
	own, _ := r.Explained(learned)
	u, n, s := own.At(0, 0), float64(r.N-1), r.Residual.At(0, 0)
	q2 := math.Pow(normalQuantile(level), 2)
	linear, still := 4*s*max(v, 0)/n, 2*s*s*r.bias(learned)/n
	// (u - R·v)² within q² of its variance, still + (linear - 2·still)·R + (se² - 2·linear)·R²
	a := v*v - q2*(se*se-2*linear)
	b := u*v + q2*(linear-2*still)/2
	c := u*u - q2*still
	out := Ratio{Value: u / v, High: 1}
	switch {
	case u == 0 && s == 0:
		return Ratio{Told: v > 0}
	case v <= 0 || v*v <= q2*se*se || a <= 0:
		return out
	}
	half := math.Sqrt(max(b*b-a*c, 0)) / a
	out.Low, out.High, out.Told = min(max(b/a-half, 0), 1), max(min(b/a+half, 1), 0), true
	return out
}

// bias is the trace of the group's covariance times the precision of its coefficients.
func (r *Regression) bias(learned []float64) float64 {
	var at []int
	for j, l := range learned {
		if l != 0 {
			at = append(at, j)
		}
	}
	sum := 0.0
	for _, i := range at {
		for _, j := range at {
			sum += learned[i] * learned[j] * r.Spread.At(i, j) * r.Precision.At(i, j)
		}
	}
	return sum
}

// ExplainedOfFirst is the variance of the first outcome that straight lines in all features explain, with its standard error: [Regression.Explained]
// of everything, where A·G is 1/(N-1).
func (r *Regression) ExplainedOfFirst() (variance, se float64) {
	b := r.Coefficients.ColView(0)
	n, p, s := float64(r.N-1), float64(r.Features), r.Residual.At(0, 0)
	variance = mat.Inner(b, r.Spread, b) - s*p/n
	return variance, math.Sqrt(4*s*max(variance, 0)/n + 2*s*s*p/n/n)
}
