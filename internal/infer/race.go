package infer

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// Race is the rule by which several options get draws until it is known well enough which to take, larger being better. All play the same
// draws in the same order, so that the first n values of two options are pairs, and an option may stop earlier than others.
//
// At a look the leader is the option that would give least away, by the sum over its rivals of the expected loss of each gap ([ExpectedLoss] of
// the paired differences): a bound from above on the expected loss against the best of them (Bonferroni; rule EOC of Branke, Chick & Schmidt
// 2007, Manag. Sci. 53, 1916–1932, from memory). The race is over when that is so low that what is given away is within Tolerance. Until then the draws in all grow by a quarter from
// look to look and go where they lower the loss most (optimal computing budget allocation for the linear loss: He, Chick & Chen 2007, IEEE Trans.
// Syst. Man Cybern. C 37, 951–961, from memory), with two changes for pairs: the standard deviation is that of the paired difference, and the
// leader has as many draws as the rival that has most.
type Race struct {
	Tolerance float64 // expected loss that may be left, in the unit of the values; above 0
	First     int     // draws of every option before the first look, from 10
	Most      int     // draws of one option
}

// grow is by what the draws in all grow from look to look.
const grow = 1.25

// hopeful is the part of the tolerance that the bound must come down to. Looking again and again and stopping when it looks good makes the bound
// too hopeful: for two options whose gap is three to twelve times the tolerance, what is really given away comes to as much as 1.36 times the
// bound at which the race was stopped (simulated, race_test.go; for other gaps it is less, for several options the bound is too cautious).
const hopeful = .7

func (r Race) aim() float64 { return hopeful * r.Tolerance }

// AnyLook is the level at which an interval must be computed at that look, counted from 1, so that intervals hold with the wanted level at whatever
// look the race stops: the chances to miss are shared out as 6/(π²·look²), whose sum is 1 (Bonferroni).
func AnyLook(level float64, look int) float64 {
	return 1 - (1-level)*6/(math.Pi*math.Pi*float64(look)*float64(look))
}

// Together is the level of each of several intervals that shall hold together (Bonferroni).
func Together(level float64, intervals int) float64 { return 1 - (1-level)/float64(intervals) }

// Standing is how the race stands at a look. All lists are by option; what is not in the race has 0.
type Standing struct {
	Leader  int
	Gap     []float64 // the leader's mean less its own, over the draws that both have
	SE      []float64
	SD      []float64 // of the paired difference from draw to draw
	DF      []float64
	Loss    []float64 // expected loss of taking the leader if this option were the only other
	Total   float64   // their sum: what taking the leader gives away at most, on average, as far as the draws tell
	Reached bool
	Next    []int // draws that each option shall have at the next look; nil: the race is over
	Needed  int   // if over without reaching: draws of one option that it would take, going by what was seen
}

// Look tells how the race stands. values holds the draws of each option; those not in the race are not read.
func (r Race) Look(values [][]float64, in []bool) Standing {
	var best Standing
	found := false
	for i := range values {
		if !in[i] {
			continue
		}
		if s := standing(values, in, i); !found || s.Total < best.Total {
			best, found = s, true
		}
	}
	if !found {
		panic("infer: a race without options")
	}
	best.Reached = best.Total <= r.aim()
	if !best.Reached {
		best.Next = r.next(&best, values, in)
		if best.Next == nil {
			best.Needed = needed(len(values[best.Leader]), best.Total/r.aim())
		}
	}
	return best
}

// standing is how the race stands if that option is taken.
func standing(values [][]float64, in []bool, leader int) Standing {
	k := len(values)
	s := Standing{Leader: leader, Gap: make([]float64, k), SE: make([]float64, k), SD: make([]float64, k), DF: make([]float64, k), Loss: make([]float64, k)}
	for i := range values {
		if i == leader || !in[i] {
			continue
		}
		d := paired(values[leader], values[i])
		s.Gap[i], s.SD[i], s.SE[i], s.DF[i] = d.Mean(), math.Sqrt(d.squares()/(d.N-1)), math.Sqrt(d.squares()/(d.N-1)/d.N), d.N-1
		s.Loss[i] = ExpectedLoss(s.Gap[i], s.SE[i], s.DF[i])
		s.Total += s.Loss[i]
	}
	return s
}

// paired sums differences over the draws that both have.
func paired(x, y []float64) (d Group) {
	for i := range min(len(x), len(y)) {
		d.Add(x[i] - y[i])
	}
	return d
}

// next hands out draws; nil if those options which may still get some cannot bring the loss within the tolerance.
func (r Race) next(s *Standing, values [][]float64, in []bool) []int {
	stuck, budget := 0.0, 0.0
	for i := range values {
		if !in[i] {
			continue
		}
		budget += grow * float64(len(values[i]))
		if i != s.Leader && min(len(values[i]), len(values[s.Leader])) >= r.Most {
			stuck += s.Loss[i]
		}
	}
	if stuck > r.aim() {
		return nil
	}
	worth := solve(-budget, -40, 40, func(log float64) float64 {
		sum := 0.0
		for i, n := range r.shared(math.Exp(log), s, values, in) {
			if in[i] {
				sum -= float64(n)
			}
		}
		return sum
	})
	next := r.shared(math.Exp(worth), s, values, in)
	for i, n := range next {
		if n > len(values[i]) {
			return next
		}
	}
	return nil
}

// shared gives every rival draws until a further one wins no more than worth (as a share of the tolerance), none fewer than it has, and the leader
// as many as any rival.
func (r Race) shared(worth float64, s *Standing, values [][]float64, in []bool) []int {
	out := make([]int, len(values))
	for i := range out {
		out[i] = len(values[i])
		if in[i] && i != s.Leader && s.SD[i] > 0 {
			out[i] = max(out[i], s.draws(i, worth*r.Tolerance, r.Most))
		}
	}
	for i, n := range out {
		if in[i] {
			out[s.Leader] = max(out[s.Leader], n)
		}
	}
	return out
}

// draws is how many of an option's it takes until a further one lowers the expected loss by no more than worth, by the gap and the spread seen so
// far: the loss s·Ψ(gap/s) falls by φ(gap/s)·s/(2n) a draw, s = SD/√n.
func (s *Standing) draws(i int, worth float64, most int) int {
	return sort.Search(most, func(n int) bool {
		se := s.SD[i] / math.Sqrt(float64(n+1))
		return distuv.UnitNormal.Prob(s.Gap[i]/se)*se/(2*float64(n+1)) <= worth
	})
}
