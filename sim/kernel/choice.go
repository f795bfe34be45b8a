package kernel

import (
	"errors"
	"math"
)

// MaxAlternatives is the largest number of alternatives of a [Table].
const MaxAlternatives = 64

// Errors of [Table.Set] and [Table.SetRates].
var (
	ErrNoWeight = errors.New("kernel: no alternative has any weight")
	ErrWeight   = errors.New("kernel: a weight is negative, infinite or not a number")
	ErrBound    = errors.New("kernel: the rates exceed their bound")
)

// Table chooses one of up to [MaxAlternatives] alternatives by inversion, in their order: alternative i takes the draws from threshold
// i-1 up to but not including threshold i. An alternative without weight takes none and moves no other's threshold, so adding
// alternatives that nobody uses changes no choice. The same draw under two tables gives the same alternative as far as their
// thresholds agree. The zero Table always picks 0.
type Table struct {
	count  int
	last   uint32 // the greatest threshold
	blocks [MaxAlternatives / blockSize][blockSize]uint32
}

// blockSize is how many thresholds are compared at a time; the last block is filled up with the greatest draw.
const blockSize = 4

// Set makes the chances proportional to weights, to the nearest 2^-32 each threshold. It returns [ErrWeight] or, if the total is 0,
// [ErrNoWeight], and then leaves the table as it was. It panics if there are more than [MaxAlternatives].
func (t *Table) Set(weights []float64) error {
	total, err := sum(weights)
	if err != nil {
		return err
	}
	if total == 0 {
		return ErrNoWeight
	}
	t.fill(weights, total)
	return nil
}

// SetRates gives alternative i the chance rates[i]/bound; the rest of the unit interval means that nothing happens, for which
// [Table.Pick] returns len(rates). At the ticks of a Poisson process of rate bound this makes every alternative a Poisson process
// of its own rate (thinning; Lewis & Shedler 1979), and rates may change with the state from tick to tick. It returns [ErrWeight], or
// [ErrBound] if the rates sum to more than bound, and then leaves the table as it was. It panics if bound is not positive and
// finite, or if there are more than [MaxAlternatives].
func (t *Table) SetRates(rates []float64, bound float64) error {
	if !(bound > 0 && bound <= math.MaxFloat64) {
		panic("kernel: a bounding rate is positive and finite")
	}
	total, err := sum(rates)
	if err != nil {
		return err
	}
	if total > bound {
		return ErrBound
	}
	t.fill(rates, bound)
	return nil
}

// sum adds the weights in their order.
func sum(weights []float64) (float64, error) {
	if len(weights) > MaxAlternatives {
		panic("kernel: too many alternatives")
	}
	total := 0.0
	for _, w := range weights {
		if !(w >= 0) {
			return 0, ErrWeight
		}
		total += w
	}
	if math.IsInf(total, 1) {
		return 0, ErrWeight
	}
	return total, nil
}

// fill stores the thresholds below 2^32; those at 2^32 lie above every draw and need not be counted.
func (t *Table) fill(weights []float64, whole float64) {
	t.count, t.last = 0, 0
	cumulative := 0.0
	for _, w := range weights {
		cumulative += w
		threshold := uint64(float64(cumulative/whole*float64(Certain)) + 0.5)
		if threshold >= Certain {
			break
		}
		t.blocks[t.count/blockSize][t.count%blockSize] = uint32(threshold)
		t.last = uint32(threshold)
		t.count++
	}
	for i := t.count; i%blockSize != 0; i++ {
		t.blocks[i/blockSize][i%blockSize] = math.MaxUint32
	}
}

// Beyond reports whether u lies beyond every threshold, as most draws do where rates are far below their bound; [Table.Pick] then
// returns the number of thresholds, and need not be asked.
func (t *Table) Beyond(u uint32) (int, bool) { return t.count, u >= t.last }

// Pick returns the alternative that the draw u falls on. It counts the thresholds at or below u and so has no branch that depends on u.
func (t *Table) Pick(u uint32) int {
	above := uint64(u) + 1
	passed := uint64(0)
	for i := range t.blocks[:(t.count+blockSize-1)/blockSize] {
		b := &t.blocks[i]
		passed += (uint64(b[0])-above)>>63 + (uint64(b[1])-above)>>63 + (uint64(b[2])-above)>>63 + (uint64(b[3])-above)>>63
	}
	return min(int(passed), t.count) // the greatest draw also passes what fills up the last block
}
