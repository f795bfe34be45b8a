package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// Raiffa & Schlaifer 1961, table of the unit normal loss integral (from memory); full digits exact.
func TestNormalLoss(t *testing.T) {
	for z, want := range map[float64]float64{0: .3989, .25: .2863, .5: .1978, .75: .1312, 1: .08332, 1.25: .05059, 1.5: .02931, 2: .008491, 2.5: .002004, 3: .0003822} {
		require.InEpsilon(t, want, NormalLoss(z), 5e-4, z)
	}
	for z, want := range map[float64]float64{.5: 0.197796557401, 1: 0.0833154705877, 2: 0.00849070261683, 3: 0.000382154317048} {
		require.InDelta(t, want, NormalLoss(z), 1e-12, z)
		require.InDelta(t, want+z, NormalLoss(-z), 1e-12, "L(-z) = L(z) + z")
	}
}

// A normal two-treatment model, test model of an open health-economics package (its inputs): threshold 1000, effect N(.1, .5²), cost
// N(60, 300²), a study of the effect with summary standard deviation .5. The values are exact: normal theory.
func TestNormalTwoTreatments(t *testing.T) {
	mean := []float64{1000*.1 - 60}
	one := func(variance float64) float64 {
		gain, se := InformationGain(mean, mat.NewSymDense(1, []float64{variance}))
		require.Zero(t, se)
		return gain
	}
	effect, cost := 1000*1000*.25, 300.0*300
	require.InDelta(t, 213.1684543, one(effect+cost), 1e-6, "EVPI")
	require.InDelta(t, 180.1091076, one(effect), 1e-6, "EVPPI of the effect")
	require.InDelta(t, 100.7449569, one(cost), 1e-6, "EVPPI of the cost")
	require.InDelta(t, 121.9491376, one(effect*(.25/(.25+.25))), 1e-6, "EVSI: half of the variance is learned")
}

// Raiffa 1968, Decision Analysis, the wildcatter (from memory), and a table whose values are exact.
func TestPerfectInformation(t *testing.T) {
	best, informed, value := PerfectInformation([][]float64{{-70, 0}, {50, 0}, {200, 0}}, []float64{.5, .3, .2})
	require.InDeltaSlice(t, []float64{20, 55, 35}, []float64{best, informed, value}, 1e-12)
	best, informed, value = PerfectInformation([][]float64{{10, 0, 5}, {0, 12, 5}, {3, 3, 9}}, []float64{.3, .3, .4})
	require.InDeltaSlice(t, []float64{6.6, 10.2, 3.6}, []float64{best, informed, value}, 1e-12)
}

// Exact: an option that never matters adds nothing; three equal options are worth what the largest of three normals is.
func TestSeveralOptions(t *testing.T) {
	one, _ := InformationGain([]float64{.5}, mat.NewSymDense(1, []float64{4}))
	both, se := InformationGain([]float64{.5, -100}, mat.NewSymDense(2, []float64{4, 0, 0, 1}))
	require.InDelta(t, one, both, 4.9*se)
	// Three options iid N(0, 1): E max = 3/(2√π) (David & Nagaraja 2003, Order Statistics, 3.2). Differences from the first have
	// variance 2 and covariance 1.
	three, se := InformationGain([]float64{0, 0}, mat.NewSymDense(2, []float64{2, 1, 1, 2}))
	require.InDelta(t, 3/(2*math.Sqrt(math.Pi)), three, 4.9*se)
	require.Less(t, se, .006)
	// Exact: nothing to learn, nothing to win; a covariance that noise made negative is nothing.
	for _, v := range []float64{0, -1} {
		none, _ := InformationGain([]float64{.1}, mat.NewSymDense(1, []float64{v}))
		require.Zero(t, none)
		none, _ = InformationGain([]float64{.1, -.2}, mat.NewSymDense(2, []float64{v, 0, 0, v}))
		require.InDelta(t, 0, none, 1e-12)
	}
}

// Exact: a linear model y = 2·x1 + x2 + noise with x of spread 1 and 3 has explained variances 4 and 9; learning half of x2's variance
// explains 4.5. Means over repetitions must agree within 4.9 standard errors, and the stated error of the trace be the spread of them.
func TestExplainedIsUnbiased(t *testing.T) {
	src := rand.New(rand.NewPCG(7, 11))
	const runs, n, p = 300, 200, 30
	want := []float64{4, 9, 4.5, 0}
	learned := make([][]float64, len(want))
	for i := range learned {
		learned[i] = make([]float64, p)
	}
	learned[0][0], learned[1][1], learned[2][1] = 1, 1, math.Sqrt(.5)
	for j := 2; j < p; j++ {
		learned[3][j] = 1 // 28 features without any effect
	}
	var got, stated [4]Group
	for range runs {
		x, y := mat.NewDense(n, p, nil), mat.NewDense(n, 1, nil)
		for i := range n {
			for j := range p {
				x.Set(i, j, src.NormFloat64())
			}
			x.Set(i, 1, 3*x.At(i, 1))
			y.Set(i, 0, 5+2*x.At(i, 0)+x.At(i, 1)+4*src.NormFloat64())
		}
		r, err := Regress(x, y)
		require.NoError(t, err)
		for k := range want {
			cov, se := r.Explained(learned[k])
			got[k].Add(cov.At(0, 0))
			stated[k].Add(se)
		}
	}
	for k := range want {
		sd := math.Sqrt(got[k].squares() / (runs - 1))
		require.InDelta(t, want[k], got[k].Mean(), 4.9*sd/math.Sqrt(runs), k)
		// The stated error leaves the features' own sampling out (their variance is estimated too): for the first three that adds
		// √2·want/√n, a tenth of the value; a standard deviation from 300 runs is known to 1/√600 = 4 %.
		features := math.Sqrt2 * want[k] / math.Sqrt(n)
		require.InEpsilon(t, math.Hypot(stated[k].Mean(), features), sd, .2, k)
	}
}

func TestRegressRefuses(t *testing.T) {
	_, err := Regress(mat.NewDense(5, 2, nil), mat.NewDense(5, 1, nil))
	require.ErrorContains(t, err, "twice as many")
	_, err = Regress(mat.NewDense(6, 2, []float64{1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6}), mat.NewDense(6, 1, nil))
	require.ErrorContains(t, err, "follows from the others")
}
