package chart

import (
	"fmt"
	"math"
)

// Strip is a whole cut into parts; the parts of all strips have the same names in the same order.
type Strip struct {
	Label string
	Side  Side
	Parts []float64 // of 1
}

// Strips draws the wholes under each other, each cut into textured parts with their size in 100, and the names of the parts below.
func Strips(width float64, names []string, textures []Texture, strips []Strip) string {
	c := &canvas{width: width}
	y := 0.0
	var ends [][]float64
	const high = 34.0
	for _, s := range strips {
		c.text(1, y+14, "start", "t-"+s.Side.String(), short(s.Label, width))
		y += 22
		ends = append(ends, c.strip(s, textures, y, high))
		y += high + 30
	}
	c.joins(ends, high)
	y = c.key(names, textures, y-6)
	c.height = y + 2
	words := ""
	for _, s := range strips {
		words += s.Label + ":"
		for i, n := range Hundred(s.Parts...) {
			words += fmt.Sprintf(" %s %d,", names[i], n)
		}
		words = words[:len(words)-1] + ". "
	}
	return c.done(words)
}

func (c *canvas) strip(s Strip, textures []Texture, y, high float64) []float64 {
	total := 0.0
	for _, x := range s.Parts {
		total += max(x, 0)
	}
	x := 1.0
	ends := []float64{x}
	whole := Hundred(s.Parts...)
	for i, part := range s.Parts {
		w := (c.width - 2) * max(part, 0) / math.Max(total, 1e-12)
		c.texture(textures[i], x, y, w, high)
		if words := fmt.Sprint(whole[i]); w > widthOf(words)+2 {
			c.text(x+w/2, y+high+14, "middle", "small num", words)
		}
		x += w
		ends = append(ends, x)
	}
	return ends
}

// joins ties the cuts of neighbouring strips together, so that what moved is seen.
func (c *canvas) joins(ends [][]float64, high float64) {
	for i := 1; i < len(ends); i++ {
		top := 22 + high + float64(i-1)*(high+52)
		for j := 1; j < len(ends[i])-1; j++ {
			c.line(ends[i-1][j], top+19, ends[i][j], top+52, "axis", .7)
		}
	}
}

// key names the textures, in as many columns as there is room for.
func (c *canvas) key(names []string, textures []Texture, y float64) float64 {
	widest := 0.0
	for _, n := range names {
		widest = max(widest, widthOf(n))
	}
	columns := max(1, int(c.width/(widest+34)))
	rows := (len(names) + columns - 1) / columns
	for i, n := range names {
		x, line := float64(i/rows)*c.width/float64(columns), y+float64(i%rows)*21
		c.texture(textures[i], x+1, line, 18, 13)
		c.text(x+25, line+11, "start", "small", n)
	}
	return y + float64(rows)*21
}
