package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// With a thousand draws of a hundred bouts the interval is the level's; 2000 truths are good to 4.9·√(.8·.2/2000) = .044. With few of both it is less: for 32 of
// 24, a spread of .14 and bouts that differ by .9, every standard error that an interval leaves out counts: .75 to .78 in three runs of 4000.
func TestRightlyHeld(t *testing.T) {
	require.InDelta(t, .8, rightly(1, 1, 1000, 100, 100000, .8), .044)
	require.InDelta(t, .765, rightly(.14*.14, .9*.9, 32, 24, 2000, .8), .044)
	require.True(t, math.IsNaN(rightly(0, 1, 32, 24, 2000, .8)))
}
