package calibrate

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"whatbout/internal/infer"
)

// mixture is counts by what they were taken for, of events whose rates are wanted by what they were: counts[k] is Poisson with the mean
// Σ share[i][k]·exposure[i]·rate[i], and every rate has a gamma prior. With every share 1 on its own place it is the conjugate update.
type mixture struct {
	prior    []infer.Gamma // shape and rate above 0
	exposure []float64
	share    [][]float64 // by rate, then by what it is taken for; a row sums to at most 1
	counts   []float64
}

// posterior gives each rate as a gamma, and how many of the counts of each kind are taken to be its own. The centre is the mode of the logarithms of
// the rates, by EM (Dempster, Laird & Rubin 1977, J. R. Stat. Soc. B 39, 1–38); the shape is the inverse of the logarithm's variance at
// it, from the observed information: what complete counts would tell less what is lost by not knowing whose they are (Louis 1982,
// J. R. Stat. Soc. B 44, 226–233).
func (m *mixture) posterior() (rates []infer.Gamma, own [][]float64) {
	n := len(m.prior)
	rate := make([]float64, n)
	for i, g := range m.prior {
		rate[i] = g.Mean()
	}
	for range 500 {
		own = m.allot(rate)
		most := 0.0
		for i, g := range m.prior {
			next := (g.Shape + sum(own[i])) / (g.Rate + m.exposed(i))
			most = max(most, math.Abs(math.Log(next/rate[i])))
			rate[i] = next
		}
		if most < 1e-8 {
			break
		}
	}
	variance := m.variances(rate)
	for i, r := range rate {
		rates = append(rates, infer.Gamma{Shape: 1 / variance[i], Rate: 1 / (variance[i] * r)})
	}
	return rates, own
}

// exposed is the exposure whose events are seen at all.
func (m *mixture) exposed(i int) float64 { return m.exposure[i] * sum(m.share[i]) }

// parts gives, for each rate, its part of the counts of one kind.
func (m *mixture) parts(rate []float64, kind int) []float64 {
	out, all := make([]float64, len(rate)), 0.0
	for i, r := range rate {
		out[i] = m.share[i][kind] * m.exposure[i] * r
		all += out[i]
	}
	for i := range out {
		if all > 0 {
			out[i] /= all
		}
	}
	return out
}

// allot gives, for each rate, its counts by kind.
func (m *mixture) allot(rate []float64) [][]float64 {
	own := make([][]float64, len(rate))
	for i := range own {
		own[i] = make([]float64, len(m.counts))
	}
	for k, n := range m.counts {
		if n == 0 {
			continue
		}
		for i, p := range m.parts(rate, k) {
			own[i][k] = n * p
		}
	}
	return own
}

// variances are those of the logarithms, with the other rates as doubtful as they are.
func (m *mixture) variances(rate []float64) []float64 {
	n := len(rate)
	h := mat.NewSymDense(n, nil)
	for i, g := range m.prior {
		h.SetSym(i, i, (g.Rate+m.exposed(i))*rate[i])
	}
	for k, c := range m.counts {
		p := m.parts(rate, k)
		for i := range n {
			for j := range i + 1 {
				lost := -c * p[i] * p[j]
				if i == j {
					lost += c * p[i]
				}
				h.SetSym(i, j, h.At(i, j)-lost)
			}
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(h) {
		panic("calibrate: a mode of mixed counts that is none")
	}
	var inverse mat.SymDense
	if err := chol.InverseTo(&inverse); err != nil {
		panic("calibrate: " + err.Error())
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = inverse.At(i, i)
	}
	return out
}

// surer gives what of a gain over the prior is left when the logarithm of the exposure itself has a variance: n counts are then worth
// n/(1 + n·variance), since the variance of the logarithm of the rate is that of both, 1/n + variance.
func surer(prior, after infer.Gamma, variance float64) infer.Gamma {
	gain := math.Max(after.Shape-prior.Shape, 0)
	left := 1 / (1 + gain*variance)
	return infer.Gamma{Shape: prior.Shape + gain*left, Rate: prior.Rate + (after.Rate-prior.Rate)*left}
}
