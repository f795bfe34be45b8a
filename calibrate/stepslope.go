package calibrate

import (
	"context"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// slope is how the moments change with the logarithms of a step's length and time, at a step, and their covariance; of those that are used.
type slope struct {
	use   []int
	by    *mat.Dense // a row a moment
	cov   *mat.SymDense
	clear float64 // how much of unsteady clocks is seen
}

// slope also gives the tapes simulated with that step.
func (s *stepper) slope(ctx context.Context, x stride) (l *slope, at tapes, err error) {
	if at, err = s.simulate(ctx, x); err != nil {
		return nil, nil, err
	}
	l = &slope{clear: 2}
	for i, shown := range s.shown {
		if shown && stat.Variance(at.column(i), nil) > 0 {
			l.use = append(l.use, i)
		}
	}
	if len(l.use) == 0 {
		return l, at, nil
	}
	l.covary(at)
	if l.clear, err = s.clear(ctx, x, at); err != nil {
		return nil, nil, err
	}
	l.by = mat.NewDense(len(l.use), len(x), nil)
	for k := range x {
		under, over := x, x
		under[k], over[k] = x[k]-stepApart, x[k]+stepApart
		less, err := s.simulate(ctx, under)
		if err != nil {
			return nil, nil, err
		}
		more, err := s.simulate(ctx, over)
		if err != nil {
			return nil, nil, err
		}
		for a, i := range l.use {
			l.by.Set(a, k, (stat.Mean(more.column(i), nil)-stat.Mean(less.column(i), nil))/(2*stepApart))
		}
	}
	return l, at, nil
}

// covary takes the moments' covariance from simulated tapes.
func (l *slope) covary(t tapes) {
	l.cov = mat.NewSymDense(len(l.use), nil)
	for a, i := range l.use {
		for b, j := range l.use[:a+1] {
			l.cov.SetSym(a, b, (1+1./stepDraws)*stat.Covariance(t.column(i), t.column(j), nil))
		}
	}
}

// information gives what moments that lie so far off say of both logarithms: how much, which way, and what the sandwich has in its middle.
func (l *slope) information(off [numMoments]float64) (much *mat.SymDense, way *mat.VecDense, middle *mat.SymDense) {
	n := len(l.use)
	much, way, middle = mat.NewSymDense(2, nil), mat.NewVecDense(2, nil), mat.NewSymDense(2, nil)
	if n == 0 {
		return much, way, middle
	}
	weighed := mat.NewSymDense(n, nil)
	weighed.CopySym(l.cov)
	for i := range n {
		weighed.SetSym(i, i, (1+stepRidge)*l.cov.At(i, i))
	}
	var chol mat.Cholesky
	if !chol.Factorize(weighed) {
		panic("calibrate: a covariance of moments that is not positive definite")
	}
	at := mat.NewVecDense(n, nil)
	for a, i := range l.use {
		at.SetVec(a, off[i])
	}
	var w mat.Dense
	if err := chol.SolveTo(&w, l.by); err != nil {
		panic("calibrate: " + err.Error())
	}
	for i := range 2 {
		way.SetVec(i, mat.Dot(w.ColView(i), at))
		for k := range i + 1 {
			much.SetSym(i, k, mat.Dot(w.ColView(i), l.by.ColView(k)))
			middle.SetSym(i, k, mat.Inner(w.ColView(i), l.cov, w.ColView(k)))
		}
	}
	return much, way, middle
}
