package chart

import (
	"fmt"
	"math"
	"slices"
)

// IconArray is a hundred bouts under one plan, as counts that add up to 100.
type IconArray struct {
	Label            string
	Side             Side
	Won, Drawn, Lost int // Drawn: nobody's
}

// Hundred turns shares that add up to 1 into whole numbers that add up to 100. The first is rounded to the nearest, the rest by largest
// remainders, so that the number that is spoken of is the one that is drawn.
func Hundred(shares ...float64) []int {
	out := make([]int, len(shares))
	if len(shares) == 0 {
		return out
	}
	out[0] = min(max(int(math.Round(100*shares[0])), 0), 100)
	rest := 0.0
	for _, x := range shares[1:] {
		rest += max(x, 0)
	}
	if rest == 0 || len(shares) == 1 {
		out[0] = 100
		return out
	}
	left := 100 - out[0]
	order := make([]int, 0, len(shares)-1)
	parts := make([]float64, len(shares))
	given := 0
	for i := 1; i < len(shares); i++ {
		exact := max(shares[i], 0) / rest * float64(left)
		out[i] = int(exact + 1e-9)
		parts[i] = exact - float64(out[i])
		given += out[i]
		order = append(order, i)
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case parts[a] > parts[b]:
			return -1
		case parts[a] < parts[b]:
			return 1
		}
		return 0
	})
	for i := range left - given {
		out[order[i%len(order)]]++
	}
	return out
}

// Icons draws the arrays side by side, as many in a row as there is room for: ten rows of ten, won ones first, each group in a shape of its
// own.
func Icons(width float64, arrays []IconArray) string {
	c := &canvas{width: width}
	columns := min(len(arrays), max(2, int(width/200)))
	each := width / float64(columns)
	cell := math.Min(19, math.Floor((each-16)/10))
	block := 10*cell + 78
	for i, a := range arrays {
		x, y := float64(i%columns)*each, float64(i/columns)*block
		c.hundred(a, x+cell/2, y, cell, each-10)
	}
	c.height = math.Ceil(float64(len(arrays))/float64(columns)) * block
	return c.done(iconWords(arrays))
}

func iconWords(arrays []IconArray) string {
	out := "Of a hundred bouts each:"
	for i, a := range arrays {
		if i > 0 {
			out += ";"
		}
		out += fmt.Sprintf(" %s: %d won, %d nobody's, %d lost", a.Label, a.Won, a.Drawn, a.Lost)
	}
	return out + "."
}

func (c *canvas) hundred(a IconArray, x, y, cell, room float64) {
	c.text(x-cell/2+2, y+14, "start", "t-"+a.Side.String(), short(a.Label, room))
	top := y + 26 + cell/2
	for i := range 100 {
		px, py := x+2+float64(i%10)*cell, top+float64(i/10)*cell
		r := cell * .36
		switch {
		case i < a.Won && a.Side == Usual: // ringed, so that the two arrays differ in more than ink
			c.circle(px, py, r, "open-usual", 1.6)
			c.circle(px, py, r*.5, "full-usual", 0)
		case i < a.Won:
			c.circle(px, py, r, "full-plan", 1.6)
		case i < a.Won+a.Drawn:
			c.line(px-r*.8, py, px+r*.8, py, "ink", 2)
		default:
			c.line(px-r*.55, py-r*.55, px+r*.55, py+r*.55, "axis", 1)
			c.line(px-r*.55, py+r*.55, px+r*.55, py-r*.55, "axis", 1)
		}
	}
	base := top + 10*cell
	c.text(x-cell/2+2, base+12, "start", "big num", fmt.Sprintf("%d won", a.Won))
	c.text(x-cell/2+2, base+31, "start", "soft small num", fmt.Sprintf("%d lost, %d nobody's", a.Lost, a.Drawn))
}
