package report

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/internal/infer"
	"whatbout/study"
)

func TestTitle(t *testing.T) {
	for id, want := range map[string]string{"badger": "Badger", "no-such": "No such", "red_fox": "Red fox", "ärger": "Ärger", "": "The fighter", "-": "The fighter",
		"stay close": "Stay close"} {
		require.Equal(t, want, title(id))
	}
}

func TestSigned(t *testing.T) {
	for x, want := range map[float64]string{.04: "0.0", -.04: "0.0", 0: "0.0", .05001: "+0.1", -12.34: "-12.3"} {
		require.Equal(t, want, signed(x, 1))
	}
}

// A chance is never told as certain.
func TestPercent(t *testing.T) {
	for p, want := range map[float64]string{1: "over 99 %", .9951: "over 99 %", .99: "99 %", .5: "50 %", .01: "1 %", .004: "under 1 %", 0: "under 1 %"} {
		require.Equal(t, want, percent(p))
	}
}

func TestRoughly(t *testing.T) {
	for x, want := range map[float64]string{1.44: "1.4", 41: "41", 1234: "1200", 98765: "99000"} {
		require.Equal(t, want, roughly(x))
	}
}

func TestSpread(t *testing.T) {
	some := infer.Interval{Low: -.01, High: .02, Centre: .005}
	require.Equal(t, "-1.0 to +2.0 around +0.5 (x)", spread(infer.Spreading{Resolved: true, Interval: some, AtMost: .1}, "x"))
	require.Contains(t, spread(infer.Spreading{AtMost: .03}, "x"), "at most 3.0")
	require.Contains(t, spread(infer.Spreading{Resolved: true, AtMost: .03}, "x"), "not resolved", "an interval without width says nothing")
	require.Equal(t, "none at all", spread(infer.Spreading{}, "x"))
}

func TestSix(t *testing.T) {
	for x, want := range map[float64]float64{123456.7: 123457, -.00012345678: -.000123457, 0: 0, 1: 1, 5e-324: 5e-324} {
		require.Equal(t, want, six(x))
	}
	require.True(t, math.IsNaN(six(math.NaN())))
}

// Only what changes by more than a point of share or a tenth of a rate is worth a word.
func TestChangesAreCompact(t *testing.T) {
	shares := study.Reweighted{Unit: study.OfShare, Changes: []study.ShareChange{{What: "jab", Before: .1, After: .3}, {What: "cross", Before: .1, After: .105},
		{What: "none", Before: .5, After: .4}}}
	require.Equal(t, "jab 10 to 30 %, nothing at once 50 to 40 %", changes(&shares))
	rates := study.Reweighted{Unit: study.PerMinute, Changes: []study.ShareChange{{What: "step_back", Before: 5, After: 0}, {What: "jab", Before: 5, After: 5.4},
		{What: "spin", Before: .01, After: .05}}}
	require.Equal(t, "step back 5.0 to 0.0 a minute", changes(&rates))
	require.Contains(t, changes(&study.Reweighted{}), "nothing")
}

// Rules that act together on one table share it; a rule has one.
func TestMostFrequentTables(t *testing.T) {
	same := []study.ShareChange{{What: "jab", Before: 1, After: 2}}
	out := mostFrequent([]study.Reweighted{
		{Rule: "a", Point: "initiate", Where: "x", Changes: same}, {Rule: "a", Point: "initiate", Where: "y"},
		{Rule: "b", Point: "initiate", Where: "x", Changes: same}, {Rule: "c", Point: "answer", Where: "x", Changes: same}})
	require.Len(t, out, 2)
	require.Equal(t, "a + b", out[0].Rule)
	require.Equal(t, "c", out[1].Rule)
}
