package chart

import (
	"fmt"
	"math"
	"slices"
)

// RankRow is one group of figures: where each coded one stands among the simulated, from 0 (fewer than all) to 1 (more than all).
type RankRow struct {
	Name, Verdict string
	Off           bool // the group is called wrong
	Ranks         []float64
}

// Ranks draws a row a group: a mark for every figure, piled where they meet; the middle nine tenths of the simulated are the open field, the
// outer twentieths are hatched. Marks inside are rings, marks outside are full diamonds.
func Ranks(width float64, low, high string, rows []RankRow) string {
	c := &canvas{width: width}
	s := scale{0, 1, 4, width - 4}
	y := 0.0
	words := ""
	for _, r := range rows {
		y = c.rankRow(r, s, y)
		words += fmt.Sprintf("%s: %s; %d of %d outside. ", r.Name, r.Verdict, Outside(r.Ranks), len(r.Ranks))
	}
	c.text(s.from, y+12, "start", "small soft", short(low, width/2-8))
	c.text(s.to, y+12, "end", "small soft", short(high, width/2-8))
	c.height = y + 18
	return c.done(words)
}

// Outside counts ranks in the outer twentieths.
func Outside(ranks []float64) (n int) {
	for _, x := range ranks {
		if x < .05 || x > .95 {
			n++
		}
	}
	return n
}

const rankSize = 9.0

func (c *canvas) rankRow(r RankRow, s scale, y float64) float64 {
	class := "soft small"
	if r.Off {
		class = "small strong"
	}
	c.text(s.from, y+14, "start", "strong", r.Name)
	c.text(s.to, y+14, "end", class, short(r.Verdict, s.to-s.from-widthOf(r.Name)-10))
	columns, highest := map[int]int{}, 1
	for _, x := range r.Ranks {
		at := rankColumn(x, s)
		columns[at]++
		highest = max(highest, columns[at])
	}
	high := float64(max(highest, 2))*rankSize + 4
	top := y + 22
	c.outer(s.at(0), s.at(.05), top, high)
	c.outer(s.at(.95), s.at(1), top, high)
	c.line(s.from, top+high, s.to, top+high, "axis", .8)
	c.line(s.at(.5), top+high-4, s.at(.5), top+high+4, "axis", 1)
	seen := map[int]int{}
	for _, x := range slices.Sorted(slices.Values(r.Ranks)) {
		at := rankColumn(x, s)
		px := min(max(float64(at)*rankSize, s.from+4), s.to-4)
		py := top + high - 2 - rankSize/2 - float64(seen[at])*rankSize
		seen[at]++
		if x < .05 || x > .95 {
			c.diamond(px, py, 4.4, "full-plan")
			continue
		}
		c.circle(px, py, 3.2, "open-usual", 1.4)
	}
	return top + high + 16
}

func rankColumn(x float64, s scale) int { return int(math.Round(s.at(x) / rankSize)) }

// outer is a field outside of the middle nine tenths: hatched without an edge.
func (c *canvas) outer(from, to, y, high float64) {
	var d []byte
	for at := y + 3; at < y+high; at += 4 {
		d = fmt.Appendf(d, "M%s,%sH%s", f(from), f(at), f(to))
	}
	c.path(string(d), "rule", ` stroke-width="1.4"`)
}
