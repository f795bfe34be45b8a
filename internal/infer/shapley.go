package infer

import "math/bits"

// A sharing game says what each set of members is worth together; sets are masks, bit i for member i. Its Shapley shares say what each member
// does: the mean, over all orders in which the members can come together, of what a member adds when it comes (Shapley 1953, A value for n-person
// games, Contributions to the Theory of Games II, 307–317). They add up to what all are worth together less what nobody is, give nothing to a
// member that never adds anything, and the same to members that add the same.

// Margin is what a member adds: the worth of With less that of Without, counted Weight times.
type Margin struct {
	With, Without uint32
	Weight        float64
}

// Everybody is the set of n members, at most 32.
func Everybody(n int) uint32 { return uint32(1<<n - 1) }

// Shapley gives the margins whose weighted sum is each member's share, over all sets. Their number doubles with every member: n is from 1 to 20.
func Shapley(n int) [][]Margin {
	if n < 1 || n > 20 {
		panic("infer: shares over all sets are for 1 to 20 members")
	}
	weight := make([]float64, n) // by how many came before: s!(n-1-s)!/n! = 1/(n·C(n-1, s))
	choose := 1.0
	for s := range weight {
		weight[s] = 1 / (float64(n) * choose)
		choose = choose * float64(n-1-s) / float64(s+1)
	}
	out := make([][]Margin, n)
	for set := range Everybody(n) + 1 {
		for i := range n {
			if set>>i&1 == 0 {
				out[i] = append(out[i], Margin{set | 1<<i, set, weight[bits.OnesCount32(set)]})
			}
		}
	}
	return out
}

// Walk gives the margins along one order of the members and back along it, each half. Over orders drawn at random their sums are unbiased for
// the Shapley shares, and in each order they add up as the shares do (Castro, Gómez & Tejada 2009, Comput. Oper. Res. 36, 1726–1730; the way
// back makes early and late places even out). order holds each of 0 to n-1 once, n at most 32.
func Walk(order []int) [][]Margin {
	out := make([][]Margin, len(order))
	set, back := uint32(0), uint32(0)
	for k, i := range order {
		out[i] = append(out[i], Margin{set | 1<<i, set, .5})
		set |= 1 << i
		j := order[len(order)-1-k]
		out[j] = append(out[j], Margin{back | 1<<j, back, .5})
		back |= 1 << j
	}
	return out
}

// Sum adds margins up. What is worth the same with and without adds exactly nothing.
func Sum(margins []Margin, worth func(set uint32) float64) (sum float64) {
	for _, m := range margins {
		sum += m.Weight * (worth(m.With) - worth(m.Without))
	}
	return sum
}
