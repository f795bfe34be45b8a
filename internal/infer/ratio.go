package infer

import "math"

// Ratio is a ratio of two estimates with the set of values that they do not rule out.
type Ratio struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
	Told  bool    `json:"told"` // false: the denominator is not told from zero, and Low and High are the limits given
}

// fieller gives the ratio u/v of two normal estimates with variances and covariance: all R for which u - R·v is within q standard errors of zero
// (Fieller 1954, J. R. Stat. Soc. B 16, 175–185; from memory), cut off at the limits low and high. Where v itself is within q standard errors
// of zero, or below it, nothing is told.
func fieller(u, v, varU, varV, cov, q, low, high float64) Ratio {
	if u == 0 && varU == 0 {
		return Ratio{Told: v > 0 && v*v > q*q*varV}
	}
	r := Ratio{Value: u / v, Low: low, High: high}
	if v == 0 {
		r.Value = 0
	}
	a := v*v - q*q*varV
	if v <= 0 || a <= 0 {
		return r
	}
	b, c := u*v-q*q*cov, u*u-q*q*varU
	half := math.Sqrt(max(b*b-a*c, 0)) / a
	r.Low, r.High, r.Told = min(max(b/a-half, low), high), max(min(b/a+half, high), low), true
	return r
}

// ratioOfMeans is the ratio of the means of paired values, by Student's t with one degree of freedom less than pairs.
func ratioOfMeans(u, v []float64, level, low, high float64) Ratio {
	n := float64(len(u))
	var mu, mv, uu, vv, uv float64
	for i := range u {
		mu, mv = mu+u[i]/n, mv+v[i]/n
	}
	for i := range u {
		a, b := u[i]-mu, v[i]-mv
		uu, vv, uv = uu+a*a, vv+b*b, uv+a*b
	}
	by := n * (n - 1)
	return fieller(mu, mv, uu/by, vv/by, uv/by, studentQuantile(level, n-1), low, high)
}
