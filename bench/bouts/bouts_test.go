package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A small run prints every figure and every plan.
func TestReportPrintsEverything(t *testing.T) {
	var b strings.Builder
	require.NoError(t, report(&b, settings{rounds: 1, bouts: 20, replications: 20, within: 10, draws: 20}))
	for _, want := range []string{"one core", "two workers", "readable W2", "allocations a bout", "compare --within 10", "reached true", "with equal shares", "next", "with what was played kept"} {
		require.Contains(t, b.String(), want)
	}
	for _, p := range ladder {
		require.Contains(t, b.String(), p.Name)
	}
}
