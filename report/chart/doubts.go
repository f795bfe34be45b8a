package chart

import (
	"fmt"
	"math"
)

// Doubt is one interval about a difference, with a name and what would make it smaller.
type Doubt struct {
	Name, Shrinks string
	Low, High     float64
	Open          bool // not told apart: it may reach as far as Low and High, and need not
	None          bool // there is none
}

// Doubts draws the intervals under each other on one axis, each in a stroke of its own, with the mean as an upright line through all.
func Doubts(width float64, unit string, mean float64, doubts []Doubt) string {
	c := &canvas{width: width}
	low, high := math.Min(0, mean), math.Max(0, mean)
	for _, d := range doubts {
		low, high = min(low, d.Low), max(high, d.High)
	}
	if low == high {
		low, high = -1, 1
	}
	margin := .06 * (high - low)
	parts := 8
	if width < 500 {
		parts = 5
	}
	s, ticks := around(low-margin, high+margin, parts, 10, width-10)
	y := 30.0
	end := y
	for _, d := range doubts {
		end += d.height(s)
	}
	c.line(s.at(0), 20, s.at(0), end, "zero", 1.5)
	c.line(s.at(mean), 20, s.at(mean), end, "s-plan", 2)
	for i, d := range doubts {
		c.doubt(i, d, s, y)
		y += d.height(s)
	}
	anchor := "middle"
	switch x := s.at(mean); {
	case x < 40:
		anchor = "start"
	case x > width-40:
		anchor = "end"
	}
	c.text(s.at(mean), 13, anchor, "t-plan num", Signed(mean, 1))
	c.axis(s, ticks, y, Signed)
	c.text((s.from+s.to)/2, y+36, "middle", "small soft", unit)
	c.height = y + 42
	words := fmt.Sprintf("Mean difference %s.", Signed(mean, 1))
	for _, d := range doubts {
		words += " " + d.Name + ": " + d.words() + "."
	}
	return c.done(words)
}

func (d *Doubt) words() string {
	switch {
	case d.None:
		return "none at all"
	case d.Open:
		return "not told apart, at most " + Signed(d.Low, 1) + " to " + Signed(d.High, 1)
	}
	return Signed(d.Low, 1) + " to " + Signed(d.High, 1)
}

func (d *Doubt) lines(s scale) []string { return fit(d.Shrinks, (s.to-s.from)*1.08) }

func (d *Doubt) height(s scale) float64 { return 54 + 15*float64(len(d.lines(s))) }

func (c *canvas) doubt(i int, d Doubt, s scale, y float64) {
	c.text(s.from, y+12, "start", "strong halo", d.Name)
	if room := s.to - s.from - widthOf(d.Name) - 14; widthOf(d.words()) < room {
		c.text(s.to, y+12, "end", "small num soft halo", d.words())
	}
	y += 27
	from, to := s.at(d.Low), s.at(d.High)
	switch {
	case d.None:
	case d.Open:
		c.line(from, y, to, y, "axis dotted", 2.2)
		c.path(fmt.Sprintf("M%s,%sl-5,5l5,5M%s,%sl5,5l-5,5", f(from+5), f(y-5), f(to-5), f(y-5)), "axis", ` stroke-width="1.3"`)
	case i == 0:
		c.line(from, y, to, y, "ink", 5)
	case i == 1:
		c.texture("rising", from, y-5, to-from, 10)
	default:
		c.texture("blank", from, y-5, to-from, 10)
	}
	y += 18
	for _, line := range d.lines(s) {
		c.text(s.from, y+2, "start", "small soft halo", line)
		y += 15
	}
}
