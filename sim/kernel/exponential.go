package kernel

import (
	"math"
	"math/bits"
)

// Mean is the mean of an exponential gap in units of 1/64 microsecond.
type Mean uint64

// The fixed point of a unit exponential variate: 58 bits of fraction leave 6 for the whole part, and -ln 2^-64 is 44.4. The unit of
// a Mean supplies the other 6 bits of the 64 by which the product of the two is shifted.
const (
	variateBits = 58
	meanBits    = 64 - variateBits
	cellBits    = 10
)

// MeanGap returns the mean gap of a process of perSecond events a second: 10^6/perSecond microseconds, rounded to 1/64. It panics
// unless perSecond lies from 10^-6 to 10^6.
func MeanGap(perSecond float64) Mean {
	if !(perSecond >= 1e-6 && perSecond <= 1e6) {
		panic("kernel: a rate lies from 1e-6 to 1e6 a second")
	}
	return Mean(math.Round((1e6 << meanBits) / perSecond))
}

// Exponential returns the gap that belongs to the draw u, in whole microseconds, at least 1: the ceiling of -mean·ln(u/2^64). It falls
// as u grows. The ceiling of an exponential is geometric, so a process of such gaps stays without memory on the grid of
// microseconds, never has two events at once, and has a mean gap half a microsecond above mean.
//
// The logarithm comes from 1024 cells an octave with linear interpolation in integers: the distribution function is exact
// at the nodes and off by less than 1.3e-7 between them.
func Exponential(u uint64, mean Mean) int64 {
	whole, _ := bits.Mul64(unitExponential(u), uint64(mean))
	return int64(whole) + 1
}

// unitExponential returns -ln(u/2^64) in units of 2^-58; u = 0 counts as 1.
func unitExponential(u uint64) uint64 {
	u |= 1
	octave := bits.LeadingZeros64(u)
	u <<= uint(octave) & 63
	cell := u >> (63 - cellBits) & (1<<cellBits - 1)
	upper := logNodes[cell]
	part, _ := bits.Mul64(upper-logNodes[cell+1], u<<(cellBits+1))
	return uint64(octave)*octaveLog + upper - part
}

// logNodes holds -ln(½ + i/2048) for i from 0 to 1024, and octaveLog ln 2, in units of 2^-58.
var (
	logNodes  = newLogNodes()
	octaveLog = fixedVariate(math.Ln2)
)

func newLogNodes() (nodes [1<<cellBits + 1]uint64) {
	for i := range nodes {
		nodes[i] = fixedVariate(-logarithm(float64(1<<cellBits+i) / (2 << cellBits)))
	}
	return nodes
}

func fixedVariate(x float64) uint64 { return uint64(math.Round(math.Ldexp(x, variateBits))) }
