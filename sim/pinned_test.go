package sim

import (
	"crypto/sha256"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/sim/kernel"
)

// Same seed, same bout, on every machine and under GOAMD64=v1 and v3 (test.sh runs both). A change of this hash is a change of "same seed,
// different numbers" and belongs into CHANGELOG.md.
const pinnedBouts = "b5b9a10b3aa1c386cfcea1f5b886e7e21c4386246d90af73f217a468264bfacc"

func TestPinnedBouts(t *testing.T) {
	h := sha256.New()
	for _, rules := range []string{"mma-3x5", "kickboxing-3x3", "boxing-3x3", "mma-5x5"} {
		b := evenBout(t, rules)
		for i := range 25 {
			o := b.Run(kernel.NewKey(1, 2, uint64(i)))
			fmt.Fprintln(h, o, b.Events)
		}
	}
	require.Equal(t, pinnedBouts, fmt.Sprintf("%x", h.Sum(nil)))
}

// A bout after the first allocates nothing.
func TestNoAllocation(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	for i := range 30 {
		b.Run(kernel.NewKey(9, uint64(i)))
	}
	require.LessOrEqual(t, testing.AllocsPerRun(30, func() { b.Run(kernel.NewKey(9, 3)) }), 0.0)
}
