package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// An unknown arm of Uniform(0,1) against a known .5 (checks I9.6, exact): what n observations win by a table of what may be believed afterwards
// ((s+1)/(n+2) with chance 1/(n+1)), and two unknown arms (I9.7u, exact).
func TestBetaBinomial(t *testing.T) {
	after := func(n int) (value float64) {
		benefit, chances := [][]float64{}, []float64{}
		for s := range n + 1 {
			benefit, chances = append(benefit, []float64{float64(s+1) / float64(n+2), .5}), append(chances, 1/float64(n+1))
		}
		_, _, value = PerfectInformation(benefit, chances)
		return value
	}
	for n, want := range map[int]float64{1: 1. / 12, 2: 1. / 12, 10: 5. / 44} {
		require.InDelta(t, want, after(n), 1e-12, n)
	}
	// Perfect information is the limit: what n observations leave is at most 1/(4n).
	require.InDelta(t, 1./8, after(100000), 1./400000)

	// What a regression over draws makes of it: the variance that n observations explain is exact, 1/12·n/(n+2) (4.9 standard errors of a variance of
	// uniforms, √(.8/N)·1/12, and of the regression); the gain is that of normal theory, which for so flat a belief is 8 % too little for perfect
	// information and 20 % for a single observation, whose two outcomes are no normal. This pins how far that is off.
	const draws = 20000
	r := rand.New(rand.NewPCG(9, 6))
	x, y := mat.NewDense(draws, 1, nil), mat.NewDense(draws, 1, nil)
	for k := range draws {
		theta := r.Float64()
		x.Set(k, 0, theta)
		y.Set(k, 0, is(r.Float64() < theta)-.5) // a bout each
	}
	fit, err := Regress(x, y)
	require.NoError(t, err)
	for n, off := range map[float64]float64{1: .7979, 10: .9253, 1e12: .9213} {
		exact := map[float64]float64{1: 1. / 12, 10: 5. / 44, 1e12: 1. / 8}[n]
		cov, se := fit.Explained([]float64{math.Sqrt(n / (n + 2))})
		want := n / (n + 2) / 12
		within := 4.9 * math.Hypot(se, want*math.Sqrt(.8/draws))
		require.InDelta(t, want, cov.At(0, 0), within, n)
		require.Less(t, within, want/5, "or the test could not fail")
		gain, _ := InformationGain([]float64{0}, mat.NewSymDense(1, []float64{want}))
		require.InEpsilon(t, off, gain/exact, 1e-3, n)
	}
	gain, _ := InformationGain([]float64{0}, mat.NewSymDense(1, []float64{2. / 12}))
	require.InEpsilon(t, .9772, gain/(1./6), 1e-3, "two unknown arms")
}

// nineteen draws the figures of the 19-parameter model (Brennan, Kharroubi, O'Hagan & Chilcott 2007, Med. Decis. Making 27, 448–470; Strong, Oakley
// & Brennan 2014, Med. Decis. Making 34, 311–326, case study 1; from memory), numbered from 1.
func nineteen(r *rand.Rand) (x [20]float64) {
	mean := []float64{0, 1000, .1, 5.2, 400, .7, .3, 3, .25, -.1, .5, 1500, .08, 6.1, .8, .3, 3, .2, -.1, .5}
	sd := []float64{0, 1, .02, 1, 200, .1, .1, .5, .1, .02, .2, 1, .02, 1, .1, .05, 1, .05, .02, .2}
	common := math.Sqrt(.6) * r.NormFloat64()
	for i := 1; i < 20; i++ {
		z := r.NormFloat64()
		if i == 5 || i == 7 || i == 14 || i == 16 {
			z = common + math.Sqrt(.4)*z
		}
		x[i] = mean[i] + sd[i]*z
	}
	return x
}

// benefits are the net benefits of both treatments.
func benefits(x [20]float64) (one, two float64) {
	return 10000*(x[5]*x[6]*x[7]+x[8]*x[9]*x[10]) - (x[1] + x[2]*x[3]*x[4]), 10000*(x[14]*x[15]*x[16]+x[17]*x[18]*x[19]) - (x[11] + x[12]*x[13]*x[4])
}

// known gives the expected net benefits when only some figures are known: what is left is independent of them, but for figures 5, 7, 14 and 16, of
// which two known ones (a and b standard deviations from their means) move the others by .6/(1+.6)·(a+b) (normal theory).
func known(x [20]float64, group []int) (one, two float64) {
	mean := [20]float64{0, 1000, .1, 5.2, 400, .7, .3, 3, .25, -.1, .5, 1500, .08, 6.1, .8, .3, 3, .2, -.1, .5}
	sd := map[int]float64{5: .1, 7: .5, 14: .1, 16: 1}
	sum := 0.0
	for _, i := range group {
		if sd[i] > 0 {
			sum += (x[i] - mean[i]) / sd[i]
		}
	}
	for i, s := range sd {
		mean[i] += .6 / 1.6 * sum * s
	}
	for _, i := range group {
		mean[i] = x[i]
	}
	return benefits(mean)
}

// The 19-parameter model: expected net benefits 5057 and 5584.8 (exact), perfect information about 1046 (checks I9.8; 1045.98 with a standard error of
// .82 in a run of 4 million draws), each within 4.9 combined standard errors and 1. Of groups of figures the worth by regression on that group is
// held against the mean of the better of the exact conditional expectations: where figures 5, 7, 14 and 16 hang together, too. Strong, Oakley &
// Brennan's own values are 248, 841 and 537 (from memory). Normal theory is 4 % too high for perfect information, since products of figures are skew.
func TestNineteenFigures(t *testing.T) {
	const n = 200000
	r := rand.New(rand.NewPCG(19, 8))
	groups := [][]int{{5, 14}, {5, 6, 14, 15}, {7, 16}}
	published, off := []float64{248, 841, 537}, []float64{1.07, 1, 1}
	var one, two, better, diff Group
	exact := make([]Group, len(groups))
	var drawn [][20]float64
	for range n {
		x := nineteen(r)
		drawn = append(drawn, x)
		a, b := benefits(x)
		one.Add(a - 5057)
		two.Add(b - 5584.8)
		better.Add(max(a-b, 0))
		diff.Add(b - a)
		for g, group := range groups {
			a, b := known(x, group)
			exact[g].Add(max(a-b, 0))
		}
	}
	se := func(g Group) float64 { return math.Sqrt(g.squares() / (g.N - 1) / g.N) }
	require.InDelta(t, 0, one.Mean(), 4.9*se(one)+1)
	require.InDelta(t, 0, two.Mean(), 4.9*se(two)+1)
	require.InDelta(t, 1045.98, better.Mean(), 4.9*math.Hypot(se(better), .82)+1, "E max less the better mean is E max(0, one - two)")
	normal, _ := InformationGain([]float64{527.8}, mat.NewSymDense(1, []float64{diff.squares() / (n - 1)}))
	require.InEpsilon(t, 1.04, normal/better.Mean(), .015)

	for g, group := range groups {
		x, y, ones := mat.NewDense(n, len(group), nil), mat.NewDense(n, 1, nil), make([]float64, len(group))
		for k, figures := range drawn {
			a, b := benefits(figures)
			y.Set(k, 0, b-a)
			for c, i := range group {
				x.Set(k, c, figures[i])
				ones[c] = 1
			}
		}
		fit, err := Regress(x, y)
		require.NoError(t, err)
		cov, traceError := fit.Explained(ones)
		gain, _ := InformationGain([]float64{527.8}, cov)
		up, _ := InformationGain([]float64{527.8}, mat.NewSymDense(1, []float64{cov.At(0, 0) + traceError}))
		within := 4.9*math.Hypot(se(exact[g]), up-gain) + 1
		t.Logf("%v: exact %.0f ± %.0f, by regression %.0f", group, exact[g].Mean(), se(exact[g]), gain)
		require.InDelta(t, exact[g].Mean()*off[g], gain, within, group)
		require.InDelta(t, published[g], exact[g].Mean(), 4.9*se(exact[g])+1)
		require.Less(t, within, gain/8, "or the test could not fail")
	}
}
