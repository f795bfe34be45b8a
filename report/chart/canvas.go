// Package chart draws charts as inline SVG: pure functions from numbers and words to marks. It decides shapes, inks and layout at a
// given width in CSS pixels; what the numbers are and what they mean is left to the caller. A page that shows charts holds [Variables] and
// [Style]. Words are escaped here, so that names may hold anything.
//
// Order of reading: palette (the language), canvas, hatch and scale (how it is drawn), then one chart a file, then figure (title, finding, table,
// both widths).
package chart

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
)

// canvas collects marks.
type canvas struct {
	b             strings.Builder
	width, height float64
}

// f writes a coordinate with one digit, so that recorded files do not hang on the last bits.
func f(x float64) string {
	x = math.Round(x*10) / 10
	if x == 0 {
		x = 0 // no minus
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func (c *canvas) line(x1, y1, x2, y2 float64, class string, width float64) {
	fmt.Fprintf(&c.b, `<path class="%s" d="M%s,%sL%s,%s" stroke-width="%s"/>`, class, f(x1), f(y1), f(x2), f(y2), f(width))
}

func (c *canvas) path(d, class, more string) {
	fmt.Fprintf(&c.b, `<path class="%s" d="%s"%s/>`, class, d, more)
}

func (c *canvas) circle(x, y, r float64, class string, width float64) {
	fmt.Fprintf(&c.b, `<circle class="%s" cx="%s" cy="%s" r="%s" stroke-width="%s"/>`, class, f(x), f(y), f(r), f(width))
}

func (c *canvas) diamond(x, y, r float64, class string) {
	c.path(fmt.Sprintf("M%s,%sl%s,%sl%s,%sl%s,%sz", f(x), f(y-r), f(r), f(r), f(-r), f(r), f(-r), f(-r)), class, "")
}

// box is the edge of a rectangle.
func (c *canvas) box(x, y, w, h float64, class string) {
	fmt.Fprintf(&c.b, `<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`, class, f(x), f(y), f(max(w, 0)), f(h))
}

// text writes words; anchor is start, middle or end.
func (c *canvas) text(x, y float64, anchor, class, words string) {
	fmt.Fprintf(&c.b, `<text x="%s" y="%s" text-anchor="%s" class="%s">%s</text>`, f(x), f(y), anchor, class, html.EscapeString(words))
}

// done closes the drawing. what says in words what it shows, for those who do not see it.
func (c *canvas) done(what string) string {
	return fmt.Sprintf(`<svg class="wb" viewBox="0 0 %s %s" role="img" aria-label="%s">%s</svg>`, f(c.width), f(c.height), html.EscapeString(what), c.b.String())
}

// widthOf is about how wide words are in the charts' sans serif at 13 px; half a letter's error is allowed for.
func widthOf(words string) float64 { return 7.2 * float64(len([]rune(words))) }

// fit breaks words into lines no wider than width, cutting a word that is wider still.
func fit(words string, width float64) (lines []string) {
	most := max(int(width/7.2), 4)
	line := []rune{}
	for _, word := range strings.Fields(words) {
		w := []rune(word)
		if len(w) > most {
			w = append(w[:most-1:most-1], '…')
		}
		switch {
		case len(line) == 0:
			line = w
		case len(line)+1+len(w) <= most:
			line = append(append(line, ' '), w...)
		default:
			lines, line = append(lines, string(line)), w
		}
	}
	return append(lines, string(line))
}

// short cuts words to one line.
func short(words string, width float64) string {
	lines := fit(words, width)
	if len(lines) == 1 {
		return lines[0]
	}
	r := []rune(lines[0])
	if most := max(int(width/7.2), 4); len(r) > most-2 {
		r = r[:most-2]
	}
	return strings.TrimRight(string(r), " ,.") + " …"
}

// Signed writes a number with its sign; what rounds to nothing has none.
func Signed(x float64, digits int) string {
	s := fmt.Sprintf("%+.*f", digits, x)
	if strings.Trim(s, "+-0.") == "" {
		return s[1:]
	}
	return strings.Replace(s, "-", "\u2212", 1)
}

// Plain writes a number.
func Plain(x float64, digits int) string {
	s := fmt.Sprintf("%.*f", digits, x)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return strings.Replace(s, "-", "\u2212", 1)
}
