package infer

import (
	"fmt"
	"math"
)

// Crosstab counts units by the codes that two coders gave them: the row is the first coder's code, the column the second's. It is square
// and not negative; cells may be fractional, seconds for instance.
type Crosstab [][]float64

// NewCrosstab makes an empty table of k codes.
func NewCrosstab(k int) Crosstab {
	t := make(Crosstab, k)
	cells := make([]float64, k*k)
	for i := range t {
		t[i] = cells[i*k : (i+1)*k]
	}
	return t
}

// Total is what all cells add up to.
func (t Crosstab) Total() (n float64) {
	for _, row := range t {
		for _, x := range row {
			n += x
		}
	}
	return n
}

// Add adds another table of the same codes, cell by cell.
func (t Crosstab) Add(o Crosstab) {
	for i := range t {
		for j := range t[i] {
			t[i][j] += o[i][j]
		}
	}
}

// check refuses what is no table of counts.
func (t Crosstab) check() {
	for _, row := range t {
		if len(row) != len(t) {
			panic("infer: a crosstab of two coders is square")
		}
		for _, x := range row {
			if !(x >= 0) || math.IsInf(x, 1) {
				panic(fmt.Sprintf("infer: %v is no count", x))
			}
		}
	}
}

// shares gives the cells and both margins as shares of the total, which must not be 0.
func (t Crosstab) shares() (cells Crosstab, rows, columns []float64, n float64) {
	n = t.Total()
	cells, rows, columns = NewCrosstab(len(t)), make([]float64, len(t)), make([]float64, len(t))
	for i := range t {
		for j, x := range t[i] {
			cells[i][j] = x / n
			rows[i] += x / n
			columns[j] += x / n
		}
	}
	return cells, rows, columns, n
}
