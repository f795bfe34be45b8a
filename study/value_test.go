package study

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestReadValue(t *testing.T) {
	win, margin, head, ko := MeasureNamed("win"), MeasureNamed("score_margin"), MeasureNamed("head_strikes_absorbed"), MeasureNamed("knockdowns_suffered")
	for text, want := range map[string][]Term{
		"win":                              {{win, 1}},
		"margin":                           {{margin, 1}},
		"win - 0.01*head_strikes_absorbed": {{win, 1}, {head, -.01}},
		"win-head_strikes_absorbed*1e-2":   {{win, 1}, {head, -.01}},
		"-2 * win + knockdowns":            {{win, -2}, {ko, 1}},
		"win - -1*score_margin":            {{win, 1}, {margin, 1}},
	} {
		v, err := ReadValue(text)
		require.NoError(t, err, text)
		require.Equal(t, want, v.Terms, text)
	}
	for text, want := range map[string]string{
		"":            "it is empty",
		"wins":        `no measure "wins"; did you mean "win"`,
		"win - x*win": `"x" is no weight`,
		"0.5":         `no measure "0.5"`,
		"win +":       `no measure ""`,
		"win*nan":     `"nan" is no weight`,
		"1e9*win":     "is no weight",
	} {
		_, err := ReadValue(text)
		require.ErrorContains(t, err, want, text)
	}
	// All faults at once.
	_, err := ReadValue("wun + lass")
	require.ErrorContains(t, err, "wun")
	require.ErrorContains(t, err, "lass")
}

// Exact: a weighted sum of a bout's measures.
func TestValueOf(t *testing.T) {
	v, err := ReadValue("win - 0.01*head_strikes_absorbed")
	require.NoError(t, err)
	bouts := make(Values, 2*len(columns))
	bouts[len(columns)+MeasureNamed("win")], bouts[len(columns)+MeasureNamed("head_strikes_absorbed")] = 1, 30
	require.InDelta(t, 0, v.Of(bouts, 0), 1e-15)
	require.InDelta(t, .7, v.Of(bouts, 1), 1e-15)
	require.False(t, v.Counts("win"))
	win, err := ReadValue(" win ")
	require.NoError(t, err)
	require.True(t, win.Counts("win"))
}
