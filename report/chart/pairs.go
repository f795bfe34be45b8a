package chart

import (
	"fmt"
	"math"
	"slices"
)

// Certainty is how far a difference is told from none; it is drawn as the stroke between two marks.
type Certainty int

// The degrees.
const (
	Sure     Certainty = iota // all doubt leaves the sign: whole
	MeanOnly                  // the mean is told from none: broken
	Unsure                    // it is not: dotted
	Unstated                  // nothing is said of it: thin
)

// PairRow is one figure under both plans.
type PairRow struct {
	Name        string
	Usual, Plan float64
	Certainty   Certainty
	Indented    bool // it belongs to the row above
}

// Pairs draws every row as two marks on a common axis from zero, an open ring for the baseline and a full diamond for the plan, with the
// difference in words at the right.
func Pairs(width float64, unit string, digits int, rows []PairRow) string {
	c := &canvas{width: width}
	wide := width >= 500
	from, to := 10.0, width-64
	if wide {
		from = 226
	}
	most := 0.0
	for _, r := range rows {
		most = max(most, r.Usual, r.Plan)
	}
	parts := 6
	if !wide {
		parts = 4
	}
	s, ticks := around(0, most, parts, from, to)
	y, high := 8.0, 24.0
	if !wide {
		high = 40
	}
	end := y + high*float64(len(rows))
	for _, t := range ticks {
		c.line(s.at(t), y, s.at(t), end, "rule", 1)
	}
	words := ""
	for _, r := range rows {
		c.pair(r, s, y, wide, digits)
		y += high
		words += fmt.Sprintf("%s: %s, then %s. ", r.Name, Plain(r.Usual, digits), Plain(r.Plan, digits))
	}
	c.axis(s, ticks, end+2, Plain)
	c.text((s.from+s.to)/2, end+38, "middle", "small soft", unit)
	c.height = end + 44
	if slices.ContainsFunc(rows, func(r PairRow) bool { return r.Certainty != Unstated }) {
		c.height = c.strokes(end+58, wide)
	}
	return c.done(words)
}

func (c *canvas) pair(r PairRow, s scale, y float64, wide bool, digits int) {
	line := y + 12
	if wide {
		x := s.from - 14
		c.text(x, line+4, "end", r.class(), short(r.Name, x+10))
	} else {
		line = y + 28
		c.text(0, y+14, "start", r.class(), short(r.Name, c.width))
	}
	a, b := s.at(r.Usual), s.at(r.Plan)
	c.stroke(r.Certainty, a, b, line)
	c.circle(a, line, 4.6, "open-usual", 2)
	c.diamond(b, line, 5.4, "full-plan")
	c.text(c.width, line+4, "end", "num small", Signed(r.Plan-r.Usual, digits))
}

// class sets what belongs to the row above it back.
func (r *PairRow) class() string {
	if r.Indented {
		return "soft small"
	}
	return ""
}

func (c *canvas) stroke(how Certainty, a, b, y float64) {
	class := [...]string{"ink", "ink broken", "axis dotted", "axis"}[how]
	if math.Abs(a-b) > 6 {
		c.line(a, y, b, y, class, 2)
	}
}

// strokes explains the strokes.
func (c *canvas) strokes(y float64, wide bool) float64 {
	x := 0.0
	for i, words := range []string{"all doubt leaves the sign", "the mean is told from none", "not told from none"} {
		c.stroke(Certainty(i), x+2, x+30, y)
		c.text(x+38, y+4, "start", "small soft", words)
		if wide {
			x += c.width / 3
		} else {
			y += 20
		}
	}
	if wide {
		return y + 10
	}
	return y - 8
}
