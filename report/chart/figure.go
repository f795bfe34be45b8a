package chart

import (
	"encoding/csv"
	"html/template"
	"net/url"
	"strings"
)

// Widths that figures are drawn at, CSS px: for a page, and for a narrow screen.
const (
	Wide   = 640
	Narrow = 296
)

// Figure is a chart with all that belongs to it.
type Figure struct {
	ID           string // letters and hyphens, unique in a page
	Title        string
	Finding      string // one sentence, worked out from the numbers
	Note         string // how to read it; may be empty
	Wide, Narrow template.HTML
	Table        Table
}

// Table is a chart's numbers.
type Table struct {
	Head []string
	Rows [][]string // as shown
}

// NewFigure draws a figure at both widths. draw must escape all words, as the functions of this package do.
func NewFigure(id, title, finding, note string, table Table, draw func(width float64) string) Figure {
	return Figure{id, title, finding, note, template.HTML(draw(Wide)), template.HTML(draw(Narrow)), table}
}

// CSV gives the table as a file. A cell that a spreadsheet would take for a formula gets an apostrophe; numbers keep their sign.
func (t Table) CSV() string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	for _, row := range append([][]string{t.Head}, t.Rows...) {
		out := make([]string, len(row))
		for i, cell := range row {
			cell = strings.ReplaceAll(cell, "\u2212", "-")
			if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) && strings.Trim(cell, "+-0123456789.eE") != "" {
				cell = "'" + cell
			}
			out[i] = cell
		}
		_ = w.Write(out) // a strings.Builder takes everything
	}
	w.Flush()
	return b.String()
}

// Download is the CSV as an address that holds it whole, so that a page from a file needs no other.
func (f Figure) Download() template.URL {
	return template.URL("data:text/csv;charset=utf-8," + url.PathEscape(f.Table.CSV()))
}

// Numeric reports whether a column holds numbers only, to be set to the right.
func (t Table) Numeric(column int) bool {
	for _, row := range t.Rows {
		if column < len(row) && strings.Trim(row[column], "+-\u22120123456789. ") != "" {
			return false
		}
	}
	return true
}
