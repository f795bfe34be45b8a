package infer

import (
	"math/bits"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

func shapley(n int, worth func(uint32) float64) []float64 {
	out := make([]float64, n)
	for i, margins := range Shapley(n) {
		out[i] = Sum(margins, worth)
	}
	return out
}

// Published games whose shares are known.
func TestShapleyOfKnownGames(t *testing.T) {
	flag := func(x bool) float64 {
		if x {
			return 1
		}
		return 0
	}
	// Glove game: one has a left glove, two have a right one each; a pair is worth 1. Shares 2/3, 1/6, 1/6 (a textbook's first example, as in
	// Osborne & Rubinstein 1994, A Course in Game Theory, chapter 14; from memory).
	glove := shapley(3, func(s uint32) float64 { return flag(s&1 == 1 && s>>1 != 0) })
	require.InDeltaSlice(t, []float64{2. / 3, 1. / 6, 1. / 6}, glove, 1e-15)

	// Three members who decide by majority: a third each (Shapley 1953; from memory).
	majority := shapley(3, func(s uint32) float64 { return flag(bits.OnesCount32(s) >= 2) })
	require.InDeltaSlice(t, []float64{1. / 3, 1. / 3, 1. / 3}, majority, 1e-15)

	// Airport game: a runway must do for the largest of those who share it. For costs of 8, 11, 13 and 18 the fees are 2, 3, 4 and 9: each part of
	// the runway is shared alike by those who need it (Littlechild & Owen 1973, Manag. Sci. 20, 370–372; the numbers from memory, and
	// 8/4 = 2, + 3/3 = 3, + 2/2 = 4, + 5/1 = 9).
	costs := []float64{8, 11, 13, 18}
	airport := shapley(4, func(s uint32) (most float64) {
		for i, c := range costs {
			if s>>i&1 == 1 {
				most = max(most, c)
			}
		}
		return most
	})
	require.InDeltaSlice(t, []float64{2, 3, 4, 9}, airport, 1e-12)

	// The Security Council of 1954: seven of eleven votes, five of them with a veto. The five hold 98.7 per cent of the power (Shapley & Shubik 1954,
	// Am. Polit. Sci. Rev. 48, 787–792; from memory). Exact: another member decides only in seventh place after the five and one more of the
	// other five, 5·6!·4!/11! = 1/462 each, so that a permanent one has (1 - 6/462)/5 = 76/385.
	council := shapley(11, func(s uint32) float64 { return flag(s&31 == 31 && bits.OnesCount32(s) >= 7) })
	for i, x := range council {
		want := 76. / 385
		if i >= 5 {
			want = 1. / 462
		}
		require.InDelta(t, want, x, 1e-13)
	}
	require.InDelta(t, .987, council[0]+council[1]+council[2]+council[3]+council[4], .0005)
}

// Exact: the axioms on games without any structure, for every number of members up to seven.
func TestShapleyAxioms(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for n := 1; n <= 7; n++ {
		values := make([]float64, 1<<n)
		for s := range values {
			values[s] = r.NormFloat64()
		}
		worth := func(s uint32) float64 { return values[s] }
		sum := 0.0
		for _, x := range shapley(n, worth) {
			sum += x
		}
		require.InDelta(t, values[Everybody(n)]-values[0], sum, 1e-12, "they add up")
		if n < 2 {
			continue
		}
		dummy := shapley(n, func(s uint32) float64 { return values[s&^2] })
		require.Zero(t, dummy[1], "a member that adds nothing gets exactly nothing")
		twins := shapley(n, func(s uint32) float64 { // of members 0 and 1 only how many there are counts
			return values[s&^3|uint32(bits.OnesCount32(s&3))&1|uint32(bits.OnesCount32(s&3))&2]
		})
		require.InDelta(t, twins[0], twins[1], 1e-12, "the same to members that add the same")
	}
	require.Panics(t, func() { Shapley(0) })
	require.Panics(t, func() { Shapley(21) })
	require.Equal(t, ^uint32(0), Everybody(32))
}

// Exact: the mean of what members add over all 24 orders of four is the Shapley share, which is how Shapley (1953) reads it; along each order
// and back they add up; and a member that adds nothing gets nothing along every one.
func TestWalksAverageToShapley(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	const n = 4
	var values [1 << n]float64
	for s := range values {
		values[s] = r.NormFloat64()
	}
	worth := func(s uint32) float64 { return values[s] }
	want, got, orders := shapley(n, worth), make([]float64, n), 0.0
	var each func(order []int, left uint32)
	each = func(order []int, left uint32) {
		for i := range n {
			if left>>i&1 == 1 {
				each(append(order[:len(order):len(order)], i), left&^(1<<i))
			}
		}
		if left != 0 {
			return
		}
		orders++
		sum := 0.0
		for i, margins := range Walk(order) {
			x := Sum(margins, worth)
			got[i] += x
			sum += x
			if i == 2 {
				require.Zero(t, Sum(margins, func(s uint32) float64 { return values[s&^4] }))
			}
		}
		require.InDelta(t, values[Everybody(n)]-values[0], sum, 1e-12)
	}
	each(nil, Everybody(n))
	require.Equal(t, 24.0, orders)
	for i := range got {
		require.InDelta(t, want[i], got[i]/orders, 1e-12)
	}
}
