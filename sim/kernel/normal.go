package kernel

import (
	"math"
	"math/bits"
)

// NormalUnit is the number of units in one standard deviation.
const NormalUnit = 1024

// The table has 64 cells in each of the 32 octaves of tail probability that a 32-bit draw can reach. Its nodes carry 15 bits of
// fraction beyond NormalUnit.
const (
	tailCellBits = 6
	tailCells    = 1 << tailCellBits
	tailInside   = 31 - tailCellBits
	tailFraction = 15
)

// Normal returns the standard normal deviate that belongs to the draw u, in units of 1/[NormalUnit]: the quantile of (u+½)/2^32. It
// grows with u, Normal(^u) = -Normal(u), and the ends are ±6.34 standard deviations. The error is below 0.0006 standard deviations
// everywhere: half a unit of rounding, and less than 0.0001 from linear interpolation.
func Normal(u uint32) int32 {
	upper := uint32(int32(u) >> 31) // all ones in the upper half, which mirrors the lower one
	tail := (u^upper)<<1 | 1        // the tail probability in units of 2^-33
	octave := bits.Len32(tail) - 1
	tail <<= uint(31-octave) & 31
	cell := octave<<tailCellBits + int(tail>>tailInside&(tailCells-1))
	outer, inner := int64(normalNodes[cell]), int64(normalNodes[cell+1])
	inside := int64(tail & (1<<tailInside - 1))
	z := outer - (outer-inner)*inside>>tailInside
	distance := int32((z + 1<<(tailFraction-1)) >> tailFraction)
	lower := int32(^upper)
	return distance ^ lower - lower
}

// normalNodes holds the distance from the mean at which the tail has probability (1+c/64)·2^(o-33), for cell c of octave o, in units
// of 2^-15/NormalUnit.
var normalNodes = newNormalNodes()

func newNormalNodes() (nodes [32*tailCells + 1]int32) {
	for i := range nodes {
		p := math.Ldexp(float64(tailCells+i%tailCells), i/tailCells-33-tailCellBits)
		nodes[i] = int32(math.Round(normalDistance(p) * (NormalUnit << tailFraction)))
	}
	return nodes
}

// normalDistance returns the z > 0 above which a standard normal lies with probability p, for p from 2^-33 to ½, by Wichura's
// algorithm AS 241 (1988, Applied Statistics 37, 477-484, routine PPND16, relative accuracy about 1e-16), whose third branch, for
// p < e^-25, is out of reach here.
func normalDistance(p float64) float64 {
	if q := 0.5 - p; q <= 0.425 {
		r := 0.180625 - float64(q*q)
		return q * (polynomial(r, wichuraA[:]...) / polynomial(r, wichuraB[:]...))
	}
	r := math.Sqrt(-logarithm(p)) - 1.6
	return polynomial(r, wichuraC[:]...) / polynomial(r, wichuraD[:]...)
}

// Coefficients of AS 241 in its notation, lowest power first.
var (
	wichuraA = [8]float64{
		3.3871328727963666080e0, 1.3314166789178437745e2, 1.9715909503065514427e3, 1.3731693765509461125e4,
		4.5921953931549871457e4, 6.7265770927008700853e4, 3.3430575583588128105e4, 2.5090809287301226727e3,
	}
	wichuraB = [8]float64{
		1, 4.2313330701600911252e1, 6.8718700749205790830e2, 5.3941960214247511077e3,
		2.1213794301586595867e4, 3.9307895800092710610e4, 2.8729085735721942674e4, 5.2264952788528545610e3,
	}
	wichuraC = [8]float64{
		1.42343711074968357734e0, 4.63033784615654529590e0, 5.76949722146069140550e0, 3.64784832476320460504e0,
		1.27045825245236838258e0, 2.41780725177450611770e-1, 2.27238449892691845833e-2, 7.74545014278341407640e-4,
	}
	wichuraD = [8]float64{
		1, 2.05319162663775882187e0, 1.67638483018380384940e0, 6.89767334985100004550e-1,
		1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4, 1.05075007164441684324e-9,
	}
)
