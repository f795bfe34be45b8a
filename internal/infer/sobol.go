package infer

// Freeze is one row of a pick-and-freeze design for indices of a function that can only be seen with noise. A and B are two independent samples
// of all inputs; With[i] is A with input i (or a group of inputs) taken from B. Each holds repeats of the noisy function, in which repeat j has the same noise in A
// and in every With, so that their differences are sharper, and noise of its own in B.
type Freeze struct {
	A, B []float64
	With [][]float64
}

// Index is what one input has of the variance of a function.
type Index struct {
	First     Ratio   `json:"first"`      // share of the variance that knowing the input alone would take away, on average
	Total     Ratio   `json:"total"`      // share that would be left if all but the input were known
	TotalRaw  float64 `json:"total_raw"`  // the same if the noise of repeats were taken for the input's doing
	TotalTold bool    `json:"total_told"` // the part is told from none at the level, whether the variance is known or not
}

// Indices are those of all inputs.
type Indices struct {
	Rows     int
	Variance float64 // of the function without its noise; below zero where noise has it so
	Raw      float64 // with the noise of so many repeats
	Told     bool    // Variance is told from none, one-sided
	Inputs   []Index
}

// SobolIndices estimates first-order and total indices (Sobol' 1993; Homma & Saltelli 1996) of inputs that are independent of each other: first
// ones as the mean of (f(B) - mean)·(f(With i) - f(A)), total ones as half the mean of (f(With i) - f(A))² (Saltelli et al. 2010, Comput. Phys.
// Commun. 181, 259–270, table 2, formulas b and f, the latter after Jansen 1999; from memory).
//
// All three parts are unbiased whatever the noise. The first needs no correction, since B's noise is of its own; the mean in it leaves its own row out. From
// squares the noise's part is taken off, variance over repeats by their number. Bounds are Fieller's for a ratio of means over rows, cut off at
// 0 and 1. There must be 3 rows with 2 repeats.
func SobolIndices(rows []Freeze, level float64) Indices {
	n := len(rows)
	if n < 3 {
		panic("infer: indices need three rows")
	}
	var all Group
	for i := range rows {
		all.Add(meanOf(rows[i].A))
		all.Add(meanOf(rows[i].B))
	}
	out := Indices{Rows: n}
	variance := make([]float64, n)
	for k, r := range rows {
		a, b := meanOf(r.A), meanOf(r.B)
		raw := ((a-all.Mean())*(a-all.Mean()) + (b-all.Mean())*(b-all.Mean())) / 2 * all.N / (all.N - 1)
		variance[k] = raw - (noiseOf(r.A)+noiseOf(r.B))/2
		out.Raw, out.Variance = out.Raw+raw/float64(n), out.Variance+variance[k]/float64(n)
	}
	out.Told = told(variance, level)
	for i := range rows[0].With {
		first, total, raw := make([]float64, n), make([]float64, n), 0.0
		for k, r := range rows {
			a, b := meanOf(r.A), meanOf(r.B)
			others := (all.Sum - a - b) / (all.N - 2)
			moved := lessOf(r.With[i], r.A)
			d := meanOf(moved)
			first[k], total[k] = (b-others)*d, (d*d-noiseOf(moved))/2
			raw += d * d / 2 / float64(n)
		}
		x := Index{First: ratioOfMeans(first, variance, level, 0, 1), Total: ratioOfMeans(total, variance, level, 0, 1)}
		if out.Raw > 0 {
			x.TotalRaw = raw / out.Raw
		}
		x.TotalTold = told(total, level)
		out.Inputs = append(out.Inputs, x)
	}
	return out
}

// told reports whether the mean of values is above zero at a one-sided level.
func told(values []float64, level float64) bool {
	var g Group
	for _, x := range values {
		g.Add(x)
	}
	return g.Mean() > studentQuantile(2*level-1, g.N-1)*errorOf(g)
}

func meanOf(x []float64) (mean float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	return mean
}

// noiseOf is the variance of a mean of repeats.
func noiseOf(x []float64) (v float64) {
	m, n := meanOf(x), float64(len(x))
	if n < 2 {
		panic("infer: noise needs two repeats")
	}
	for _, y := range x {
		v += (y - m) * (y - m) / n / (n - 1)
	}
	return v
}

func lessOf(x, y []float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = x[i] - y[i]
	}
	return out
}
