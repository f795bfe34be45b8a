package infer

import (
	"fmt"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// Range is from where to where a share may lie.
type Range struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Width is from end to end.
func (r Range) Width() float64 { return r.High - r.Low }

// Nearly gives, for every row, from where to where its share may lie in mixtures that get at least so much whatever the reply is, the other
// shares following. level must lie a little below the value of the game, or nothing may be left and the answer is an error: a level of the
// value less a millionth of the payoffs' spread gives the best mixtures themselves, where there are several.
func Nearly(pay [][]float64, level float64) ([]Range, error) {
	low, high := extremes(pay)
	width(pay)
	if len(pay) == 1 {
		return []Range{{1, 1}}, nil
	}
	if high == low {
		out := make([]Range, len(pay))
		for i := range out {
			out[i] = Range{0, 1}
		}
		return out, nil
	}
	a, b := atLeast(pay, level, low, high-low)
	out := make([]Range, len(pay))
	for i := range out {
		least, err := far(a, b, i, 1)
		if err != nil {
			return nil, err
		}
		most, err := far(a, b, i, -1)
		if err != nil {
			return nil, err
		}
		out[i] = Range{min(max(least, 0), 1), min(max(most, 0), 1)}
	}
	return out, nil
}

// atLeast says in equations that a mixture gets the level against every reply: what it gets less what it gets too much is the level, and
// its shares sum to one. Payoffs are scaled to run from 0 to 1.
func atLeast(pay [][]float64, level, low, spread float64) (*mat.Dense, []float64) {
	rows, columns := len(pay), len(pay[0])
	a, b := mat.NewDense(columns+1, rows+columns, nil), make([]float64, columns+1)
	for j := range columns {
		for i := range rows {
			a.Set(j, i, 1+(pay[i][j]-low)/spread)
		}
		a.Set(j, rows+j, -1)
		b[j] = 1 + (level-low)/spread
	}
	for i := range rows {
		a.Set(columns, i, 1)
	}
	b[columns] = 1
	return a, b
}

// far moves one share as far down (by 1) or up (by -1) as it goes.
func far(a *mat.Dense, b []float64, share int, by float64) (float64, error) {
	_, n := a.Dims()
	cost := make([]float64, n)
	cost[share] = by
	_, x, err := lp.Simplex(cost, a, b, 1e-12, nil)
	if err != nil {
		return 0, fmt.Errorf("infer: how far a share may move: %w", err)
	}
	return x[share], nil
}
