package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// Wilks, Statistical Methods in the Atmospheric Sciences, table 7.3 (two frequencies are misprinted in a documentation copy; these are
// right), taken apart after Murphy 1973, J. Appl. Meteorol. 12, 595–600.
func TestBrierApart(t *testing.T) {
	forecast := []float64{0, .05, .1, .2, .3, .4, .5, .6, .7, .8, .9, 1}
	frequency := []float64{.006, .019, .059, .150, .277, .377, .511, .587, .723, .779, .934, .933}
	share := []float64{.4112, .0671, .1833, .0986, .0616, .0366, .0303, .0275, .0245, .0220, .0170, .0203}
	bins := make([]Bin, len(forecast))
	for i := range bins {
		bins[i] = Bin{forecast[i], frequency[i], share[i]}
	}
	m := BrierAgainst(bins, .162)
	relative(t, "reliability", m.Reliability, 0.0008276164, 1e-9)
	relative(t, "resolution", m.Resolution, 0.0627868748, 1e-9)
	relative(t, "uncertainty", m.Uncertainty, 0.135756, 1e-9)
	relative(t, "Brier", m.Brier, 0.0737967416, 1e-9)
	relative(t, "skill", m.Skill, 0.45640162055452427, 1e-9)
	own := BrierOf(bins)
	relative(t, "base rate", own.Base, 0.1615034, 1e-9)
	relative(t, "resolution", own.Resolution, 0.06278662819, 1e-9)
	relative(t, "uncertainty", own.Uncertainty, 0.1354200518, 1e-9)
	relative(t, "Brier", own.Brier, 0.07346104, 1e-9)
}

// With its own base rate the parts add up to the mean squared error: exact.
func TestBrierIsTheMeanSquare(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(r, "n")
		forecasts, happened, sum := make([]float64, n), make([]bool, n), 0.0
		for i := range n {
			forecasts[i] = float64(rapid.IntRange(0, 10).Draw(r, "tenths")) / 10
			happened[i] = rapid.Bool().Draw(r, "happened")
			d := forecasts[i] - boolFloat(happened[i])
			sum += d * d
		}
		require.InDelta(r, sum/float64(n), BrierOf(Bins(forecasts, happened)).Brier, 1e-12)
	})
	require.Panics(t, func() { Bins(nil, nil) })
	require.Equal(t, 0.0, BrierOf(Bins([]float64{1}, []bool{true})).Skill)
}

// Gneiting & Raftery 2007, J. Am. Stat. Assoc. 102, 359–378; tests of R package scoringRules print 2.43657473 and 2.192917257.
func TestCRPSNormal(t *testing.T) {
	relative(t, "(0,1;0)", CRPSNormal(0, 1, 0), 0.23369497725510913, 1e-9)
	relative(t, "(0,1;-3)", CRPSNormal(0, 1, -3), 2.4365747250863397, 1e-9)
	relative(t, "(.1,1;-2.9)", CRPSNormal(.1, 1, -2.9), 2.4365747250863397, 1e-9)
	relative(t, "(0,.9;-2.7)", CRPSNormal(0, .9, -2.7), 2.192917252577706, 1e-9)
}

func TestCRPSEnsemble(t *testing.T) {
	score, fair := CRPSEnsemble([]float64{4, 1, 2}, 3) // exact: 2/3 and 1/3
	relative(t, "as they are", score, 2./3, 1e-12)
	relative(t, "fair", fair, 1./3, 1e-12)
	// The fair score of draws from N(0, 1) has the score of N(0, 1) as its expectation, however few they are: exact.
	var values Group
	r := random(5)
	draws := make([]float64, 5)
	for range 4000 {
		for i := range draws {
			draws[i] = r.NormFloat64()
		}
		_, fair := CRPSEnsemble(draws, .7)
		values.Add(fair)
	}
	near(t, "fair", values, CRPSNormal(0, 1, .7), 0)
}

// Czado, Gneiting & Held 2009, Biometrics 65, 1254–1261, definition; Poisson(2), counts 0 1 2 3 5: mean PIT at .1, …, .9 (computed).
func TestPIT(t *testing.T) {
	p := distuv.Poisson{Lambda: 2}
	var fewer, atMost []float64
	for _, y := range []float64{0, 1, 2, 3, 5} {
		low := 0.0
		if y > 0 {
			low = p.CDF(y - 1)
		}
		fewer, atMost = append(fewer, low), append(atMost, p.CDF(y))
	}
	for i, want := range []float64{0.14778112197861298, 0.24778112197861302, 0.3216716829679196, 0.3955622439572261, 0.46945280494653263,
		0.5433433659358391, 0.6258508903877184, 0.7366867318716781, 0.8} {
		relative(t, "PIT", PIT(fewer, atMost, float64(i+1)/10), want, 1e-9)
	}
	require.Equal(t, .5, PIT([]float64{.3}, []float64{.3}, .3))
}

// Counts from the forecast itself have PIT(u) = u in expectation: exact. Counts that vary twice as much do not.
func TestPITOfACalibratedForecast(t *testing.T) {
	src := rand.NewPCG(6, 6)
	p := distuv.Poisson{Lambda: 3, Src: src}
	low, high := Group{}, Group{}
	for range 4000 {
		y := p.Rand()
		fewer := []float64{0}
		if y > 0 {
			fewer[0] = p.CDF(y - 1)
		}
		low.Add(PIT(fewer, []float64{p.CDF(y)}, .1))
		high.Add(PIT(fewer, []float64{p.CDF(y)}, .8))
	}
	near(t, "at .1", low, .1, 0)
	near(t, "at .8", high, .8, 0)
	wide := Group{}
	for range 4000 {
		y := distuv.Poisson{Lambda: distuv.Gamma{Alpha: 3, Beta: 1, Src: src}.Rand(), Src: src}.Rand()
		fewer := []float64{0}
		if y > 0 {
			fewer[0] = p.CDF(y - 1)
		}
		wide.Add(PIT(fewer, []float64{p.CDF(y)}, .1))
	}
	require.Greater(t, wide.Mean()-.1, 4.9*math.Sqrt(wide.squares()/3999/4000)) // too many in the tails
}
