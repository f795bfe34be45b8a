package kernel

import "math"

// Certain is the threshold of an event that always happens; 0 is that of one that never does.
const Certain uint64 = 1 << 32

// Threshold returns the chance p, from 0 to 1, as a threshold: p·2^32 to the nearest whole number, so 1 always succeeds and 0 never
// does; the rounding moves p by at most 2^-33. It panics if p is not a number or out of range.
func Threshold(p float64) uint64 {
	if !(p >= 0 && p <= 1) {
		panic("kernel: a chance lies from 0 to 1")
	}
	return uint64(math.Round(p * float64(Certain)))
}

// Hit returns 1 if the draw u makes an event of that threshold happen and 0 if not, without a branch: add it to counters, or pick
// by it, where the outcome is hard to foresee. threshold is at most [Certain].
func Hit(u uint32, threshold uint64) uint64 { return (uint64(u) - threshold) >> 63 }
