package cmd

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Where there is no terminal plain lines tell how far it is, at most one every two seconds, with the time left; by hand.
func TestProgressLines(t *testing.T) {
	var out strings.Builder
	now := time.Time{}
	tell := lines(&out, func() time.Time { return now })
	for _, step := range []struct {
		seconds int
		stage   string
		done    int
	}{{0, "profiles", 1}, {1, "profiles", 2}, {3, "profiles", 3}, {4, "bouts", 10}, {6, "bouts", 20}, {7, "bouts", 30}, {9, "bouts", 50}} {
		now = time.Time{}.Add(time.Duration(step.seconds) * time.Second)
		tell(step.stage, step.done, 100)
	}
	require.Equal(t, "3 of 100 profiles, about 1m37s left\n20 of 100 bouts, about 8s left\n50 of 100 bouts, about 5s left\n", out.String())
}

// The bars end with the work, drawn or not, and a total may grow.
func TestProgressBars(t *testing.T) {
	for _, wait := range []time.Duration{0, 150 * time.Millisecond} {
		var b bytes.Buffer
		tell, end := bars(&b)
		tell("profiles", 10, 10)
		tell("draws", 10, 10)
		tell("draws", 11, 100)
		time.Sleep(wait)
		end()
		require.Contains(t, b.String(), "profiles")
		require.Contains(t, b.String(), "draws")
	}
}
