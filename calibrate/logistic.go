package calibrate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// logistic is a regression of chances in log-odds: of each trial's tries, the share made has the log-odds offset + Σ by·coefficient over its
// terms. Each coefficient has a normal prior around zero.
type logistic struct {
	precision []float64 // of the prior, one a coefficient; 0: flat
	trials    []trial
}

// trial is tries at one thing under the same circumstances. Tries and made may be weighed, so that they need not be whole.
type trial struct {
	terms               []term
	offset, made, tries float64
}

// term is a coefficient's part in a trial, which has at most one of each.
type term struct {
	column int
	by     float64
}

// ending says how a fit ended.
type ending uint8

const (
	converged  ending = iota // the last step moved no coefficient by more than leastStep
	unfinished               // mostSteps were not enough
	diverging                // there is no finite maximum (the trials are separated), or nothing tells a coefficient from others, and the prior is flat
)

const (
	mostSteps = 60
	leastStep = 1e-10
	// farOut is where log-odds are as good as certain: 25 is a chance of one in 7e10. A maximum out there is none.
	farOut = 25
)

// normalFit is a posterior as a normal distribution, or, with flat priors, a maximum likelihood estimate with the inverse of the
// information.
type normalFit struct {
	mean  []float64
	cov   *mat.SymDense // nil where the fit is diverging
	ended ending
}

// fit gives mode and inverse curvature of the posterior (Laplace's approximation) by Newton's method, each step halved until it is uphill.
func (l *logistic) fit() normalFit {
	f := normalFit{mean: make([]float64, len(l.precision)), ended: unfinished}
	for range mostSteps {
		grad, hess := l.curvature(f.mean)
		var chol mat.Cholesky
		if !chol.Factorize(hess) || chol.Cond() > 1e14 {
			return normalFit{mean: f.mean, ended: diverging}
		}
		var step mat.VecDense
		if err := chol.SolveVecTo(&step, grad); err != nil {
			return normalFit{mean: f.mean, ended: diverging}
		}
		if f.mean, f.ended = l.uphill(f.mean, step.RawVector().Data); f.ended == converged {
			break
		}
	}
	if l.farOut(f.mean) {
		return normalFit{mean: f.mean, ended: diverging}
	}
	_, hess := l.curvature(f.mean)
	var chol mat.Cholesky
	if !chol.Factorize(hess) {
		return normalFit{mean: f.mean, ended: diverging}
	}
	f.cov = mat.NewSymDense(len(f.mean), nil)
	if err := chol.InverseTo(f.cov); err != nil {
		return normalFit{mean: f.mean, ended: diverging}
	}
	return f
}

// uphill takes a step, or so small a part of it that it leads up.
func (l *logistic) uphill(from, step []float64) ([]float64, ending) {
	before, most := l.density(from), 0.0
	to := make([]float64, len(from))
	for part := 1.0; part > 1e-9; part /= 2 {
		most = 0
		for i := range to {
			to[i] = from[i] + part*step[i]
			most = max(most, math.Abs(part*step[i]))
		}
		if l.density(to) >= before-1e-9 {
			break
		}
	}
	if most < leastStep {
		return to, converged
	}
	return to, unfinished
}

// farOut reports whether some trial's chance is as good as certain though only flat priors hold its coefficients.
func (l *logistic) farOut(x []float64) bool {
	for i := range l.trials {
		t := &l.trials[i]
		held := false
		for _, c := range t.terms {
			held = held || l.precision[c.column] > 0
		}
		if !held && len(t.terms) > 0 && math.Abs(t.logOdds(x)) > farOut {
			return true
		}
	}
	return false
}

func (t *trial) logOdds(x []float64) float64 {
	sum := t.offset
	for _, c := range t.terms {
		sum += c.by * x[c.column]
	}
	return sum
}

// density gives the logarithm of likelihood times prior, up to a constant.
func (l *logistic) density(x []float64) (sum float64) {
	for i, p := range l.precision {
		sum -= p * x[i] * x[i] / 2
	}
	for i := range l.trials {
		t := &l.trials[i]
		z := t.logOdds(x)
		sum += t.made*z - t.tries*softplus(z)
	}
	return sum
}

// softplus is ln(1 + e^z) without overflow.
func softplus(z float64) float64 { return math.Max(z, 0) + math.Log1p(math.Exp(-math.Abs(z))) }

// curvature gives the gradient of the log-density and its negative Hessian.
func (l *logistic) curvature(x []float64) (*mat.VecDense, *mat.SymDense) {
	grad, hess := mat.NewVecDense(len(x), nil), mat.NewSymDense(len(x), nil)
	for i, p := range l.precision {
		grad.SetVec(i, -p*x[i])
		hess.SetSym(i, i, p)
	}
	for i := range l.trials {
		t := &l.trials[i]
		q := 1 / (1 + math.Exp(-t.logOdds(x)))
		over, w := t.made-t.tries*q, t.tries*q*(1-q)
		for k, c := range t.terms {
			grad.SetVec(c.column, grad.AtVec(c.column)+c.by*over)
			for _, d := range t.terms[:k+1] {
				hess.SetSym(c.column, d.column, hess.At(c.column, d.column)+w*c.by*d.by)
			}
		}
	}
	return grad, hess
}
