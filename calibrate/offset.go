package calibrate

import (
	"math"
	"slices"

	"whatbout/internal/infer"
	"whatbout/tape"
)

// Offset is how far the second coder's clock is ahead of the first's, seconds: the median over matched acts of the same kind.
type Offset struct {
	infer.Interval
	Corrected bool `json:"corrected"` // the interval leaves out zero: the clocks were shifted by the centre before agreement was computed
}

// offsetReach is how far apart two clocks may be for an offset to be found, µs.
const offsetReach = 3_000_000

// offsetRounds bounds the search for a median that its own matching gives back.
const offsetRounds = 10

// offsetOf estimates the offset: a first guess is where most differences of like acts within offsetReach lie densest, a window wide on either
// side; then acts are matched, the median of their differences taken as the offset, and matched again until it stays.
func offsetOf(b *tape.Bout, first, second *tape.Coding, window int64, level float64) (Offset, int64) {
	acts, others := actsOf(b, first, 0), actsOf(b, second, 0)
	sortActs(acts)
	sortActs(others)
	shift := densest(alikeApart(acts, others), window)
	var apart []float64
	for range offsetRounds {
		apart = apart[:0]
		m := matchActs(actsOf(b, first, shift), actsOf(b, second, -shift), window)
		for _, p := range m.pairs {
			if a, o := &m.firstActs[p.first], &m.secondActs[p.second]; a.Act == o.Act {
				apart = append(apart, float64(o.Clock-a.Clock)/1e6)
			}
		}
		next := int64(math.Round(infer.Median(apart, level).Centre * 1e6))
		if next == shift {
			break
		}
		shift = next
	}
	o := Offset{Interval: infer.Median(apart, level)}
	o.Corrected = len(o.Warnings) == 0 && !o.Holds(0)
	if !o.Corrected {
		shift = 0
	}
	return o, shift
}

// alikeApart lists the differences of clocks, second less first, of acts of one kind within offsetReach, in rising order. Acts are in the
// order of time.
func alikeApart(first, second []codedAct) (out []int64) {
	from := 0
	for i := range first {
		a := &first[i]
		for from < len(second) && (second[from].Round < a.Round || second[from].Round == a.Round && second[from].Clock < a.Clock-offsetReach) {
			from++
		}
		for j := from; j < len(second) && second[j].Round == a.Round && second[j].Clock <= a.Clock+offsetReach; j++ {
			if o := &second[j]; o.Act == a.Act && o.Corner == a.Corner {
				out = append(out, o.Clock-a.Clock)
			}
		}
	}
	slices.Sort(out)
	return out
}

// densest is the middle of the values that most others lie within two windows of; of several such places, their mean. Negative values give the
// negative of it.
func densest(sorted []int64, window int64) int64 {
	most, sum, places := 0, 0.0, 0.0
	end, before := 0, -1
	for i, x := range sorted {
		for end < len(sorted) && sorted[end] <= x+2*window {
			end++
		}
		middle := float64(x+sorted[end-1]) / 2
		switch n := end - i; {
		case n > most:
			most, sum, places, before = n, middle, 1, end
		case n == most && end != before:
			sum, places, before = sum+middle, places+1, end
		}
	}
	if places == 0 {
		return 0
	}
	return int64(math.Round(sum / places))
}
