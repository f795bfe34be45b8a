package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Gelman et al. 2013, Bayesian Data Analysis, 3rd ed., section 2.6 (from memory): asthma mortality. Printed: prior mean .6, P(θ<1.44)
// .975; 3 deaths in 2.0: mean .86, P(θ>1) .30; ten such years: 1.32, .93.
func TestAsthma(t *testing.T) {
	prior := Gamma{3, 5}
	relative(t, "prior mean", prior.Mean(), .6, 1e-12)
	relative(t, "P(θ<1.44)", prior.Dist().CDF(1.44), 0.9745264922181877, 1e-9)
	one := prior.Update(3, 2, 1)
	require.Equal(t, Gamma{6, 7}, one)
	relative(t, "mean", one.Mean(), 0.8571428571428571, 1e-12)
	relative(t, "P(θ>1)", one.Dist().Survival(1), 0.3007082761743609, 1e-9)
	ten := prior.Update(30, 20, 1)
	require.Equal(t, Gamma{33, 25}, ten)
	relative(t, "ten years", ten.Mean(), 1.32, 1e-12)
	relative(t, "P(θ>1)", ten.Dist().Survival(1), 0.9285439687599415, 1e-9)
	// A factor of ten makes ten alike years worth one: exact.
	require.Equal(t, one, prior.Update(30, 20, 10))
	relative(t, "sd", one.SD(), math.Sqrt(6)/7, 1e-12)
	i := one.Interval(.95)
	relative(t, "low", one.Dist().CDF(i.Low), .025, 1e-9)
	relative(t, "high", one.Dist().CDF(i.High), .975, 1e-9)
	require.Equal(t, 6.0, i.Count)
}

// Gelman et al. 2013, section 2.4 (from memory): placenta praevia, 437 girls of 980, uniform prior: printed .446, .016, .415, .477.
func TestPlacentaPraevia(t *testing.T) {
	b := Beta{1, 1}.Update(437, 980, 1)
	relative(t, "mean", b.Mean(), 0.4460285132382892, 1e-9)
	relative(t, "sd", b.SD(), 0.015854343318208036, 1e-9)
	limits(t, "95 %", b.Interval(.95), 0.4150654924550014, 0.4771997706294425, 1e-9)
	// The mean keeps, the spread grows by about √φ: exact from the beta's moments.
	tempered := Beta{}.Update(437, 980, 4)
	relative(t, "tempered mean", tempered.Mean(), 437./980, 1e-12)
	relative(t, "tempered sd", tempered.SD(), math.Sqrt(437./980*543/980/(245+1)), 1e-9)
}

// Exact beta-binomial marginal, a = 2, b = 3, 7 of 12: without and with the coefficient.
func TestMarginal(t *testing.T) {
	relative(t, "a sequence", math.Exp(Beta{2, 3}.LogMarginal(7, 12)), 0.00011655011655011651, 1e-9)
	relative(t, "any order", math.Exp(Beta{2, 3}.LogChance(7, 12)), 0.09230769230769227, 1e-9)
}

// Gelman et al. 2013, section 3.4 (from memory): the poll of 727, 583, 137, uniform prior: P(θ1>θ2) > .9999.
func TestPoll(t *testing.T) {
	d := Dirichlet{1, 1, 1}.Update([]float64{727, 583, 137}, 1)
	require.Equal(t, Dirichlet{728, 584, 138}, d)
	require.Greater(t, d.Above(0, 1), .9999)
	relative(t, "the other way", d.Above(1, 0), 1-d.Above(0, 1), 1e-6)
	relative(t, "alike", Dirichlet{3, 3, 9}.Above(0, 1), .5, 1e-12)
	require.Equal(t, Beta{728, 722}, d.Share(0)) // the marginal of a Dirichlet is a beta: exact
	// Of a Dirichlet(1,1) the first is uniform; of a Dirichlet(2,1) its density is 2x, so P(x > ½) = ¾: exact.
	relative(t, "exact", Dirichlet{2, 1}.Above(0, 1), .75, 1e-12)
	require.Equal(t, Dirichlet{2, 3}, Dirichlet{1, 1}.Update([]float64{3, 6}, 3))
}

func TestUpdatesRefuse(t *testing.T) {
	require.PanicsWithValue(t, "infer: an over-dispersion factor of 0.5 is not at least 1", func() { Gamma{1, 1}.Update(1, 1, .5) })
	require.Panics(t, func() { Beta{1, 1}.Update(1, 1, math.NaN()) })
	require.Panics(t, func() { Beta{1, 1}.Update(2, 1, 1) })
	require.Panics(t, func() { Gamma{1, 1}.Update(-1, 1, 1) })
	require.Panics(t, func() { Dirichlet{1, 1}.Update([]float64{1}, 1) })
	require.Panics(t, func() { Dirichlet{1}.Update([]float64{-1}, 1) })
}
