package infer

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Regression is several outcomes regressed on the same features by least squares, all centred.
type Regression struct {
	N, Features  int
	Coefficients *mat.Dense    // features × outcomes
	Spread       *mat.SymDense // covariance of the features, divisor N-1
	Precision    *mat.SymDense // inverse of their sums of squares and products
	Residual     *mat.SymDense // covariance of what is left of the outcomes, divisor N-1-features
}

// Regress fits outcomes (N × outcomes) on features (N × features). It is an error when a feature follows from the others, or when there are
// not at least twice as many rows as features.
func Regress(features, outcomes *mat.Dense) (*Regression, error) {
	n, p := features.Dims()
	if n < 2*p+2 {
		return nil, errors.New("infer: a regression needs twice as many rows as features")
	}
	x, y := centredColumns(features), centredColumns(outcomes)
	r := &Regression{N: n, Features: p, Coefficients: new(mat.Dense), Precision: new(mat.SymDense)}
	gram := mat.NewSymDense(p, nil)
	gram.SymOuterK(1, x.T())
	var c mat.Cholesky
	if !c.Factorize(gram) {
		return nil, errors.New("infer: a feature follows from the others")
	}
	var products mat.Dense
	products.Mul(x.T(), y)
	if err := c.SolveTo(r.Coefficients, &products); err != nil {
		return nil, err
	}
	if err := c.InverseTo(r.Precision); err != nil {
		return nil, err
	}
	var fitted, left mat.Dense
	fitted.Mul(x, r.Coefficients)
	left.Sub(y, &fitted)
	_, d := y.Dims()
	r.Residual, r.Spread = mat.NewSymDense(d, nil), mat.NewSymDense(p, nil)
	r.Residual.SymOuterK(1/float64(n-1-p), left.T())
	r.Spread.ScaleSym(1/float64(n-1), gram)
	return r, nil
}

func centredColumns(m *mat.Dense) *mat.Dense {
	n, p := m.Dims()
	out := mat.NewDense(n, p, nil)
	for j := range p {
		mean := 0.0
		for i := range n {
			mean += m.At(i, j)
		}
		mean /= float64(n)
		for i := range n {
			out.Set(i, j, m.At(i, j)-mean)
		}
	}
	return out
}

// Explained is the covariance that the outcomes' expectations have when each feature varies by learned[j] of its standard deviation
// around its mean, features with 0 not at all: Bᵀ·A·B with A the features' covariance scaled on both sides. Coefficients are estimates, so
// that this is too large on the average by tr(A·(XᵀX)⁻¹) residual covariances, which are taken off; what is left may be negative. The
// second value is the standard error of its trace, for normal residuals (the variance of a quadratic form, Searle 1971, Linear Models,
// chapter 2).
//
// With learned 1 for a group of features and 0 elsewhere this is the covariance behind the expected value of partial perfect information
// (Strong, Oakley & Brennan 2014, by linear regression); with √(n/(n+n₀)) for data of size n on top of a prior worth n₀ it is that behind
// the expected value of sample information (Jalal & Alarid-Escudero 2018).
func (r *Regression) Explained(learned []float64) (cov *mat.SymDense, traceError float64) {
	var at []int
	for j, l := range learned {
		if l != 0 {
			at = append(at, j)
		}
	}
	_, d := r.Coefficients.Dims()
	cov = mat.NewSymDense(d, nil)
	if len(at) == 0 {
		return cov, 0
	}
	k := len(at)
	scaled, precision, b := mat.NewDense(k, k, nil), mat.NewDense(k, k, nil), mat.NewDense(k, d, nil)
	for i, p := range at {
		for j, q := range at {
			scaled.Set(i, j, learned[p]*learned[q]*r.Spread.At(p, q))
			precision.Set(i, j, r.Precision.At(p, q))
		}
		for o := range d {
			b.Set(i, o, r.Coefficients.At(p, o))
		}
	}
	var ag, ab, raw, agag mat.Dense
	ag.Mul(scaled, precision)
	ab.Mul(scaled, b)
	raw.Mul(b.T(), &ab)
	agag.Mul(&ag, &ag)
	bias, both := mat.Trace(&ag), mat.Trace(&agag)
	var gab, through mat.Dense
	gab.Mul(precision, &ab)
	through.Mul(ab.T(), &gab) // bᵀ·A·G·A·b
	variance := 0.0
	for o := range d {
		s := r.Residual.At(o, o)
		variance += 4*s*max(through.At(o, o)-s*both, 0) + 2*s*s*both // estimated coefficients make the first part too large by s·tr(A·G·A·G)
		for q := o; q < d; q++ {
			cov.SetSym(o, q, (raw.At(o, q)+raw.At(q, o))/2-bias*r.Residual.At(o, q))
		}
	}
	return cov, math.Sqrt(variance)
}
