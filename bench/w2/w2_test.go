package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/bench/workload"
)

func TestReportPrintsEveryProgram(t *testing.T) {
	var b strings.Builder
	require.NoError(t, report(&b, 2, 5))
	ps, err := workload.Programs()
	require.NoError(t, err)
	for _, p := range ps {
		require.Contains(t, b.String(), p.Name)
	}
	require.Contains(t, b.String(), "agree in every event of 10 replications")
}
