package chart

// keyEntry is what a mark means; draw draws it in a place of 26 px by 14, from its left middle.
type keyEntry struct {
	words string
	draw  func(x, y float64)
}

// keyed sets entries one after the other, as many in a line as there is room for, and breaks words that are wider than the drawing. It gives the y
// below.
func (c *canvas) keyed(y float64, entries []keyEntry) float64 {
	const mark, gap = 32.0, 22.0
	x := 0.0
	for _, e := range entries {
		lines := fit(e.words, (c.width-mark)*1.1)
		wide := mark
		for _, line := range lines {
			wide = max(wide, mark+widthOf(line)*11.5/13)
		}
		if x > 0 && x+wide > c.width {
			x, y = 0, y+21
		}
		e.draw(x+2, y)
		for i, line := range lines {
			c.text(x+mark, y+4+15*float64(i), "start", "small soft", line)
		}
		x += wide + gap
		if len(lines) > 1 {
			x, y = c.width, y+15*float64(len(lines)-1)
		}
	}
	return y + 14
}
