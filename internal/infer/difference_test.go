package infer

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Newcombe 1998, Stat. Med. 17, 873–890, Table II, method 10: the first row stands in several public test suites, the rest from memory;
// the last is Fagerland, Lydersen & Laake 2015, Stat. Methods Med. Res. 24, 224–254, printed .019, .34.
func TestNewcombeDifference(t *testing.T) {
	for _, c := range [][6]float64{
		{56, 70, 48, 80, 0.052431472402365065, 0.333872654036906},
		{9, 10, 3, 10, 0.17052272393450302, 0.8090179735354881},
		{0, 10, 0, 10, -0.2775327998628892, 0.2775327998628892},
		{10, 10, 0, 20, 0.6790860371419147, 1},
		{10, 10, 0, 10, 0.6075093504305242, 1},
		{7, 34, 1, 34, 0.018921443885772993, 0.3403686870327073},
	} {
		i := NewcombeDifference(c[0], c[1], c[2], c[3], .95)
		limits(t, "difference", i, c[4], c[5], 1e-9)
		require.Equal(t, c[1]+c[3], i.Count)
		require.Equal(t, c[0]/c[1]-c[2]/c[3], i.Centre)
	}
}

// Newcombe 1998, Stat. Med. 17, 2635–2650, Table III, method 10 (a public test suite transcribes it): both, first only, second only, neither.
func TestNewcombePaired(t *testing.T) {
	for _, c := range [][6]float64{
		{36, 12, 2, 0, 0.05692958400323875, 0.3404276029749407},
		{18, 12, 2, 18, 0.05617184398825317, 0.3289759688858016},
		{36, 14, 0, 0, 0.1528395178558573, 0.41665123695956563},
		{18, 14, 0, 18, 0.14408261615735715, 0.3963252817333279},
		{2, 97, 1, 0, 0.8721164783402089, 0.9853664502217372},
		{2, 98, 0, 0, 0.9177931022999384, 0.9944980324498376},
		{1, 98, 0, 1, 0.9170870180256847, 0.9916426092280501},
		{54, 0, 0, 0, -0.06641358809089626, 0.06641358809089626},
		{29, 0, 0, 25, -0.03541303414844331, 0.03541303414844331},
		{27, 0, 0, 27, -0.03506966297161304, 0.03506966297161304},
	} {
		i := NewcombePaired(c[0], c[1], c[2], c[3], .95)
		limits(t, "paired difference", i, c[4], c[5], 1e-9)
		require.InDelta(t, (c[1]-c[2])/(c[0]+c[1]+c[2]+c[3]), i.Centre, 1e-15)
	}
}

func TestDifferencesAreLawful(t *testing.T) {
	count := rapid.IntRange(0, 200)
	rapid.Check(t, func(r *rapid.T) {
		e, f, g, h := float64(count.Draw(r, "both")), float64(count.Draw(r, "first")), float64(count.Draw(r, "second")), float64(count.Draw(r, "neither"))
		a, b := NewcombePaired(e, f, g, h+1, .9), NewcombePaired(e, g, f, h+1, .9)
		require.InDelta(r, a.Low, -b.High, 1e-12) // exchanging the two changes the sign
		require.True(r, -1 <= a.Low && a.Low <= a.Centre && a.Centre <= a.High && a.High <= 1)
		i := NewcombeDifference(e, e+f+1, g, g+h+1, .9)
		j := NewcombeDifference(g, g+h+1, e, e+f+1, .9)
		require.InDelta(r, i.Low, -j.High, 1e-12)
	})
	none := NewcombeDifference(0, 0, 3, 4, .9)
	limits(t, "one side never counted", none, -1, 1, 0)
	require.Len(t, none.Warnings, 1)
}
