package chart

import (
	"fmt"
	"math"
	"strings"
)

// RibbonPoint is a share of time in one stretch with its band; From and To are in seconds since the bell.
type RibbonPoint struct {
	Round           int
	From, To        float64
	Mean, Low, High float64
}

// RibbonLine is one plan's course of a share.
type RibbonLine struct {
	Side   Side
	Points []RibbonPoint
}

// RibbonPanel is one share under both plans.
type RibbonPanel struct {
	Name  string
	Lines []RibbonLine
}

// Ribbons draws a panel a share, all on one scale: round after round, each plan a line in a ribbon of strokes.
func Ribbons(width float64, rounds int, seconds float64, panels []RibbonPanel) string {
	c := &canvas{width: width}
	columns, high := 1, 74.0
	if width >= 500 {
		columns = 2
	}
	each := (width - 24*float64(columns-1)) / float64(columns)
	most := 0.0
	for _, p := range panels {
		for _, l := range p.Lines {
			for _, x := range l.Points {
				most = max(most, x.Mean, x.High)
			}
		}
	}
	rows := (len(panels) + columns - 1) / columns
	for i, p := range panels {
		y, x := float64(i/columns)*(high+54), float64(i%columns)*(each+24)
		s, ticks := around(0, max(100*most, 1), 3, y+26+high, y+26)
		c.ribbons(p, s, ticks, x, each, rounds, seconds)
	}
	c.height = float64(rows)*(high+54) + 4
	return c.done(ribbonWords(panels))
}

func ribbonWords(panels []RibbonPanel) string {
	var b strings.Builder
	b.WriteString("Share of time by range, quarter minute by quarter minute. ")
	for _, p := range panels {
		fmt.Fprintf(&b, "%s:", p.Name)
		for _, l := range p.Lines {
			if n := len(l.Points); n > 0 {
				fmt.Fprintf(&b, " %s from %.0f %% to %.0f %%;", l.Side, 100*l.Points[0].Mean, 100*l.Points[n-1].Mean)
			}
		}
		b.WriteString(" ")
	}
	return b.String()
}

func (c *canvas) ribbons(p RibbonPanel, s scale, ticks []float64, x, width float64, rounds int, seconds float64) {
	const left, gap = 36.0, 6.0
	c.text(x, s.to-12, "start", "strong", short(p.Name, width))
	for _, t := range ticks {
		c.line(x+left, s.at(t), x+width, s.at(t), "rule", 1)
		words := Plain(t, 0)
		if t == ticks[len(ticks)-1] {
			words += " %"
		}
		c.text(x+left-5, s.at(t)+4, "end", "small soft num", words)
	}
	round := (width - left - gap*float64(rounds-1)) / float64(rounds)
	for r := range rounds {
		from := x + left + float64(r)*(round+gap)
		c.line(from, s.from, from+round, s.from, "axis", 1)
		name := fmt.Sprintf("round %d", r+1)
		if widthOf(name) > round {
			name = fmt.Sprint(r + 1)
		}
		c.text(from+round/2, s.from+15, "middle", "small soft", name)
		for _, l := range p.Lines {
			c.ribbon(l, s, r+1, scale{0, seconds, from, from + round})
		}
	}
}

// ribbon draws one round of one line; points stand in the middle of their stretch. The ribbon is upright strokes, thin for the baseline and
// thick for the plan, side by side where both are.
func (c *canvas) ribbon(l RibbonLine, y scale, round int, x scale) {
	var middle []string
	var band strings.Builder
	at, width := 0.0, "0.8"
	if l.Side == Plan {
		at, width = 1.7, "1.5"
	}
	var last *RibbonPoint
	for i := range l.Points {
		p := &l.Points[i]
		if p.Round != round {
			continue
		}
		middle = append(middle, f(x.at(p.middle()))+","+f(y.at(100*p.Mean)))
		if last != nil {
			strokes(&band, last, p, x, y, at)
		}
		last = p
	}
	if len(middle) == 0 {
		return
	}
	side := l.Side.String()
	if band.Len() > 0 {
		c.path(band.String(), "s-"+side, ` stroke-width="`+width+`"`)
	}
	class := "s-" + side
	if l.Side == Usual {
		class += " broken"
	}
	c.path("M"+strings.Join(middle, "L"), class, ` stroke-width="2.2" stroke-linejoin="round"`)
}

func (p *RibbonPoint) middle() float64 { return (p.From + p.To) / 2 }

// strokes fills the band between two points with upright strokes on a grid that starts at phase px.
func strokes(d *strings.Builder, a, b *RibbonPoint, x, y scale, phase float64) {
	const apart = 3.4
	from, to := x.at(a.middle()), x.at(b.middle())
	for at := math.Ceil((from-phase)/apart)*apart + phase; at < to; at += apart {
		part := (at - from) / (to - from)
		low, high := a.Low+part*(b.Low-a.Low), a.High+part*(b.High-a.High)
		if y.at(100*low)-y.at(100*high) > .5 {
			stroke(d, at, y.at(100*low), at, y.at(100*high))
		}
	}
}
