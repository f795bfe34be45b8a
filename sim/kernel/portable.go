package kernel

import "math"

// Exp, Log and Pow of the standard library may differ in the last bit between targets, and x*y+z may be fused into one rounding.
// The functions here round every product by itself, so that the tables built from them are the same everywhere.

// polynomial returns c[0] + c[1]·x + c[2]·x² + ... by Horner's rule.
func polynomial(x float64, c ...float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = float64(sum*x) + c[i]
	}
	return sum
}

// logarithm returns ln x for finite x > 0, with a relative error of a few 2^-53: x = m·2^e with m from √½ to √2, and
// ln m = 2·artanh((m-1)/(m+1)) by its power series.
func logarithm(x float64) float64 {
	m, e := math.Frexp(x)
	if m < math.Sqrt2/2 {
		m, e = 2*m, e-1
	}
	s := (m - 1) / (m + 1)
	square := float64(s * s)
	sum := 0.0
	for n := 25; n >= 1; n -= 2 { // |s| < 0.172, so the next term is below 0.172^27/27 < 2^-70
		sum = float64(sum*square) + 1/float64(n)
	}
	return float64(float64(e)*math.Ln2) + float64(2*float64(s*sum))
}

// exponent returns e^x for |x| <= 700, with a relative error of a few 2^-53 for |x| <= 8: x = n·ln 2 + r with |r| <= ln(2)/2, and
// e^r by its power series.
func exponent(x float64) float64 {
	n := math.Round(float64(x / math.Ln2))
	r := x - float64(n*math.Ln2)
	sum := 1.0
	for i := 18; i >= 1; i-- { // 0.347^19/19! < 2^-85
		sum = float64(float64(sum*r)/float64(i)) + 1
	}
	return math.Ldexp(sum, int(n))
}
