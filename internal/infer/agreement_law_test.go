package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/combin"
	"gonum.org/v1/gonum/stat/distuv"
)

// Full agreement is 1 by every coefficient, and the interval does not close up: its lower bound is that of Wilson's share.
func TestFullAgreement(t *testing.T) {
	table := Crosstab{{12, 0}, {0, 8}}
	for name, c := range map[string]Coefficient{"kappa": Kappa(table, .95), "weighted": WeightedKappa(table, LinearWeights(2), .95),
		"fleiss": FleissKappa(RatedPairs(table), .95), "ac1": AC1(RatedPairs(table), .95),
		"alpha": Alpha(byObserver("aaaaaaaaaaaabbbbbbbb", "aaaaaaaaaaaabbbbbbbb"), Nominal, .95, 100, random(2))} {
		require.Equal(t, 1., c.Centre, name)
		require.Equal(t, 1., c.High, name)
		require.Zero(t, c.SE+c.Apart, name)
		low := (Wilson(20, 20, .95).Low - c.Expected) / (1 - c.Expected)
		require.InDelta(t, low, c.Low, 1e-12, name)
		require.NotEmpty(t, c.Warnings, name)
	}
}

// One code only: chance alone agrees on everything, so there is nothing to estimate. No units: the same.
func TestNotDefined(t *testing.T) {
	for _, table := range []Crosstab{{{5}}, {{5, 0}, {0, 0}}, {{0, 0}, {0, 0}}} {
		require.False(t, Kappa(table, .95).Defined)
		require.False(t, FleissKappa(RatedPairs(table), .95).Defined)
	}
	require.False(t, Alpha([][]float64{{1, 1}, {1, 1}}, Nominal, .95, 100, random(3)).Defined)
	require.False(t, Alpha([][]float64{{1}, {2}}, Nominal, .95, 100, random(3)).Defined)
	require.False(t, OverBlocks(nil, .95, 100, random(3)).Kappa.Defined)
	// AC1 knows of codes that nobody used, and then full agreement is 1.
	require.Equal(t, 1., AC1(RatedPairs(Crosstab{{5, 0}, {0, 0}}), .95).Centre)
	require.Panics(t, func() { Kappa(Crosstab{{1, 2}}, .95) })
	require.Panics(t, func() { Alpha([][]float64{{1, 2}, {1, 1}}, Nominal, .95, 100, nil) })
}

// Coverage of the intervals: 400 samples of 150 units from two coders who agree with probability .8 and else guess at the shares .5, .3,
// .2. Each coefficient's truth follows: p_o = .8 + .2·Σπ², p_e = Σπ² = .38, so κ = π = α = .8; AC1's p_e is Σπ(1-π)/2 = .31 and
// AC1 = (.876-.31)/.69. Covered shares have a standard error √(.95·.05/400) = .011; normal and bootstrap bounds from 150 units are
// granted .02 of their level besides.
func TestCoverageOfAgreement(t *testing.T) {
	const samples, units = 400, 150
	r := random(4)
	code := func() int {
		switch u := r.Float64(); {
		case u < .5:
			return 0
		case u < .8:
			return 1
		}
		return 2
	}
	hits := map[string]int{}
	var centre Group
	for range samples {
		table := NewCrosstab(3)
		var values [][]float64
		for range units {
			a, b := code(), code()
			if r.Float64() < .8 {
				b = a
			}
			table[a][b]++
			values = append(values, []float64{float64(a), float64(b)})
		}
		k := Kappa(table, .95)
		centre.Add(k.Centre)
		for name, c := range map[string]Coefficient{"kappa": k, "fleiss": FleissKappa(RatedPairs(table), .95),
			"alpha": Alpha(values, Nominal, .95, 400, r)} {
			if c.Holds(.8) {
				hits[name]++
			}
		}
		if AC1(RatedPairs(table), .95).Holds((.876 - .31) / .69) {
			hits["ac1"]++
		}
	}
	for _, name := range []string{"kappa", "fleiss", "alpha", "ac1"} {
		covers(t, name, hits[name], samples, .95, .02)
	}
	// A ratio of means is off by the order of 1/units: granted 1/150.
	near(t, "kappa", centre, .8, 1./units)
}

// Blocks in which the state hardly changes know less than their seconds: 300 samples of 60 blocks, in each of which coders agree all the time or,
// with chance .2, not at all. The share that agrees is .8; its bounds over blocks cover, those of 600 single seconds would not.
func TestBlocksCover(t *testing.T) {
	const samples = 300
	r := random(5)
	hits, single := 0, 0
	for range samples {
		var blocks []Crosstab
		agreed := 0.0
		for range 60 {
			b := NewCrosstab(2)
			a := r.IntN(2)
			other := a
			if r.Float64() < .2 {
				other = 1 - a
			} else {
				agreed += 10
			}
			b[a][other] = 10
			blocks = append(blocks, b)
		}
		over := OverBlocks(blocks, .95, 400, r)
		require.InDelta(t, agreed/600, over.Share.Centre, 1e-12)
		if over.Share.Holds(.8) {
			hits++
		}
		if Wilson(agreed, 600, .95).Holds(.8) {
			single++
		}
	}
	covers(t, "blocks", hits, samples, .95, .03) // percentile bounds of 60 blocks: granted .03
	require.Less(t, single, samples*3/4)
}

// By time the point estimates are those of the summed table, and alpha is Scott's pi.
func TestBlocksAddUp(t *testing.T) {
	half := Crosstab{{6.5, 0, 0}, {0, 10, 3.5}, {0, 2, 28}}
	over := OverBlocks([]Crosstab{half, half}, .95, 100, random(6))
	rows := agreementRows(t)
	relative(t, "kappa", over.Kappa.Centre, rows["A1.12k"].Value[0], 1e-9)
	relative(t, "Scott's pi", over.Alpha.Centre, rows["A1.12p"].Value[0], 1e-9)
	relative(t, "AC1", over.AC1.Centre, rows["A1.12"].Value[0], 1e-9)
}

// The order statistics of a median cover with 1 - 2·P(Bin(n, ½) < k) ≥ the level, and one further in would not (exact).
func TestMedianOrder(t *testing.T) {
	for _, n := range []int{6, 7, 20, 101, 500} {
		values := make([]float64, n)
		for i := range values {
			values[n-1-i] = float64(i + 1) // the order statistic k has the value k
		}
		i := Median(values, .95)
		require.Equal(t, float64(n+1)/2, i.Centre)
		require.Equal(t, float64(n+1), i.Low+i.High)
		half := distuv.Binomial{N: float64(n), P: .5}
		require.GreaterOrEqual(t, 1-2*half.CDF(i.Low-1), .95, n)
		require.Less(t, 1-2*half.CDF(i.Low), .95, n)
	}
	require.NotEmpty(t, Median([]float64{1, 2, 3}, .95).Warnings)
	require.NotEmpty(t, Median(nil, .95).Warnings)
}

// Chapman's estimator and Seber's variance are unbiased when the two coders together see at least N events, over the hypergeometric number that
// both see (Chapman 1951, Seber 1970; the sums here are exact): N = 20, the coders see 12 and 11.
func TestRecaptureUnbiased(t *testing.T) {
	const n, a, b = 20, 12, 11
	mean, square, variance := 0.0, 0.0, 0.0
	for both := a + b - n; both <= b; both++ {
		p := math.Exp(combin.LogGeneralizedBinomial(a, float64(both)) + combin.LogGeneralizedBinomial(n-a, float64(b-both)) -
			combin.LogGeneralizedBinomial(n, b))
		i := Recapture(a, b, float64(both), .95)
		require.LessOrEqual(t, i.Low, i.Centre)
		require.LessOrEqual(t, i.Centre, i.High)
		m := float64(both)
		mean, square = mean+p*i.Centre, square+p*i.Centre*i.Centre
		variance += p * (a + 1) * (b + 1) * (a - m) * (b - m) / ((m + 1) * (m + 1) * (m + 2))
	}
	require.InDelta(t, n, mean, 1e-9)
	require.InDelta(t, square-mean*mean, variance, 1e-9)
}

// Positive agreement of 2·90/(2·90+10+5) (exact), its bounds those of 90 in 105 (Wilson) through 2J/(1+J).
func TestPositiveAgreement(t *testing.T) {
	i := PositiveAgreement(90, 10, 5, .95)
	require.InDelta(t, 180./195, i.Centre, 1e-12)
	w := Wilson(90, 105, .95)
	require.InDelta(t, 2*w.Low/(1+w.Low), i.Low, 1e-12)
	require.InDelta(t, 2*w.High/(1+w.High), i.High, 1e-12)
	require.Equal(t, 1., PositiveAgreement(7, 0, 0, .95).Centre)
	m := Missed(90, 5, .95)
	require.InDelta(t, 5./95, m.Centre, 1e-12)
}
