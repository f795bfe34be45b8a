package chart

import "math"

// scale maps values to places.
type scale struct {
	low, high float64 // values
	from, to  float64 // px
}

func (s scale) at(x float64) float64 {
	if s.high == s.low {
		return s.from
	}
	return s.from + (x-s.low)/(s.high-s.low)*(s.to-s.from)
}

// step is a round distance (1, 2 or 5 times a power of ten) that cuts a range into at most so many parts.
func step(span float64, parts int) float64 {
	if !(span > 0) || math.IsInf(span, 0) {
		return 1
	}
	raw := span / float64(max(parts, 1))
	unit := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, by := range []float64{1, 2, 5} {
		if raw <= by*unit*(1+1e-9) {
			return by * unit
		}
	}
	return 10 * unit
}

// around gives a scale over values, rounded outwards to steps, and its ticks.
func around(low, high float64, parts int, from, to float64) (scale, []float64) {
	if !(high > low) {
		high = low + 1
	}
	by := step(high-low, parts)
	first, last := math.Floor(low/by+1e-9), math.Ceil(high/by-1e-9)
	var ticks []float64
	for i := first; i <= last; i++ {
		ticks = append(ticks, i*by)
	}
	return scale{first * by, last * by, from, to}, ticks
}

// digitsOf is how many decimals a step needs.
func digitsOf(by float64) int { return max(0, int(-math.Floor(math.Log10(by)+1e-9))) }

// axis draws a level axis with ticks and their numbers below.
func (c *canvas) axis(s scale, ticks []float64, y float64, write func(x float64, digits int) string) {
	c.line(s.from, y, s.to, y, "axis", 1)
	digits := 0
	if len(ticks) > 1 {
		digits = digitsOf(ticks[1] - ticks[0])
	}
	for _, x := range ticks {
		c.line(s.at(x), y, s.at(x), y+4, "axis", 1)
		c.text(s.at(x), y+17, "middle", "small soft num", write(x, digits))
	}
}
