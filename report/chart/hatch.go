package chart

import (
	"fmt"
	"strings"
)

// Texture fills a box, so that what it stands for is known without any ink's colour: solid, blank, rising, cross, level, upright or grain.
// Strokes are drawn one by one, as an engraver would: patterns of SVG need names that are unique in a page, and print as pictures.
type Texture string

// between strokes, px.
const spacing = 5.0

func (c *canvas) texture(t Texture, x, y, w, h float64) {
	w = max(w, 0)
	if t == "solid" {
		c.box(x, y, w, h, "full")
		return
	}
	var d strings.Builder
	class, width := "ink", "0.9"
	switch t {
	case "rising":
		rising(&d, x, y, w, h)
	case "cross":
		rising(&d, x, y, w, h)
		falling(&d, x, y, w, h)
	case "level":
		for at := y + spacing/2; at < y+h; at += spacing * .8 {
			stroke(&d, x, at, x+w, at)
		}
	case "upright":
		for at := x + spacing/2; at < x+w; at += spacing * .8 {
			stroke(&d, at, y, at, y+h)
		}
	case "grain":
		class, width = "grain", "1.8"
		for i, at := 0, y+spacing/2; at < y+h-1; i, at = i+1, at+spacing {
			for across := x + spacing/2*float64(1+i%2); across < x+w-1; across += spacing {
				fmt.Fprintf(&d, "M%s,%sh.01", f(across), f(at))
			}
		}
	}
	if d.Len() > 0 {
		c.path(d.String(), class, ` stroke-width="`+width+`"`)
	}
	c.box(x, y, w, h, "ink")
}

func stroke(d *strings.Builder, x1, y1, x2, y2 float64) {
	fmt.Fprintf(d, "M%s,%sL%s,%s", f(x1), f(y1), f(x2), f(y2))
}

// rising draws lines at 45 degrees, cut at the box.
func rising(d *strings.Builder, x, y, w, h float64) {
	for at := spacing; at < w+h; at += spacing * 1.2 { // how far right of the upper left corner the line meets the upper edge
		from, to := min(at, w), max(at-h, 0)
		stroke(d, x+from, y+at-from, x+to, y+at-to)
	}
}

func falling(d *strings.Builder, x, y, w, h float64) {
	for at := spacing; at < w+h; at += spacing * 1.2 { // how far left of the upper right corner
		from, to := min(at, w), max(at-h, 0)
		stroke(d, x+w-from, y+at-from, x+w-to, y+at-to)
	}
}
