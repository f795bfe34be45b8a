package infer

import "fmt"

// TableDispersion compares choices over units: counts has a row for each unit and a column for each alternative, and the question is how much
// more the shares of alternatives vary from unit to unit than chance makes them (Pearson's statistic of a table of rows and columns;
// McCullagh & Nelder 1989, section 5.5, for dividing by it). Units and alternatives without counts are left out, and alternatives with
// less than one count a unit are taken together (cells with an expectation under 1 are joined: Cochran 1954, from memory). Rate is 0. Where
// nothing can be said the factor is 1 and a warning says so.
func TableDispersion(counts [][]float64) Dispersion {
	rows, columns := margins(counts)
	total, units := 0.0, 0
	for _, n := range rows {
		if total += n; n > 0 {
			units++
		}
	}
	d := Dispersion{Units: units}
	joined, kinds := make([]float64, len(rows)), 0
	add := func(cells []float64) {
		whole := 0.0
		for _, n := range cells {
			whole += n
		}
		if whole == 0 {
			return
		}
		kinds++
		for i, n := range cells {
			if expected := rows[i] * whole / total; expected > 0 {
				d.ChiSq += (n - expected) * (n - expected) / expected
			}
		}
	}
	for k, n := range columns {
		cells := make([]float64, len(rows))
		for i := range rows {
			cells[i] = counts[i][k]
		}
		if n >= float64(units) {
			add(cells)
			continue
		}
		for i := range rows {
			joined[i] += cells[i]
		}
	}
	add(joined)
	if units < 2 || kinds < 2 {
		return unknownDispersion(units)
	}
	d.DF = float64((units - 1) * (kinds - 1))
	return d.finish(total / float64(units*kinds))
}

// margins adds up rows and columns.
func margins(counts [][]float64) (rows, columns []float64) {
	rows = make([]float64, len(counts))
	for i, row := range counts {
		if columns == nil {
			columns = make([]float64, len(row))
		}
		checkLengths(row, columns)
		for k, n := range row {
			if !(n >= 0) {
				panic(fmt.Sprintf("infer: a count of %v", n))
			}
			rows[i] += n
			columns[k] += n
		}
	}
	return rows, columns
}
