package kernel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTicksArePoisson(t *testing.T) {
	// Counts in 100 s at 3 a second: mean and variance 300 (exact; the grid of microseconds takes off 0.5e-6·3 of the rate). The
	// variance of a sample variance over n is about 2·300²/n; 4.9 of its SE.
	const n, span = 20000, 100 * second
	counts := sample{}
	for bout := range uint64(n) {
		ticks := NewTicks(NewKey(1, 0, bout, 1, 0), MeanGap(3))
		count := 0.0
		for at, _ := ticks.Next(); at <= span; at, _ = ticks.Next() {
			count++
		}
		counts.add(count)
	}
	near(t, "ticks", counts.mean(), 300, math.Sqrt(300.0/n))
	near(t, "variance of ticks", counts.squares/n-counts.mean()*counts.mean(), 300, 300*math.Sqrt((2+1.0/300)/n))
}

func TestTicksComeFromTheKeyAlone(t *testing.T) {
	a, b := NewTicks(NewKey(1, 2), MeanGap(5)), NewTicks(NewKey(1, 2), MeanGap(5))
	other := NewTicks(NewKey(1, 3), MeanGap(5))
	last := int64(0)
	for i := range 1000 {
		at, draw := a.Next()
		for s, take := a.Key(a.Count()).Stream(), i%7; take > 0; take-- { // using up draws of a tick moves nothing later
			s.Uint64()
		}
		againAt, againDraw := b.Next()
		require.Equal(t, at, againAt)
		require.Equal(t, draw, againDraw)
		require.Equal(t, a.Key(a.Count()), b.Key(b.Count()))
		require.Greater(t, at, last)
		last = at
		_, otherDraw := other.Next()
		require.NotEqual(t, draw, otherDraw)
		require.NotEqual(t, a.Key(a.Count()), other.Key(other.Count()))
	}
	require.Zero(t, testing.AllocsPerRun(10, func() {
		ticks := NewTicks(NewKey(1), MeanGap(5))
		_, draw := ticks.Next()
		s := ticks.Key(ticks.Count()).Stream()
		last += int64((s.Uint64() ^ draw) >> 60)
	}))
}

func TestThinnedTicksAreCompetingClocks(t *testing.T) {
	// E5.8 (exact): rates 1, 2, 3: first with chances 1/6, 1/3, 1/2, mean of the minimum 1/6 s, whatever the bound (here 10).
	var table Table
	require.NoError(t, table.SetRates([]float64{1, 2, 3}, 10))
	const n = 300_000
	var first [3]int
	var least sample
	for bout := range uint64(n) {
		ticks := NewTicks(NewKey(2, bout), MeanGap(10))
		for {
			at, draw := ticks.Next()
			if act := table.Pick(uint32(draw)); act < 3 {
				first[act]++
				least.add(float64(at) / second)
				break
			}
		}
	}
	for i, p := range []float64{1.0 / 6, 1.0 / 3, 1.0 / 2} {
		nearShare(t, "first", first[i], n, p)
	}
	near(t, "minimum", least.mean(), 1.0/6, 1.0/6/math.Sqrt(n))
}

func TestGapsShareNoStreamWithTheTicks(t *testing.T) {
	ticks := NewTicks(NewKey(3, 4), MeanGap(5))
	draws := ticks.draws
	for range 1000 {
		ticks.Next()
		require.NotEqual(t, draws, ticks.Key(ticks.Count()).Stream())
	}
}
