package chart

import (
	"fmt"
	"math"
)

// Offer is a plan with its gain and its price, each with the interval of the simulation.
type Offer struct {
	Letter, Name          string
	Gain, GainLow, GainUp float64
	Beaten                bool // by another plan, in gain and every price at once
	Barred                bool // by harm
}

// Charge is what an offer adds to one price.
type Charge struct{ Adds, Low, Up float64 }

// FrontierPanel is one price; Charges go by offer.
type FrontierPanel struct {
	Name    string
	Charges []Charge
}

// Frontier draws a panel a price: gain upwards, what is added to the price to the right. The harm line stands where as usual does; right of it, on
// the hatched field, a plan costs more than as usual. As usual is the ring at the crossing.
func Frontier(width float64, gain string, offers []Offer, panels []FrontierPanel) string {
	c := &canvas{width: width}
	columns := len(panels)
	if width < 500 {
		columns = 1
	}
	each, high := (width-20*float64(columns-1))/float64(columns), 190.0
	low, top := 0.0, 0.0
	for _, o := range offers {
		low, top = min(low, o.GainLow, o.Gain), max(top, o.GainUp, o.Gain)
	}
	c.text(0, 12, "start", "small soft", "upwards: gain, "+gain)
	deep := high + 72
	for i, p := range panels {
		x, y := float64(i%columns)*(each+20), 22+float64(i/columns)*deep
		s, ticks := around(low, top, 4, y+26+high, y+26)
		c.frontier(p, offers, s, ticks, x, y, each)
	}
	rows := (len(panels) + columns - 1) / columns
	c.height = c.offers(offers, 22+float64(rows)*deep+6)
	return c.done(frontierWords(offers, panels))
}

func frontierWords(offers []Offer, panels []FrontierPanel) string {
	words := ""
	for i, o := range offers {
		words += fmt.Sprintf("%s, %s: gain %s", o.Letter, o.Name, Signed(o.Gain, 1))
		for _, p := range panels {
			words += fmt.Sprintf(", %s %s", p.Name, Signed(p.Charges[i].Adds, 2))
		}
		words += "; " + o.stand() + ". "
	}
	return words
}

func (o *Offer) stand() string {
	switch {
	case o.Barred:
		return "kept out by its price"
	case o.Beaten:
		return "another gains as much for no more"
	}
	return "no other gains as much for no more"
}

func (c *canvas) frontier(p FrontierPanel, offers []Offer, s scale, ticks []float64, x, y, width float64) {
	const left = 34.0
	c.text(x, y+14, "start", "strong", short(p.Name, width))
	low, high := 0.0, 0.0
	for _, q := range p.Charges {
		low, high = min(low, q.Low), max(high, q.Up)
	}
	across, marks := around(low, high, 3, x+left, x+width-8)
	c.dearer(across.at(0), across.to+8, s.to, s.from)
	for _, t := range ticks {
		c.text(x+left-5, s.at(t)+4, "end", "small soft num", Signed(t, digitsOf(ticks[1]-ticks[0])))
	}
	c.line(across.from, s.at(0), across.to+8, s.at(0), "zero", 1.5)
	c.line(across.at(0), s.to-4, across.at(0), s.from, "ink", 2)
	for i := range offers {
		o, q := &offers[i], p.Charges[i]
		px, py := across.at(q.Adds), s.at(o.Gain)
		c.line(across.at(q.Low), py, across.at(q.Up), py, "axis", .9)
		c.line(px, s.at(o.GainLow), px, s.at(o.GainUp), "axis", .9)
	}
	c.circle(across.at(0), s.at(0), 5, "open-usual", 2.2)
	taken := [][2]float64{{across.at(0), s.at(0)}}
	for i := range offers {
		taken = append(taken, [2]float64{across.at(p.Charges[i].Adds), s.at(offers[i].Gain)})
	}
	for i := range offers {
		px, py := taken[i+1][0], taken[i+1][1]
		c.offer(&offers[i], px, py)
		lx, ly := freest(px, py, taken)
		taken = append(taken, [2]float64{lx, ly})
		c.text(lx, ly+4, "middle", "strong halo", offers[i].Letter)
	}
	c.axis(across, marks, s.from, Signed)
	c.text(across.at(0)+4, s.from-5, "start", "small soft halo", "costs more")
}

// dearer hatches the field right of the harm line.
func (c *canvas) dearer(from, to, top, bottom float64) {
	var d []byte
	for at := top + 3; at < bottom; at += 6 {
		d = fmt.Appendf(d, "M%s,%sH%s", f(from), f(at), f(to))
	}
	c.path(string(d), "rule", ` stroke-width="1"`)
}

func (c *canvas) offer(o *Offer, x, y float64) {
	switch {
	case o.Barred:
		c.diamond(x, y, 5.6, "open-plan")
		c.line(x-7, y-7, x+7, y+7, "ink", 1.8)
		c.line(x-7, y+7, x+7, y-7, "ink", 1.8)
	case o.Beaten:
		c.diamond(x, y, 5.6, "open-plan")
	default:
		c.diamond(x, y, 6, "full-plan")
	}
}

// freest is the place for a letter beside a mark that is farthest from all that is there.
func freest(x, y float64, taken [][2]float64) (bx, by float64) {
	best := -1.0
	for _, d := range [][2]float64{{13, -10}, {-13, -10}, {13, 11}, {-13, 11}, {0, -16}, {0, 17}, {17, 0}, {-17, 0}} {
		nearest := math.Inf(1)
		for _, t := range taken {
			nearest = min(nearest, math.Hypot(x+d[0]-t[0], y+d[1]-t[1]))
		}
		if nearest > best+.5 {
			best, bx, by = nearest, x+d[0], y+d[1]
		}
	}
	return bx, by
}

// offers is the key: a plan each.
func (c *canvas) offers(offers []Offer, y float64) float64 {
	c.circle(8, y, 5, "open-usual", 2.2)
	y = c.lines("as usual; the upright line through it is the harm line", 22, y)
	for i := range offers {
		o := &offers[i]
		c.offer(o, 8, y)
		c.text(22, y+4, "start", "strong", o.Letter)
		y = c.lines(o.Name+": "+o.stand(), 38, y)
	}
	return y - 6
}

// lines sets small words under each other as wide as there is room, and gives the y of what comes next.
func (c *canvas) lines(words string, x, y float64) float64 {
	for i, line := range fit(words, (c.width-x)*1.1) {
		if i > 0 {
			y += 15
		}
		c.text(x, y+4, "start", "small", line)
	}
	return y + 22
}
