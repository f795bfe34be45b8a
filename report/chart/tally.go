package chart

import (
	"fmt"
	"math"
)

// TallyRow is one count under both plans, per something ("in a bout"), as a scorer would keep it: strokes in fives.
type TallyRow struct {
	Name        string
	Usual, Plan float64 // not negative
	Digits      int
}

// Tallies draws every row as two lines of strokes, fives crossed out, what is left over as a shorter stroke.
func Tallies(width float64, usual, plan string, rows []TallyRow) string {
	c := &canvas{width: width}
	y := 0.0
	words := ""
	for _, r := range rows {
		for _, line := range fit(r.Name, width) {
			c.text(0, y+13, "start", "strong", line)
			y += 18
		}
		by := strokeOf(max(r.Usual, r.Plan), width)
		if by > 1 {
			c.text(0, y+11, "start", "small soft", fmt.Sprintf("one stroke for %g", by))
			y += 16
		}
		y = c.tally(usual, Usual, r.Usual, by, r.Digits, y)
		y = c.tally(plan, Plan, r.Plan, by, r.Digits, y)
		y += 16
		words += fmt.Sprintf("%s: %s %s, %s %s. ", r.Name, usual, Plain(r.Usual, r.Digits), plan, Plain(r.Plan, r.Digits))
	}
	c.height = y - 8
	return c.done(words)
}

// strokeWidth is the room of a stroke; five take one more.
const strokeWidth = 7.0

// strokeOf is how much a stroke stands for, so that a row stays on one line.
func strokeOf(most, width float64) float64 {
	fits := math.Floor((width - tallyFrom(width)) / (6.4 * strokeWidth) * 5)
	for by := 1.0; ; by *= 10 {
		for _, x := range []float64{1, 2, 5} {
			if most <= fits*by*x {
				return by * x
			}
		}
	}
}

// tallyFrom is where strokes begin: beside the plan's name where there is room.
func tallyFrom(width float64) float64 {
	if width < 500 {
		return 48
	}
	return 190
}

func (c *canvas) tally(label string, side Side, n, by float64, digits int, y float64) float64 {
	from := tallyFrom(c.width)
	c.text(from-10, y+17, "end", "num t-"+side.String(), Plain(n, digits))
	if c.width >= 500 {
		c.text(0, y+17, "start", "small t-"+side.String(), short(label, from-60))
	}
	class, high, thick := "s-"+side.String(), 18.0, 1.6
	if side == Plan {
		thick = 2.6
	}
	strokes := n / by
	whole := int(strokes + 1e-9)
	x := from
	for i := range whole {
		if i%5 == 4 {
			c.line(x-4*strokeWidth-3, y+17, x-strokeWidth+3, y+5, class, thick)
			x += .9 * strokeWidth
			continue
		}
		c.line(x, y+2, x+.8, y+2+high, class, thick)
		x += strokeWidth
	}
	if left := strokes - float64(whole); left > .05 {
		c.line(x, y+2+high*(1-left), x+.4, y+2+high, class, thick)
	}
	return y + 27
}
