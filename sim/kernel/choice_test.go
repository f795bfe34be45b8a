package kernel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// scan is inversion as a textbook writes it: walk the cumulative shares until the draw lies below.
func scan(weights []float64, whole float64, u uint32) int {
	cumulative := 0.0
	for i, w := range weights {
		cumulative += w
		if float64(u) < math.Floor(cumulative/whole*(1<<32)+0.5) {
			return i
		}
	}
	return len(weights)
}

func drawWeights(t *rapid.T) []float64 {
	weight := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 10), rapid.Float64Range(0, 1e-12))
	return rapid.SliceOfN(weight, 1, MaxAlternatives).Draw(t, "weights")
}

func total(weights []float64) (sum float64) {
	for _, w := range weights {
		sum += w
	}
	return sum
}

func TestPickIsTheScan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weights := drawWeights(t)
		var table Table
		if total(weights) == 0 {
			require.ErrorIs(t, table.Set(weights), ErrNoWeight)
			return
		}
		if rapid.Bool().Draw(t, "used before") { // a table that held more must forget it
			require.NoError(t, table.Set(make64()))
		}
		require.NoError(t, table.Set(weights))
		for _, u := range edges(t, &table) {
			got := table.Pick(u)
			require.Equal(t, scan(weights, total(weights), u), got, "u = %d", u)
			require.Positive(t, weights[got], "u = %d picks an alternative without weight", u)
		}
	})
}

func TestRatesAreTheScan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rates := drawWeights(t)
		bound := total(rates)*rapid.SampledFrom([]float64{1, 1 + 1e-12, 1.5, 100}).Draw(t, "room") + 1e-300
		var table Table
		require.NoError(t, table.SetRates(rates, bound))
		for _, u := range edges(t, &table) {
			require.Equal(t, scan(rates, bound, u), table.Pick(u), "u = %d", u)
		}
	})
}

// edges returns draws at, below and above every threshold, the ends, and some others.
func edges(t *rapid.T, table *Table) []uint32 {
	draws := append(rapid.SliceOfN(rapid.Uint32(), 10, 10).Draw(t, "draws"), 0, 1, math.MaxUint32-1, math.MaxUint32)
	for _, b := range table.blocks {
		for _, threshold := range b {
			draws = append(draws, threshold-1, threshold, threshold+1)
		}
	}
	return draws
}

func make64() []float64 {
	w := make([]float64, MaxAlternatives)
	for i := range w {
		w[i] = 1
	}
	return w
}

func TestUnusedAlternativesChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weights := rapid.SliceOfN(rapid.Float64Range(0.001, 10), 1, MaxAlternatives/2).Draw(t, "weights")
		var wide []float64
		var name []int // name[i] is the index among weights of alternative i of wide
		for i, w := range weights {
			for rapid.Bool().Draw(t, "unused before") && len(wide)+len(weights)-i < MaxAlternatives {
				wide, name = append(wide, 0), append(name, -1)
			}
			wide, name = append(wide, w), append(name, i)
		}
		var a, b Table
		require.NoError(t, a.Set(weights))
		require.NoError(t, b.Set(append(wide, make([]float64, MaxAlternatives-len(wide))...)))
		for _, u := range edges(t, &a) {
			require.Equal(t, a.Pick(u), name[b.Pick(u)], "u = %d", u)
		}
	})
}

func TestTableErrors(t *testing.T) {
	var table Table
	require.Equal(t, 0, table.Pick(math.MaxUint32), "the zero table")
	require.NoError(t, table.Set([]float64{0, 0, 1, 1}))
	before := table
	for _, bad := range [][]float64{{-1, 2}, {math.NaN()}, {math.Inf(1)}, {math.MaxFloat64, math.MaxFloat64}} {
		require.ErrorIs(t, table.Set(bad), ErrWeight)
		require.ErrorIs(t, table.SetRates(bad, 1), ErrWeight)
	}
	require.ErrorIs(t, table.Set(nil), ErrNoWeight)
	require.ErrorIs(t, table.Set([]float64{0, 0}), ErrNoWeight)
	require.ErrorIs(t, table.SetRates([]float64{0.6, 0.5}, 1), ErrBound)
	require.Equal(t, before, table, "an error leaves the table as it was")
	require.NoError(t, table.SetRates([]float64{0, 0}, 1))
	require.Equal(t, 2, table.Pick(0), "nothing happens at rate 0")
	require.PanicsWithValue(t, "kernel: too many alternatives", func() { _ = table.Set(make([]float64, 65)) })
	for _, bound := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		require.PanicsWithValue(t, "kernel: a bounding rate is positive and finite", func() { _ = table.SetRates([]float64{0}, bound) })
	}
}

func TestChoicesHaveTheirShares(t *testing.T) {
	weights := []float64{1, 0, 2, 3, 0.5, 0, 6}
	var table Table
	require.NoError(t, table.Set(weights))
	const n = 1 << 21
	var counts [7]int
	s := NewKey(9).Stream()
	for range n {
		counts[table.Pick(s.Uint32())]++
	}
	for i, w := range weights {
		if w == 0 {
			require.Zero(t, counts[i])
			continue
		}
		nearShare(t, "share", counts[i], n, w/12.5)
	}
}

func TestRemovingOneAlternativeKeepsMostChoices(t *testing.T) {
	// Inversion in a fixed order: when one of 16 equal weights goes, the two partitions of the unit interval agree by name on
	// Σ overlap. Removing the last of 16: alternative i takes [i/16, (i+1)/16) before and [i/15, (i+1)/15) after; they overlap by
	// (i+1)/16 - i/15 = (15-i)/240; summed over i = 0..14: 120/240 = ½ (exact).
	weights := make([]float64, 16)
	for i := range weights {
		weights[i] = 1
	}
	var base, plan Table
	require.NoError(t, base.Set(weights))
	weights[15] = 0
	require.NoError(t, plan.Set(weights))
	const n = 1 << 20
	same := 0
	s := NewKey(10).Stream()
	for range n {
		if u := s.Uint32(); base.Pick(u) == plan.Pick(u) {
			same++
		}
	}
	nearShare(t, "equal choices", same, n, 0.5)
}
