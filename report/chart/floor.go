package chart

import (
	"fmt"
	"math"
)

// FloorMap is where somebody stood under one plan: shares of the time by square cells, row by row from the negative corner of x and y.
type FloorMap struct {
	Label  string
	Side   Side
	Shares []float64
}

// FloorArea is the fighting area: sides 0 is a circle. Distances in metres.
type FloorArea struct {
	Sides          int
	Diameter, Cell float64
	Columns        int
}

// Floor draws the maps side by side: a screen of dots whose areas are the shares, all on one scale, inside the fence or ropes.
func Floor(width float64, area FloorArea, maps []FloorMap) string {
	c := &canvas{width: width}
	columns := 2
	if width < 500 || len(maps) < 2 {
		columns = 1
	}
	each := math.Min((width-28*float64(columns-1))/float64(columns), 290)
	most := 0.0
	for _, m := range maps {
		for _, x := range m.Shares {
			most = max(most, x)
		}
	}
	rows := (len(maps) + columns - 1) / columns
	for i, m := range maps {
		x, y := float64(i%columns)*(each+28), float64(i/columns)*(each+44)
		c.text(x, y+14, "start", "t-"+m.Side.String(), short(m.Label, each))
		c.floor(m, area, most, x, y+26, each)
	}
	c.height = float64(rows)*(each+44) - 8
	return c.done(floorWords(area, maps))
}

func (c *canvas) floor(m FloorMap, a FloorArea, most, x, y, size float64) {
	reach := a.reach()
	px := size / (2 * reach) // a metre
	middleX, middleY := x+size/2, y+size/2
	c.fence(a, middleX, middleY, px)
	c.line(middleX-6, middleY, middleX+6, middleY, "axis", 1)
	c.line(middleX, middleY-6, middleX, middleY+6, "axis", 1)
	cell := a.Cell * px
	for i, share := range m.Shares {
		if most == 0 || share < most/400 {
			continue
		}
		cx := middleX + (float64(i%a.Columns)-float64(a.Columns/2))*cell
		cy := middleY + (float64(i/a.Columns)-float64(a.Columns/2))*cell
		r := .56 * cell * math.Sqrt(share/most)
		if m.Side == Plan {
			c.diamond(cx, cy, 1.2*r, "full-plan")
			continue
		}
		c.circle(cx, cy, r, "full-usual", 0)
	}
}

// reach is how far the area goes from its middle: to the corners of a polygon.
func (a FloorArea) reach() float64 {
	if a.Sides < 3 {
		return a.Diameter/2 + .15
	}
	return a.Diameter/2/math.Cos(math.Pi/float64(a.Sides)) + .15
}

func (c *canvas) fence(a FloorArea, x, y, px float64) {
	for _, line := range []struct {
		out   float64
		width float64
	}{{0, 1.6}, {.12, .7}} {
		if a.Sides < 3 {
			c.circle(x, y, (a.Diameter/2+line.out)*px, "ink", line.width)
			continue
		}
		d := ""
		r := (a.Diameter/2 + line.out) / math.Cos(math.Pi/float64(a.Sides)) * px
		for i := range a.Sides {
			angle := 2 * math.Pi * (float64(i) + .5) / float64(a.Sides)
			d += map[bool]string{true: "M", false: "L"}[i == 0] + f(x+r*math.Cos(angle)) + "," + f(y+r*math.Sin(angle))
		}
		c.path(d+"z", "ink", fmt.Sprintf(` stroke-width="%s"`, f(line.width)))
	}
}

// Within is the share of time spent no further than so many metres from the middle, by cell middles.
func (m *FloorMap) Within(a FloorArea, metres float64) (share float64) {
	for i, x := range m.Shares {
		if a.distance(i) <= metres {
			share += x
		}
	}
	return share
}

// FromMiddle is the mean distance from the middle, m, by cell middles.
func (m *FloorMap) FromMiddle(a FloorArea) (metres float64) {
	for i, x := range m.Shares {
		metres += x * a.distance(i)
	}
	return metres
}

func (a FloorArea) distance(i int) float64 {
	return a.Cell * math.Hypot(float64(i%a.Columns-a.Columns/2), float64(i/a.Columns-a.Columns/2))
}

func floorWords(a FloorArea, maps []FloorMap) string {
	out := "Where the time was spent on the floor. "
	for _, m := range maps {
		out += fmt.Sprintf("%s: %.1f m from the middle on average, %.0f %% of the time within 1.5 m of it. ", m.Label, m.FromMiddle(a), 100*m.Within(a, 1.5))
	}
	return out
}
