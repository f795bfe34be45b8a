package chart

import (
	"fmt"
	"slices"
)

// GainRow is what one plan changes, with the interval of the simulation and that of all doubt.
type GainRow struct {
	Name, Note      string
	Mean            float64
	SimLow, SimHigh float64
	AllLow, AllHigh float64
	Open            bool // all doubt is not told apart: it may reach as far, and need not
	None            bool // nothing differs
	SimOnly         bool // nothing is said of all doubt
}

// Gains draws the rows on one axis: all doubt as a hatched field, or as a dotted line with arrows where it is only an upper limit; the simulation as a
// thick line; the mean as a diamond.
func Gains(width float64, unit, zero string, rows []GainRow) string {
	c := &canvas{width: width}
	low, high := 0.0, 0.0
	for _, r := range rows {
		low, high = min(low, r.SimLow, r.Mean), max(high, r.SimHigh, r.Mean)
		if !r.SimOnly {
			low, high = min(low, r.AllLow), max(high, r.AllHigh)
		}
	}
	if low == high {
		low, high = -1, 1
	}
	parts := 8
	if width < 500 {
		parts = 4
	}
	s, ticks := around(low, high, parts, 12, width-12)
	const deep = 58.0
	end := 22 + deep*float64(len(rows))
	c.line(s.at(0), 18, s.at(0), end, "zero", 1.5)
	anchor := "middle"
	if x := s.at(0); x < widthOf(zero)/2 {
		anchor = "start"
	} else if x > width-widthOf(zero)/2 {
		anchor = "end"
	}
	c.text(s.at(0), 12, anchor, "small soft", zero)
	words := ""
	for i, r := range rows {
		c.gain(r, s, 22+deep*float64(i))
		words += fmt.Sprintf("%s: %s, simulation %s to %s, all doubt %s. ", r.Name, Signed(r.Mean, 1), Signed(r.SimLow, 1), Signed(r.SimHigh, 1), r.doubt())
	}
	c.axis(s, ticks, end, Signed)
	c.text((s.from+s.to)/2, end+36, "middle", "small soft", unit)
	c.height = c.keyed(end+58, c.gainKey(rows)) - 6
	return c.done(words)
}

func (r *GainRow) doubt() string {
	switch {
	case r.SimOnly:
		return "not told"
	case r.None:
		return "none at all"
	case r.Open:
		return fmt.Sprintf("not told apart, at most %s to %s", Signed(r.AllLow, 1), Signed(r.AllHigh, 1))
	}
	return fmt.Sprintf("%s to %s", Signed(r.AllLow, 1), Signed(r.AllHigh, 1))
}

// gainKey says what is what, of what is there.
func (c *canvas) gainKey(rows []GainRow) []keyEntry {
	out := []keyEntry{{"simulation: more bouts would narrow it", func(x, y float64) { c.line(x, y, x+24, y, "s-plan", 5) }}}
	if slices.ContainsFunc(rows, func(r GainRow) bool { return !r.Open && !r.None && !r.SimOnly }) {
		out = append(out, keyEntry{"all doubt: tape and assumptions too", func(x, y float64) { c.texture("rising", x, y-6, 24, 12) }})
	}
	if slices.ContainsFunc(rows, func(r GainRow) bool { return r.Open && !r.SimOnly }) {
		out = append(out, keyEntry{"all doubt, not told apart: at most so far", func(x, y float64) { c.reaches(x, x+24, y) }})
	}
	return out
}

// reaches is an upper limit: dotted, with arrows.
func (c *canvas) reaches(from, to, y float64) {
	c.line(from, y, to, y, "axis dotted", 2.2)
	c.path(fmt.Sprintf("M%s,%sl-5,5l5,5M%s,%sl5,5l-5,5", f(from+5), f(y-5), f(to-5), f(y-5)), "axis", ` stroke-width="1.3"`)
}

func (c *canvas) gain(r GainRow, s scale, y float64) {
	value := Signed(r.Mean, 1)
	if r.Note != "" {
		value += ", " + r.Note
	}
	c.text(s.to+10, y+15, "end", "num strong halo", value)
	c.text(0, y+15, "start", "t-plan halo", short(r.Name, s.to-widthOf(value)-10))
	y += 34
	switch {
	case r.None, r.SimOnly:
	case r.Open:
		c.reaches(s.at(r.AllLow), s.at(r.AllHigh), y)
	default:
		c.texture("rising", s.at(r.AllLow), y-8, s.at(r.AllHigh)-s.at(r.AllLow), 16)
	}
	c.line(s.at(r.SimLow), y, s.at(r.SimHigh), y, "s-plan", 5)
	c.diamond(s.at(r.Mean), y, 7, "open-plan")
}
