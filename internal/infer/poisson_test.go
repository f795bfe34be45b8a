package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Garwood 1936, Biometrika 28, 437–442, as tabled in many handbooks (from memory; full values agree with the print): 95 %.
func TestGarwood(t *testing.T) {
	for _, c := range [][3]float64{
		{0, 0, 3.6888794541139354}, {1, 0.025317807984289876, 5.571643390938898}, {2, 0.24220927854396496, 7.22468766772396},
		{3, 0.6186721228956014, 8.767273069742323}, {5, 1.6234863901184207, 11.66833207932267},
		{6, 2.2018942534908508, 13.059474022518685}, {7, 2.8143630515198654, 14.422675361702376},
		{8, 3.4538321767485014, 15.763189220193313}, {9, 4.115373097378334, 17.084803451419166},
		{10, 4.7953886961324335, 18.39035604201778}, {15, 8.395386132783315, 24.740218871485844},
		{20, 12.216519585403944, 30.8883779026746}, {25, 16.178681847829328, 36.904931697530365},
		{30, 20.240874021420915, 42.82686539480766}, {50, 37.110963737461866, 65.91876666433681},
		{100, 81.36399125092314, 121.62679379242638},
	} {
		i := Garwood(c[0], 1, .95)
		limits(t, "Garwood", i, c[1], c[2], 1e-9*c[2])
		half := Garwood(c[0], 2, .95)
		limits(t, "twice the exposure", half, c[1]/2, c[2]/2, 1e-9*c[2])
	}
	// 90 %, exact gamma quantiles.
	want := []float64{0, 2.9957322735539895, 0.05129329438755053, 4.743864518390577, 1.9701495680595302, 10.513034908741535,
		5.425405697091295, 16.962219235721903}
	for k, x := range []float64{0, 1, 5, 10} {
		limits(t, "90 %", Garwood(x, 1, .9), want[2*k], want[2*k+1], 1e-9*want[2*k+1])
	}
	// The rule of three: exactly -ln .05, not 3.
	require.InDelta(t, -math.Log(.05), Garwood(0, 1, .9).High, 1e-12)
	require.Len(t, Garwood(0, 1, .9).Warnings, 1)
	require.Panics(t, func() { Garwood(1, 0, .9) })
	require.Panics(t, func() { Garwood(-1, 1, .9) })
}

// Gu, Ng, Tang & Schucany 2008, Biom. J. 50, 283–298, example 1 (statsmodels tests): printed p .000356, .000316.
func TestCompareRates(t *testing.T) {
	r := CompareRates(60, 51477.5, 30, 54308.7)
	relative(t, "Wald z", r.WaldZ, 3.3849125562607925, 1e-9)
	relative(t, "Wald p", r.WaldP, 0.00035600466425305646, 1e-9)
	relative(t, "score z", r.ScoreZ, 3.4174018390002145, 1e-9)
	relative(t, "score p", r.ScoreP, 0.0003161094410235486, 1e-9)
	relative(t, "difference", r.Difference, 60/51477.5-30/54308.7, 1e-12)
	require.Equal(t, RateTest{WaldP: .5, ScoreP: .5}, CompareRates(0, 1, 0, 2))
}
