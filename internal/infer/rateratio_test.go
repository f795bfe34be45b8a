package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// doctors are the coronary deaths and person-years of British doctors who smoked and who did not, by age: 35-44, 45-54, 55-64, 65-74, 75-84
// (Doll & Hill 1966, as in Breslow & Day 1987, section 3; from memory).
var doctors = []RatePair{{32, 52407, 2, 18790}, {104, 43248, 12, 10673}, {206, 28612, 28, 5710}, {186, 12663, 28, 2585}, {102, 5317, 31, 1462}}

// Poisson regression on age and smoking gives the rate ratio 1.425519, by Wald 1.154984 to 1.759421 (the worked example of Stata's manual on
// poisson, from memory). The conditional estimate is the same number; score limits lie within a hundredth of Wald's here. Without strata the
// ratio is (630/142247)/(101/39220) = 1.7198.
func TestPublishedRateRatio(t *testing.T) {
	r, ok := StratifiedRateRatio(doctors, 1, .95)
	require.True(t, ok)
	require.InDelta(t, 1.425519, r.Centre, 1e-6)
	require.InDelta(t, 1.154984, r.Low, .01)
	require.InDelta(t, 1.759421, r.High, .01)
	require.InDelta(t, 3.3, r.Z, .1)
	crude := RatePair{}
	for _, d := range doctors {
		crude = RatePair{crude.X1 + d.X1, crude.T1 + d.T1, crude.X2 + d.X2, crude.T2 + d.T2}
	}
	one, ok := StratifiedRateRatio([]RatePair{crude}, 1, .95)
	require.True(t, ok)
	require.InDelta(t, 630./142247/(101./39220), one.Centre, 1e-9)
}

// Exact: in one stratum with equal exposures 9 of 12 events have the odds 3; the score limits of 9/12 are Wilson's, as odds. Over-dispersion 4
// doubles the standard error. Turned round, the ratio is the inverse.
func TestOneStratumByHand(t *testing.T) {
	one := []RatePair{{9, 10, 3, 10}}
	r, ok := StratifiedRateRatio(one, 1, .95)
	require.True(t, ok)
	w := Wilson(9, 12, .95)
	require.InDelta(t, 3, r.Centre, 1e-9)
	require.InDelta(t, w.Low/(1-w.Low), r.Low, 1e-9)
	require.InDelta(t, w.High/(1-w.High), r.High, 1e-9)
	require.InDelta(t, 3/math.Sqrt(3), r.Z, 1e-12)
	require.InDelta(t, 2*distuv.UnitNormal.Survival(math.Sqrt(3)), r.P, 1e-12)
	require.Equal(t, [2]float64{9, 6}, [2]float64{r.Count, r.Expected})
	wide, _ := StratifiedRateRatio(one, 4, .95)
	require.InDelta(t, r.Z/2, wide.Z, 1e-12)
	require.Greater(t, wide.High, r.High)
	back, _ := StratifiedRateRatio([]RatePair{{3, 10, 9, 10}}, 1, .95)
	require.InDelta(t, 1/r.Centre, back.Centre, 1e-9)
	require.InDelta(t, 1/r.High, back.Low, 1e-9)
}

func TestRateRatiosAtTheEdge(t *testing.T) {
	none, ok := StratifiedRateRatio([]RatePair{{0, 5, 10, 5}, {3, 0, 2, 1}, {0, 1, 0, 9}}, 1, .95)
	require.True(t, ok)
	require.Zero(t, none.Low)
	require.Zero(t, none.Centre)
	require.Positive(t, none.High)
	all, ok := StratifiedRateRatio([]RatePair{{10, 5, 0, 5}}, 1, .95)
	require.True(t, ok)
	require.Equal(t, [2]float64{1e6, 1e6}, [2]float64{all.Centre, all.High})
	require.Greater(t, all.Low, 1.)
	require.NotEmpty(t, all.Warnings)
	_, ok = StratifiedRateRatio([]RatePair{{0, 1, 0, 1}, {5, 1, 5, 0}}, 1, .95)
	require.False(t, ok)
	require.Panics(t, func() { StratifiedRateRatio([]RatePair{{-1, 1, 0, 1}}, 1, .95) })
}

// Limits of 95 % hold a ratio of 1.8 in 2,000 tables of four strata whose rates differ tenfold: 4.9 standard errors of .95 are 4.9·√(.95·.05/2000) =
// .024.
func TestRateRatioCovers(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	inside := 0
	for range 2000 {
		var strata []RatePair
		for k, rate := range []float64{.2, .5, 1, 2} {
			t1, t2 := 3+float64(k), 12-2*float64(k)
			draw := func(mean float64) float64 { return distuv.Poisson{Lambda: mean, Src: r}.Rand() }
			strata = append(strata, RatePair{draw(1.8 * rate * t1), t1, draw(rate * t2), t2})
		}
		if got, ok := StratifiedRateRatio(strata, 1, .95); ok && got.Holds(1.8) {
			inside++
		}
	}
	require.InDelta(t, .95, float64(inside)/2000, .024)
}
