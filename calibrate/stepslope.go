package calibrate

import (
	"context"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// slope is how the moments change with the logarithm of the step, at a step length, and their covariance; of those that are used.
type slope struct {
	use []int
	by  []float64
	cov *mat.SymDense
}

// slope also gives the tapes simulated with that step.
func (s *stepper) slope(ctx context.Context, x float64) (l *slope, tapes [][numMoments]float64, err error) {
	var near [3][][numMoments]float64
	for i, d := range []float64{0, -stepApart, stepApart} {
		if near[i], err = s.simulate(ctx, x+d); err != nil {
			return nil, nil, err
		}
	}
	l = &slope{}
	for i, shown := range s.shown {
		if shown && stat.Variance(column(near[0], i), nil) > 0 {
			l.use = append(l.use, i)
		}
	}
	l.by = make([]float64, len(l.use))
	if len(l.use) > 0 {
		l.cov = mat.NewSymDense(len(l.use), nil)
	}
	for a, i := range l.use {
		l.by[a] = (stat.Mean(column(near[2], i), nil) - stat.Mean(column(near[1], i), nil)) / (2 * stepApart)
		for b, j := range l.use[:a+1] {
			l.cov.SetSym(a, b, (1+1./stepDraws)*stat.Covariance(column(near[0], i), column(near[0], j), nil))
		}
	}
	return l, near[0], nil
}

func column(tapes [][numMoments]float64, i int) []float64 {
	out := make([]float64, len(tapes))
	for k := range tapes {
		out[k] = tapes[k][i]
	}
	return out
}

// information gives what moments that lie so far off say: how much, which way, and what the sandwich has in its middle.
func (l *slope) information(off [numMoments]float64) (much, way, middle float64) {
	n := len(l.by)
	if n == 0 {
		return 0, 0, 0
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
	by, at := mat.NewVecDense(n, l.by), mat.NewVecDense(n, nil)
	for a, i := range l.use {
		at.SetVec(a, off[i])
	}
	var w mat.VecDense
	if err := chol.SolveVecTo(&w, by); err != nil {
		panic("calibrate: " + err.Error())
	}
	return mat.Dot(&w, by), mat.Dot(&w, at), mat.Inner(&w, l.cov, &w)
}
