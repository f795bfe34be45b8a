package kernel

import (
	"encoding/binary"
	"hash/fnv"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// print is the FNV-1a hash of fixed-size values in little-endian order: what is pinned below must come out on every target.
func print(t *testing.T, values any) uint64 {
	t.Helper()
	h := fnv.New64a()
	require.NoError(t, binary.Write(h, binary.LittleEndian, values))
	return h.Sum64()
}

func TestPortableFunctionsAgreeWithTheStandardLibrary(t *testing.T) {
	// Relative to the standard library, whose own error is below one unit in the last place (2^-53 = 1.1e-16).
	for i := range 20000 {
		x := float64(i+1) / 1000
		relative(t, "logarithm", logarithm(x), math.Log(x), 4e-16+2e-16/math.Abs(math.Log(x)+1e-300))
		relative(t, "exponent", exponent(x-10), math.Exp(x-10), 2e-15)
	}
	require.Equal(t, 0.0, logarithm(1))
	require.Equal(t, 1.0, exponent(0))
	for _, x := range []float64{1e-300, 1e-10, 1e10, 1e300} {
		relative(t, "logarithm", logarithm(x), math.Log(x), 1e-15)
	}
	require.Equal(t, 1+2*3.0+3*9.0, polynomial(3, 1, 2, 3))
}

func TestBytesAreTheSameOnEveryTarget(t *testing.T) {
	// Recorded by this package on amd64; a change here is a change of every simulated number and belongs in the change log.
	require.Equal(t, uint64(0x2f2ce45e36e562ce), print(t, logNodes[:]), "table of the exponential")
	require.Equal(t, uint64(0xb2615183003bfd1d), print(t, normalNodes[:]), "table of the normal")
	require.Equal(t, uint64(0x8cd9a6ede091f636), print(t, logisticNodes[:]), "table of the logistic")

	ticks := NewTicks(NewKey(20261125, 1, 2, 3, 0), MeanGap(2.7))
	var table Table
	require.NoError(t, table.SetRates([]float64{0.1, 0.7, 0, 0.3, 1.1}, 2.7))
	record := make([]int64, 0, 5000)
	for range 1000 {
		at, draw := ticks.Next()
		s := ticks.Key(ticks.Count()).Stream()
		record = append(record, at, int64(table.Pick(uint32(draw))), int64(Normal(s.Uint32())), int64(Hit(s.Uint32(), Logistic(37))), int64(s.Below(1000)))
	}
	require.Equal(t, uint64(0x2adac3d523e2ba71), print(t, record), "a thousand ticks")
}
