package chart

import (
	"fmt"
	"math"
	"slices"
)

// DotRow is one distribution: as many dots as there are values, each as likely as any other, with the interval of the mean below it.
type DotRow struct {
	Label           string
	Side            Side
	Values          []float64 // in any order
	Mean, Low, High float64   // and its interval
}

// Quantiles gives n values that stand for a sample, each as likely as any other: the quantiles at (i+½)/n (Kay, Kola, Hullman & Munson 2016,
// When (ish) is My Bus?, CHI '16, quantile dotplots).
func Quantiles(values []float64, n int) []float64 {
	s := slices.Sorted(slices.Values(values))
	if len(s) == 0 {
		return nil
	}
	out := make([]float64, n)
	for i := range out {
		at := (float64(i)+.5)/float64(n)*float64(len(s)) - .5
		at = min(max(at, 0), float64(len(s)-1))
		below := int(at)
		above := min(below+1, len(s)-1)
		out[i] = s[below] + (at-float64(below))*(s[above]-s[below])
	}
	return out
}

// Dotplot draws quantile dotplots above one another on one axis.
func Dotplot(width float64, unit string, rows []DotRow) string {
	c := &canvas{width: width}
	low, high := 0.0, 0.0
	for _, r := range rows {
		for _, x := range r.Values {
			low, high = min(low, x), max(high, x)
		}
	}
	parts := 8
	if width < 500 {
		parts = 4
	}
	s, ticks := around(low, high, parts, 10, width-10)
	size := dotSize(rows, s)
	y := 0.0
	for _, r := range rows {
		c.line(s.at(0), y+24, s.at(0), y+rowHeight(r, s, size), "zero", 1.5)
		y = c.dots(r, s, size, y)
	}
	c.axis(s, ticks, y, Signed)
	c.text((s.from+s.to)/2, y+36, "middle", "small soft", unit)
	c.height = y + 42
	return c.done(dotWords(rows))
}

// dotSize makes dots as large as lets the highest pile stay low.
func dotSize(rows []DotRow, s scale) float64 {
	for size := 11.0; size > 3; size-- {
		highest := 0
		for _, r := range rows {
			for _, n := range piles(r.Values, s, size) {
				highest = max(highest, n)
			}
		}
		if float64(highest)*size <= 150 {
			return size
		}
	}
	return 3
}

// piles counts dots by column; columns are a dot wide and one is centred on zero.
func piles(values []float64, s scale, size float64) map[int]int {
	out := map[int]int{}
	for _, x := range values {
		out[column(x, s, size)]++
	}
	return out
}

func column(x float64, s scale, size float64) int { return int(math.Round((s.at(x) - s.at(0)) / size)) }

// rowHeight is that of a row: its name, its highest pile, its mean.
func rowHeight(r DotRow, s scale, size float64) float64 {
	highest := 4
	for _, n := range piles(r.Values, s, size) {
		highest = max(highest, n)
	}
	return 26 + float64(highest)*size + 26
}

func (c *canvas) dots(r DotRow, s scale, size, y float64) float64 {
	c.text(s.from, y+14, "start", "t-"+r.Side.String(), short(r.Label, s.to-s.from))
	floor := y + rowHeight(r, s, size) - 26
	seen := map[int]int{}
	for _, x := range slices.Sorted(slices.Values(r.Values)) {
		at := column(x, s, size)
		class := "open-usual"
		if r.Side == Plan {
			class = "full-plan"
		}
		c.circle(s.at(0)+float64(at)*size, floor-size/2-float64(seen[at])*size, size*.5-1, class, 1.3)
		seen[at]++
	}
	c.line(s.from, floor, s.to, floor, "axis", .7)
	c.meanOf(r, s, floor+10)
	return floor + 26
}

// meanOf draws the mean with its interval: a bracket under the row.
func (c *canvas) meanOf(r DotRow, s scale, y float64) {
	class := "s-" + r.Side.String()
	c.line(s.at(r.Low), y, s.at(r.High), y, class, 2)
	c.line(s.at(r.Low), y-4, s.at(r.Low), y+4, class, 1.4)
	c.line(s.at(r.High), y-4, s.at(r.High), y+4, class, 1.4)
	anchor, x := "start", s.at(max(r.High, r.Mean))+8
	words := "mean " + Signed(r.Mean, 2)
	if x+widthOf(words) > s.to {
		anchor, x = "end", s.at(min(r.Low, r.Mean))-8
	}
	c.text(x, y+4, anchor, "small num soft", words)
}

func dotWords(rows []DotRow) string {
	out := ""
	for _, r := range rows {
		sorted := slices.Sorted(slices.Values(r.Values))
		if len(sorted) == 0 {
			continue
		}
		out += fmt.Sprintf("%s: single bouts from %s to %s, mean %s (%s to %s). ", r.Label, Signed(sorted[0], 1), Signed(sorted[len(sorted)-1], 1),
			Signed(r.Mean, 2), Signed(r.Low, 2), Signed(r.High, 2))
	}
	return out
}
