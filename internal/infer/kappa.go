package infer

import "math"

// Kappa is Cohen's kappa of two coders (Cohen 1960, Educ. Psychol. Meas. 20, 37–46) with the large-sample standard error of Fleiss,
// Cohen & Everitt 1969 (Psychol. Bull. 72, 323–327); the error of the 1960 paper is superseded. Expected is the agreement of two coders
// who code independently at their own shares. Count is the units, which are taken to be independent.
func Kappa(t Crosstab, level float64) Coefficient {
	return WeightedKappa(t, identity(len(t)), level)
}

func identity(k int) Crosstab {
	w := NewCrosstab(k)
	for i := range w {
		w[i][i] = 1
	}
	return w
}

// LinearWeights counts a difference of d steps on a scale of k ordered codes as 1 - d/(k-1) of an agreement.
func LinearWeights(k int) Crosstab {
	w := identity(k)
	for i := range w {
		for j := range w[i] {
			if i != j {
				w[i][j] = 1 - math.Abs(float64(i-j))/float64(k-1)
			}
		}
	}
	return w
}

// AgreementWeights turns Cohen's disagreement weights (1968, Psychol. Bull. 70, 213–220; 0 on the diagonal, not all 0) into agreement
// weights from 0 to 1, which give the same kappa.
func AgreementWeights(disagreement Crosstab) Crosstab {
	worst := 0.0
	for _, row := range disagreement {
		for _, v := range row {
			worst = max(worst, v)
		}
	}
	w := NewCrosstab(len(disagreement))
	for i := range w {
		for j := range w[i] {
			w[i][j] = 1 - disagreement[i][j]/worst
		}
	}
	return w
}

// WeightedKappa counts cell i, j as weights[i][j] of an agreement: 1 on the diagonal, 0 to 1 elsewhere (Cohen 1968; standard errors of
// Fleiss, Cohen & Everitt 1969).
func WeightedKappa(t, weights Crosstab, level float64) Coefficient {
	t.check()
	weights.check()
	if len(t) != len(weights) {
		panic("infer: a weight for every cell")
	}
	n := t.Total()
	if n == 0 {
		return coefficient(0, 0, 0, level, "Cohen's kappa")
	}
	cells, rows, columns, n := t.shares()
	po, pe := weighted(cells, rows, columns, weights)
	c := coefficient(po, pe, n, level, "Cohen's kappa, Fleiss-Cohen-Everitt")
	if c.Defined {
		var se float64
		se, c.SE0 = kappaErrors(cells, rows, columns, weights, po, pe, n)
		c.normal(se)
	}
	return c
}

func weighted(cells Crosstab, rows, columns []float64, weights Crosstab) (po, pe float64) {
	for i := range cells {
		for j, p := range cells[i] {
			po += weights[i][j] * p
			pe += weights[i][j] * rows[i] * columns[j]
		}
	}
	return po, pe
}

// kappaErrors: w̄ of a row is its mean weight under the columns' shares, and the other way round.
func kappaErrors(cells Crosstab, rows, columns []float64, weights Crosstab, po, pe, n float64) (se, se0 float64) {
	k := len(cells)
	ofRow, ofColumn := make([]float64, k), make([]float64, k)
	for i := range weights {
		for j, w := range weights[i] {
			ofRow[i] += w * columns[j]
			ofColumn[j] += w * rows[i]
		}
	}
	sum, sum0 := 0.0, 0.0
	for i := range cells {
		for j, p := range cells[i] {
			mean := ofRow[i] + ofColumn[j]
			x, x0 := weights[i][j]*(1-pe)-mean*(1-po), weights[i][j]-mean
			sum += p * x * x
			sum0 += rows[i] * columns[j] * x0 * x0
		}
	}
	back := po*pe - 2*pe + po
	free := (1 - pe) * (1 - pe)
	return math.Sqrt(max(sum-back*back, 0)/n) / free, math.Sqrt(max(sum0-pe*pe, 0) / n / free)
}
