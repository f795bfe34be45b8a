package chart

import (
	"fmt"
	"strings"
)

// Patch is one part of a variance: its standard deviation is drawn as the side of a square, so that areas are variances.
type Patch struct {
	Name, Words string  // what it is; how large, and what would shrink it
	SD          float64 // or, if Open, its upper limit
	Open        bool    // not told from none
	Texture     Texture
}

// Ledger draws the squares in a row or, where it is narrow, under each other, all on one scale, each with its words.
func Ledger(width float64, patches []Patch) string {
	c := &canvas{width: width}
	most := 0.0
	for _, p := range patches {
		most = max(most, p.SD)
	}
	side, gap := 116.0, 18.0
	words := width - side - gap
	y := 2.0
	said := "Standard deviations, drawn as the sides of squares: "
	for i, p := range patches {
		edge := 0.0
		if most > 0 {
			edge = side * p.SD / most
		}
		top := y + 3
		c.patch(p, side-edge, top, edge)
		c.text(side+gap, y+14, "start", "strong", short(p.Name, words))
		at := y + 32
		for _, line := range fit(p.Words, words*1.08) {
			c.text(side+gap, at, "start", "small soft", line)
			at += 15
		}
		y = max(at-6, top+edge) + 14
		if i < len(patches)-1 {
			c.line(0, y-7, width, y-7, "rule", 1)
		}
		said += fmt.Sprintf("%s, %s; ", p.Name, p.Words)
	}
	c.height = y
	return c.done(strings.TrimSuffix(said, "; ") + ".")
}

// patch is a square of that edge; one that is not told from none is only outlined, in dots.
func (c *canvas) patch(p Patch, x, y, edge float64) {
	switch {
	case p.SD == 0:
		c.text(x, y+11, "end", "soft small", "none")
	case p.Open:
		c.path(fmt.Sprintf("M%s,%sh%sv%sh%sz", f(x), f(y), f(edge), f(edge), f(-edge)), "axis dotted", ` stroke-width="1.8"`)
	case edge < 8:
		c.texture("solid", x, y, max(edge, 1.5), max(edge, 1.5))
	default:
		c.texture(p.Texture, x, y, edge, edge)
	}
}
