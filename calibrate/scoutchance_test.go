package calibrate

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/internal/infer"
)

// The example of Benjamini & Hochberg (1995), JRSS-B 57, 289–300 (from memory; R's p.adjust agrees): at 0.05 four of fifteen are rejected.
// The adjusted values are computed by the method's formula (exact).
func TestFalseDiscovery(t *testing.T) {
	p := []float64{.0001, .0004, .0019, .0095, .0201, .0278, .0298, .0344, .0459, .3240, .4262, .5719, .6528, .7590, 1}
	want := []float64{.0015, .003, .0095, .035625, .0603, .06385714285714286, .06385714285714286, .0645, .0765, .486, .5811818181818181, .714875,
		.7532307692307693, .8132142857142857, 1}
	require.InDeltaSlice(t, want, falseDiscovery(p), 1e-12)
	rejected := 0
	for _, q := range falseDiscovery(p) {
		if q <= .05 {
			rejected++
		}
	}
	require.Equal(t, 4, rejected)
	// In another order, and with equal chances, each keeps its own.
	require.InDeltaSlice(t, []float64{.03, .03, .03, .9}, falseDiscovery([]float64{.02, .01, .0225, .9}), 1e-12)
	require.Empty(t, falseDiscovery(nil))
}

// The lady tasting tea (Fisher 1935, The Design of Experiments, chapter 2): of eight cups, four of each kind, all are told right in one of 70
// ways and three of each in 16 (exact). Both sides are alike here, so that the two-sided chances are 2/70 and 34/70.
func TestFisher(t *testing.T) {
	require.InDelta(t, 2./70, fisher(4, 4, 0, 4), 1e-12)
	require.InDelta(t, 34./70, fisher(3, 4, 1, 4), 1e-12)
	require.InDelta(t, 34./70, fisher(1, 4, 3, 4), 1e-12)
	require.InDelta(t, 1, fisher(2, 4, 2, 4), 1e-12)
	require.InDelta(t, 1, fisher(0, 9, 0, 5000), 1e-12)
	// Against very many trials the exact binomial chance comes out: of three at one half, all or none has 2/8 (limit).
	require.InDelta(t, .25, fisher(3, 3, 5e6, 1e7), 1e-6)
}

// Against a rate that is known all but exactly, the limits are Garwood's less that rate (limit); equal rates have chance 1.
func TestRateDifference(t *testing.T) {
	i, _ := rateDifference(10, 5, 3e9, 1e9, .95)
	g := infer.Garwood(10, 5, .95)
	require.InDelta(t, g.Low-3, i.Low, 1e-3)
	require.InDelta(t, g.High-3, i.High, 1e-3)
	require.InDelta(t, -1, i.Centre, 1e-12)
	_, p := rateDifference(10, 5, 20, 10, .95)
	require.InDelta(t, 1, p, 1e-12)
	_, p = rateDifference(5, 5, 400, 100, .95)
	_, other := rateDifference(400, 100, 5, 5, .95)
	require.InDelta(t, p, other, 1e-12)
	require.Less(t, p, .01)
}
