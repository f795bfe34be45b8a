package infer

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// Game is a solved zero-sum matrix game: the row player wants much, the column player little (von Neumann 1928, Math. Ann. 100,
// 295–320).
type Game struct {
	Value  float64   `json:"value"`
	Row    []float64 `json:"row"`    // a best mixture: shares from 0 to 1 that sum to 1; the first found where several are best
	Column []float64 `json:"column"` // the same of the column player
	Saddle bool      `json:"saddle"` // both mixtures are a single plan
	Gap    float64   `json:"gap"`    // what best replies to both mixtures leave open, from 0; proof of the value, whatever found them
}

// gapAllowed is how far the two sides may be apart, as a share of the spread of the payoffs.
const gapAllowed = 1e-9

// SolveGame solves a game whose payoffs are pay[row][column]: a saddle point by looking, anything else by the simplex method on what is
// left when dominated plans are gone. Whatever the solver says, both mixtures are then held against every pure reply; an answer that leaves
// more open than rounding is an error. pay must have a row and a column, and rows of one length, or it panics; payoffs that are not finite
// are an error.
func SolveGame(pay [][]float64) (Game, error) {
	rows, columns := len(pay), width(pay)
	low, high := extremes(pay)
	if math.IsNaN(low+high) || math.IsInf(high-low, 0) {
		return Game{}, errors.New("infer: a game with payoffs that are not finite")
	}
	if r, c, ok := saddle(pay); ok {
		return proven(pay, unit(rows, r), unit(columns, c), high-low)
	}
	keptRows, keptColumns := undominated(pay)
	m := mat.NewDense(len(keptRows), len(keptColumns), nil)
	turned := mat.NewDense(len(keptColumns), len(keptRows), nil)
	for i, r := range keptRows {
		for j, c := range keptColumns {
			share := (pay[r][c] - low) / (high - low)
			m.Set(i, j, 1+share)
			turned.Set(j, i, 2-share) // the row player's side as a column player's
		}
	}
	row, err := least(turned)
	column, err2 := least(m)
	if err := errors.Join(err, err2); err != nil {
		return Game{}, err
	}
	return proven(pay, spreadOut(row, keptRows, rows), spreadOut(column, keptColumns, columns), high-low)
}

// width gives the length of the rows.
func width(pay [][]float64) int {
	if len(pay) == 0 || len(pay[0]) == 0 {
		panic("infer: a game needs a plan on each side")
	}
	for _, row := range pay {
		if len(row) != len(pay[0]) {
			panic("infer: the rows of a game differ in length")
		}
	}
	return len(pay[0])
}

func extremes(pay [][]float64) (low, high float64) {
	low, high = pay[0][0], pay[0][0]
	for _, row := range pay {
		for _, x := range row {
			low, high = math.Min(low, x), math.Max(high, x) // both keep a NaN
		}
	}
	return low, high
}

// saddle finds a payoff that is the least of its row and the most of its column.
func saddle(pay [][]float64) (row, column int, ok bool) {
	best, ceiling := math.Inf(-1), math.Inf(1)
	for i := range pay {
		if least, _ := worstFor(pay, unit(len(pay), i)); least > best {
			best, row = least, i
		}
	}
	for j := range pay[0] {
		if most, _ := bestAgainst(pay, unit(len(pay[0]), j)); most < ceiling {
			ceiling, column = most, j
		}
	}
	return row, column, best == ceiling
}

// Guarantee is the least that a mixture of rows gets, and the first reply that holds it there.
func Guarantee(pay [][]float64, row []float64) (value float64, reply int) { return worstFor(pay, row) }

// Ceiling is the most that anybody gets against a mixture of columns, and the first row that gets it.
func Ceiling(pay [][]float64, column []float64) (value float64, reply int) {
	return bestAgainst(pay, column)
}

func worstFor(pay [][]float64, row []float64) (value float64, reply int) {
	value = math.Inf(1)
	for j := range pay[0] {
		if x := Against(pay, row, j); x < value {
			value, reply = x, j
		}
	}
	return value, reply
}

// Against is what a mixture of rows gets against a pure reply. Plans of no weight have no part in it, not even in rounding.
func Against(pay [][]float64, row []float64, column int) (value float64) {
	for i, w := range row {
		if w != 0 {
			value += w * pay[i][column]
		}
	}
	return value
}

func bestAgainst(pay [][]float64, column []float64) (value float64, reply int) {
	value = math.Inf(-1)
	for i := range pay {
		x := 0.0
		for j, w := range column {
			if w != 0 {
				x += w * pay[i][j]
			}
		}
		if x > value {
			value, reply = x, i
		}
	}
	return value, reply
}

// proven holds both mixtures against every reply.
func proven(pay [][]float64, row, column []float64, spread float64) (Game, error) {
	low, _ := worstFor(pay, row)
	high, _ := bestAgainst(pay, column)
	g := Game{Value: (low + high) / 2, Row: row, Column: column, Gap: max(high-low, 0), Saddle: pure(row) && pure(column)}
	if !(high-low <= gapAllowed*spread) {
		return g, fmt.Errorf("infer: the mixtures found leave %g open", high-low)
	}
	return g, nil
}

func pure(mix []float64) bool {
	used := 0
	for _, w := range mix {
		if w > 0 {
			used++
		}
	}
	return used == 1
}

// undominated drops, again and again, rows that are nowhere above another and columns that are nowhere below another; of equals the first
// stays. The value is the same, though some best mixtures may be gone.
func undominated(pay [][]float64) (rows, columns []int) {
	rows, columns = upTo(len(pay)), upTo(len(pay[0]))
	for {
		before := len(rows) + len(columns)
		rows = maximal(rows, func(a, b int) bool { return everywhere(columns, func(j int) bool { return pay[a][j] >= pay[b][j] }) })
		columns = maximal(columns, func(a, b int) bool { return everywhere(rows, func(i int) bool { return pay[i][a] <= pay[i][b] }) })
		if len(rows)+len(columns) == before {
			return rows, columns
		}
	}
}

func everywhere(at []int, holds func(int) bool) bool {
	for _, i := range at {
		if !holds(i) {
			return false
		}
	}
	return true
}

// maximal keeps what nothing else is as good as.
func maximal(all []int, asGood func(a, b int) bool) (kept []int) {
	for i, b := range all {
		beaten := false
		for k, a := range all {
			if k != i && asGood(a, b) && (k < i || !asGood(b, a)) {
				beaten = true
				break
			}
		}
		if !beaten {
			kept = append(kept, b)
		}
	}
	return kept
}

// least finds the column player's best mixture in a game of positive payoffs: the largest Σq with Mq <= 1 (Dantzig 1951, in Koopmans,
// Activity Analysis of Production and Allocation, chapter 20). Doing nothing is a corner to begin from, so that no first phase is needed.
func least(m *mat.Dense) ([]float64, error) {
	rows, columns := m.Dims()
	a := mat.NewDense(rows, columns+rows, nil)
	cost, one, slack := make([]float64, columns+rows), make([]float64, rows), make([]int, rows)
	for i := range rows {
		for j := range columns {
			a.Set(i, j, m.At(i, j))
		}
		a.Set(i, columns+i, 1)
		one[i], slack[i] = 1, columns+i
	}
	for j := range columns {
		cost[j] = -1
	}
	_, x, err := lp.Simplex(cost, a, one, 1e-12, slack)
	if err != nil {
		return nil, fmt.Errorf("infer: the game could not be solved: %w", err)
	}
	return shares(x[:columns]), nil
}

// trace is the share below which a plan's part in a mixture is rounding.
const trace = 1e-9

// shares scales weights to sum to 1, without those that are rounding.
func shares(x []float64) []float64 {
	out := make([]float64, len(x))
	for range 2 {
		sum := 0.0
		for _, w := range x {
			sum += max(w, 0)
		}
		for i, w := range x {
			if out[i] = max(w, 0) / sum; out[i] < trace {
				out[i] = 0
			}
		}
		x = out
	}
	return out
}

func spreadOut(weights []float64, at []int, n int) []float64 {
	out := make([]float64, n)
	for i, w := range weights {
		out[at[i]] = w
	}
	return out
}

func unit(n, at int) []float64 {
	out := make([]float64, n)
	out[at] = 1
	return out
}

func upTo(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}
