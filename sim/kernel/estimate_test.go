package kernel

import (
	"math"
	"testing"
)

// limitSE is how many standard errors an estimate may miss by: two-sided p = 1e-6 under the normal law (4.8916), rounded up.
const limitSE = 4.9

// near fails unless the estimate lies within limitSE standard errors of the exact value. A standard error of 0 or none at all means
// that the test measured nothing, and fails too.
func near(t *testing.T, what string, estimate, exact, se float64) {
	t.Helper()
	if !(se > 0) || math.IsInf(se, 1) {
		t.Errorf("%s: no standard error (%g)", what, se)
		return
	}
	if !(math.Abs(estimate-exact) < limitSE*se) {
		t.Errorf("%s: %.6g, want %.6g, off by %.2f standard errors of %.3g", what, estimate, exact, (estimate-exact)/se, se)
	}
}

// nearShare is near for a count of n independent trials, with the standard error √(p(1-p)/n) of the exact chance p.
func nearShare(t *testing.T, what string, count, n int, p float64) {
	t.Helper()
	near(t, what, float64(count)/float64(n), p, math.Sqrt(p*(1-p)/float64(n)))
}

// sample gathers values and gives their mean and its standard error from their own spread.
type sample struct{ n, sum, squares float64 }

func (s *sample) add(x float64) { s.n++; s.sum += x; s.squares += x * x }

func (s *sample) mean() float64 { return s.sum / s.n }

func (s *sample) se() float64 {
	return math.Sqrt((s.squares/s.n - s.mean()*s.mean()) / (s.n - 1))
}

func (s *sample) near(t *testing.T, what string, exact float64) {
	t.Helper()
	near(t, what, s.mean(), exact, s.se())
}

// ratio gathers pairs of independent cycles and gives the ratio of the sums with its standard error by the delta method.
type ratio struct{ n, top, bottom, tt, tb, bb float64 }

func (r *ratio) add(top, bottom float64) {
	r.n++
	r.top += top
	r.bottom += bottom
	r.tt += top * top
	r.tb += top * bottom
	r.bb += bottom * bottom
}

func (r *ratio) near(t *testing.T, what string, exact float64) {
	t.Helper()
	q := r.top / r.bottom
	near(t, what, q, exact, math.Sqrt(r.tt-2*q*r.tb+q*q*r.bb)/r.bottom)
}

// relative fails unless got is want within the relative tolerance.
func relative(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

// second is a unit of model time, fine enough for the microsecond not to show.
const second = 1_000_000
