package main

import (
	"bytes"
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/internal/infer"
)

// Exact: tape that is not there teaches nothing. Eight times the same belief, played on luck of its own: the variance of the means is what the
// bouts add and no more, within 4.9 standard errors, which of a variance from eight are √(2/7) of what it should be; a round of three teaches
// without a fault.
func TestNothingToCome(t *testing.T) {
	q, err := newQuestion(0, 1)
	require.NoError(t, err)
	got, err := q.nested(context.Background(), 8, 20, 2)
	require.NoError(t, err)
	for v, l := range got {
		adds := l.varianceError/math.Sqrt(2./7) - l.variance
		require.InDelta(t, 0, l.variance, 4.9*math.Sqrt(2./7)*adds, values[v])
		require.Positive(t, l.varianceError)
		require.Equal(t, 8*20*2*2, l.bouts)
	}
	q.rounds = 3
	got, err = q.nested(context.Background(), 2, 4, 2)
	require.NoError(t, err)
	require.Equal(t, 2, got[0].calibrations)
	var b bytes.Buffer
	got[0].tell(&b, "two levels")
	require.Contains(t, b.String(), "2 calibrations")
}

// Exact: what is worth nothing, and what one standard deviation is worth at the point of indifference, φ(0) = .39894 of it.
func TestGain(t *testing.T) {
	require.Zero(t, (&learned{variance: -1}).gain())
	require.InDelta(t, 2*infer.NormalLoss(0), (&learned{variance: 4}).gain(), 1e-12)
	require.InDelta(t, .797885, (&learned{variance: 4}).gain(), 1e-6)
	require.Less(t, (&learned{mean: 4, variance: 4}).gain(), .17)
	require.False(t, math.IsNaN((&learned{}).gain()))
}
