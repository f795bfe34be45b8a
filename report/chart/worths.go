package chart

import "fmt"

// WorthRow is what knowing something would win: one mark, or several for growing amounts, and how high the last may be as far as the simulation tells.
type WorthRow struct {
	Name   string
	Open   bool // neither tape nor bouts can show it
	Values []float64
	Upper  float64 // of the last
}

// Worths draws the rows on one axis from nothing: marks grow with the amount, and a dotted line with an arrow goes from the last to its upper end.
// matters is where a worth begins to matter.
func Worths(width float64, unit string, matters float64, rows []WorthRow) string {
	c := &canvas{width: width}
	wide := width >= 500
	from, high := 12.0, 42.0
	if wide {
		from, high = 236, 27
	}
	most := 0.0
	for _, r := range rows {
		most = max(most, r.Upper, matters)
		for _, x := range r.Values {
			most = max(most, x)
		}
	}
	parts := 5
	if !wide {
		parts = 4
	}
	s, ticks := around(0, most, parts, from, width-48)
	y := 24.0
	end := y + high*float64(len(rows))
	for _, t := range ticks {
		c.line(s.at(t), y-4, s.at(t), end, "rule", 1)
	}
	words := ""
	if matters > 0 {
		c.line(s.at(matters), 17, s.at(matters), end, "ink broken", 1.6)
		c.text(s.at(matters), 11, "start", "small soft", "matters from "+Plain(matters, digitsOf(matters)))
	}
	for _, r := range rows {
		c.worth(r, s, y, wide)
		y += high
		if n := len(r.Values); n == 0 {
			words += r.Name + ": not told. "
		} else {
			words += fmt.Sprintf("%s: %s, at most %s. ", r.Name, Plain(r.Values[n-1], 2), Plain(r.Upper, 2))
		}
	}
	c.axis(s, ticks, end+2, Plain)
	c.text((s.from+s.to)/2, end+38, "middle", "small soft", unit)
	c.height = end + 44
	return c.done(words)
}

func (c *canvas) worth(r WorthRow, s scale, y float64, wide bool) {
	line := y + 12
	if wide {
		c.text(0, line+4, "start", "", short(r.Name, s.from-12))
	} else {
		line = y + 28
		c.text(0, y+13, "start", "", short(r.Name, c.width))
	}
	n := len(r.Values)
	if n == 0 {
		c.text(c.width, line+4, "end", "small soft", "not told")
		return
	}
	c.line(s.from, line, s.at(r.Values[n-1]), line, "axis", .8)
	if last := s.at(r.Values[n-1]); s.at(r.Upper)-last > 2 {
		to := s.at(r.Upper)
		c.line(last, line, to, line, "axis dotted", 2)
		c.path(fmt.Sprintf("M%s,%sl5,5l-5,5", f(to-5), f(line-5)), "axis", ` stroke-width="1.3"`)
	}
	for i, x := range r.Values {
		size := 2.6 + 3.2*float64(i+1)/float64(n)
		class := "full-plan"
		if r.Open {
			class = "open-plan"
		}
		c.circle(s.at(x), line, size, class, 1.6)
	}
	c.text(c.width, line+4, "end", "num small", Plain(r.Values[n-1], 2))
}
