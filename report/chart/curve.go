package chart

import (
	"fmt"
	"math"
	"strings"
)

// CurveAxis is what is moved, along the level axis of every panel. What the believed range and the mark are called stands in the key.
type CurveAxis struct {
	Unit                string
	Low, High           float64 // what is believed of it
	Mark                float64 // where it stands
	Believed, Calibrate string  // the two in words
}

// CurvePoint is what follows at one place of the axis, with two bands: of the simulation, and of all doubt.
type CurvePoint struct {
	X, Mean         float64
	SimLow, SimHigh float64
	AllLow, AllHigh float64
	Open            bool // all doubt is not told apart from luck: it is not drawn
	Beyond          bool // outside what is believed: extrapolation
}

// CurvePanel is one figure along the axis.
type CurvePanel struct {
	Name    string
	Signed  bool // a difference: zero is marked, and numbers have their sign
	Points  []CurvePoint
	Unclear [][2]float64 // stretches of the axis in which the sign changes or is not told
}

// Curves draws panels in so many columns, where there is room for more than one. Thick strokes are the band of the simulation, thin ones that of
// all doubt; marks are full within what is believed, and open, on a broken line, outside.
func Curves(width float64, columns int, axis CurveAxis, panels []CurvePanel) string {
	c := &canvas{width: width}
	if width < 500 {
		columns = 1
	}
	each, high := (width-26*float64(columns-1))/float64(columns), 118.0
	if columns == 1 {
		high = 150
	}
	deep := high + 66
	words := ""
	for i, p := range panels {
		x, y := float64(i%columns)*(each+26), float64(i/columns)*(deep+8)
		c.curve(p, axis, x, y, each, high)
		words += p.words()
	}
	rows := (len(panels) + columns - 1) / columns
	c.height = c.curveKey(axis, panels, float64(rows)*(deep+8)+8)
	return c.done(words)
}

func (p *CurvePanel) words() string {
	if len(p.Points) == 0 {
		return p.Name + ": nothing. "
	}
	first, last := p.Points[0], p.Points[len(p.Points)-1]
	write := Plain
	if p.Signed {
		write = Signed
	}
	return fmt.Sprintf("%s: %s at %s, %s at %s. ", p.Name, write(first.Mean, 2), Plain(first.X, 2), write(last.Mean, 2), Plain(last.X, 2))
}

// bounds are the ends of what a panel shows; a flat one gets some room.
func (p *CurvePanel) bounds() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, x := range p.Points {
		low, high = min(low, x.Mean, x.SimLow), max(high, x.Mean, x.SimHigh)
		if !x.Open {
			low, high = min(low, x.AllLow), max(high, x.AllHigh)
		}
	}
	if p.Signed {
		low, high = min(low, 0), max(high, 0)
	}
	if low > high {
		return 0, 1
	}
	if room := .02 * max(math.Abs(low), math.Abs(high), 1e-9); high-low < room {
		low, high = low-room, high+room
	}
	return low, high
}

func (c *canvas) curve(p CurvePanel, axis CurveAxis, x, y, width, high float64) {
	const left = 46.0
	for i, line := range fit(p.Name, width) {
		if i < 2 {
			c.text(x, y+13+15*float64(i), "start", "strong", line)
		}
	}
	low, top := p.bounds()
	s, ticks := around(low, top, 4, y+38+high, y+38)
	write := Plain
	if p.Signed {
		write = Signed
	}
	for _, t := range ticks {
		c.line(x+left, s.at(t), x+width, s.at(t), "rule", 1)
		c.text(x+left-6, s.at(t)+4, "end", "small soft num", write(t, digitsOf(ticks[1]-ticks[0])))
	}
	if p.Signed {
		c.line(x+left, s.at(0), x+width, s.at(0), "zero", 1.5)
	}
	if len(p.Points) < 2 {
		return
	}
	across := scale{p.Points[0].X, p.Points[len(p.Points)-1].X, x + left + 7, x + width - 7}
	for _, u := range p.Unclear {
		c.outer(across.at(u[0]), across.at(u[1]), s.to, s.from-s.to)
	}
	c.bands(p.Points, across, s)
	c.courses(p.Points, across, s)
	c.moved(axis, across, y+38+high+6, width > 400)
}

// bands are strokes: thin for all doubt, thick for the simulation.
func (c *canvas) bands(points []CurvePoint, x, y scale) {
	var all, sim strings.Builder
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		between(&sim, a, b, x, y, 0, func(p CurvePoint) (float64, float64) { return p.SimLow, p.SimHigh })
		if !a.Open && !b.Open {
			between(&all, a, b, x, y, 1.8, func(p CurvePoint) (float64, float64) { return p.AllLow, p.AllHigh })
		}
	}
	if all.Len() > 0 {
		c.path(all.String(), "axis", ` stroke-width="0.8"`)
	}
	if sim.Len() > 0 {
		c.path(sim.String(), "s-plan", ` stroke-width="1.7"`)
	}
}

// between fills a band between two points with upright strokes on a grid that starts at phase px.
func between(d *strings.Builder, a, b CurvePoint, x, y scale, phase float64, band func(CurvePoint) (low, high float64)) {
	const apart = 3.6
	from, to := x.at(a.X), x.at(b.X)
	aLow, aHigh := band(a)
	bLow, bHigh := band(b)
	for at := math.Ceil((from-phase)/apart)*apart + phase; at < to; at += apart {
		part := (at - from) / (to - from)
		low, high := aLow+part*(bLow-aLow), aHigh+part*(bHigh-aHigh)
		if y.at(low)-y.at(high) > .5 {
			stroke(d, at, y.at(low), at, y.at(high))
		}
	}
}

// courses are the means.
func (c *canvas) courses(points []CurvePoint, x, y scale) {
	for i := 1; i < len(points); i++ {
		class := "s-plan"
		if points[i-1].Beyond || points[i].Beyond {
			class += " broken"
		}
		c.line(x.at(points[i-1].X), y.at(points[i-1].Mean), x.at(points[i].X), y.at(points[i].Mean), class, 2.2)
	}
	for _, p := range points {
		class := "full-plan"
		if p.Beyond {
			class = "open-plan"
		}
		c.diamond(x.at(p.X), y.at(p.Mean), 4.8, class)
	}
}

// moved is the axis of what is moved: its believed range as a track on it, and a pin where it stands.
func (c *canvas) moved(axis CurveAxis, s scale, y float64, unit bool) {
	inside := func(v float64) float64 { return s.at(min(max(v, s.low), s.high)) }
	c.line(s.from-7, y, s.to+7, y, "axis", 1)
	if from, to := inside(axis.Low), inside(axis.High); to > from {
		c.line(from, y, to, y, "ink", 4)
	}
	if axis.Mark >= s.low && axis.Mark <= s.high {
		c.pin(s.at(axis.Mark), y)
	}
	by := step(s.high-s.low, 5)
	digits := digitsOf(by)
	for t := math.Ceil(s.low/by-1e-9) * by; t <= s.high+by*1e-6; t += by {
		words := Plain(t, digits)
		c.line(s.at(t), y, s.at(t), y+5, "axis", 1)
		c.text(s.at(t), y+19, "middle", "small soft num", words)
	}
	if unit {
		c.text(s.to+7, y-8, "end", "small soft halo", axis.Unit)
	}
}

// pin stands on the axis with its head above.
func (c *canvas) pin(x, y float64) {
	c.line(x, y-9, x, y+3, "ink", 1.6)
	c.circle(x, y-11, 3, "full", 0)
}

// curveKey says what is what, of what is there.
func (c *canvas) curveKey(axis CurveAxis, panels []CurvePanel, y float64) float64 {
	entries := []keyEntry{
		{"simulation: more bouts would narrow it", func(x, y float64) { c.strokesOf(x, y, "s-plan", 1.7) }},
		{"all doubt: tape and assumptions too", func(x, y float64) { c.strokesOf(x, y, "axis", .8) }},
	}
	if anyPoint(panels, func(p *CurvePoint) bool { return p.Open }) {
		entries = append(entries, keyEntry{"no thin strokes: all doubt is not told apart from luck there", func(x, y float64) { c.line(x, y, x+24, y, "s-plan", 2.2) }})
	}
	entries = append(entries, keyEntry{axis.Believed, func(x, y float64) { c.line(x, y, x+24, y, "ink", 4) }},
		keyEntry{axis.Calibrate, func(x, y float64) { c.pin(x+12, y+6) }})
	if anyPoint(panels, func(p *CurvePoint) bool { return p.Beyond }) {
		entries = append(entries, keyEntry{"open, broken: outside of what is believed, extrapolation", func(x, y float64) {
			c.line(x, y, x+24, y, "s-plan broken", 2.2)
			c.diamond(x+12, y, 4.4, "open-plan")
		}})
	}
	for _, p := range panels {
		if len(p.Unclear) > 0 {
			entries = append(entries, keyEntry{"level strokes: here the better plan changes, or is not told", func(x, y float64) { c.outer(x, x+24, y-8, 16) }})
			break
		}
	}
	return c.keyed(y, entries)
}

func anyPoint(panels []CurvePanel, is func(*CurvePoint) bool) bool {
	for _, p := range panels {
		for i := range p.Points {
			if is(&p.Points[i]) {
				return true
			}
		}
	}
	return false
}

func (c *canvas) strokesOf(x, y float64, class string, width float64) {
	for i := range 6 {
		c.line(x+1+float64(i)*3.6, y-7, x+1+float64(i)*3.6, y+7, class, width)
	}
}
