package chart

import "fmt"

// StatedPoint is how often something came true that was said to come with a chance, with the band in which a right model's lies.
type StatedPoint struct {
	Said, Came, Low, High float64 // shares
	Count                 int
}

// Stated draws what came true against what was said: on the rising line both are the same. Marks within their band are rings, marks outside full.
func Stated(width float64, said, came string, points []StatedPoint) string {
	c := &canvas{width: width}
	size := min(width-54, 330)
	x := scale{0, 100, 46, 46 + size}
	y := scale{0, 100, 14 + size, 14}
	for t := 0.0; t <= 100; t += 25 {
		c.line(x.from, y.at(t), x.to, y.at(t), "rule", 1)
		c.text(x.from-6, y.at(t)+4, "end", "small soft num", Plain(t, 0))
		c.text(x.at(t), y.from+18, "middle", "small soft num", Plain(t, 0))
	}
	c.line(x.at(0), y.at(0), x.at(100), y.at(100), "zero", 1.5)
	words := ""
	for _, p := range points {
		c.line(x.at(100*p.Said), y.at(100*p.Low), x.at(100*p.Said), y.at(100*p.High), "axis", 5)
		if p.Came < p.Low || p.Came > p.High {
			c.diamond(x.at(100*p.Said), y.at(100*p.Came), 5.6, "full-plan")
		} else {
			c.circle(x.at(100*p.Said), y.at(100*p.Came), 4.4, "open-usual", 2)
		}
		words += fmt.Sprintf("Said %s of 100, came %s, expected %s to %s. ", Plain(100*p.Said, 0), Plain(100*p.Came, 0), Plain(100*p.Low, 0), Plain(100*p.High, 0))
	}
	c.text(x.from, y.from+36, "start", "small soft", short("level: "+said, width-50))
	c.text(x.from, y.from+52, "start", "small soft", short("upright: "+came, width-50))
	c.height = y.from + 58
	return c.done(words)
}
