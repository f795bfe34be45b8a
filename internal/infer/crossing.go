package infer

import (
	"math"
	"slices"
)

// Crossing is a stretch of a curve in which it cannot be told from zero, or a place where it passes zero.
type Crossing struct {
	At     []float64 `json:"at"` // where the mean curve passes zero in it, rising; none: it comes near and turns back, as far as the mean goes
	Low    float64   `json:"low"`
	High   float64   `json:"high"`
	Before int       `json:"before"` // sign of the curve just below Low: -1 or 1; 0: Low is the end of the range, and nothing says where it begins
	After  int       `json:"after"`  // just above High
}

// Told reports whether the curve is on different sides of zero before and after: it crosses there, an odd number of times.
func (c *Crossing) Told() bool { return c.Before*c.After < 0 }

// Crossings finds where a curve passes zero: values[k] is what draw k gives at each of the rising places at. Between places it is taken to
// be straight. The stretches are all places where Student's t does not tell the mean over draws from zero at the level: a confidence set for
// every place at which the mean curve is zero (Fieller 1954, J. R. Stat. Soc. B 16, 175–185, segment by segment; from memory), which holds
// each single crossing with the level's probability. No stretch: the curve stays on one side. One over the whole range: nothing is told.
//
// Same reports that every value is zero. There must be two draws and two places.
func Crossings(at []float64, values [][]float64, level float64) (stretches []Crossing, same bool) {
	if len(values) < 2 || len(at) < 2 {
		panic("infer: a crossing needs two draws and two places")
	}
	c := newMeanCurve(at, values, level)
	if c.zero() {
		return nil, true
	}
	for _, s := range c.untold() {
		s.At = placesIn(c.passes(), s.Low, s.High)
		if s.Low > at[0] {
			s.Before = c.sign(s.Low, -1)
		}
		if s.High < at[len(at)-1] {
			s.After = c.sign(s.High, 1)
		}
		stretches = append(stretches, s)
	}
	return stretches, false
}

// meanCurve holds means at places, and the variances and neighbours' covariances of those means.
type meanCurve struct {
	at, mean, variance, next []float64
	t                        float64
}

func newMeanCurve(at []float64, values [][]float64, level float64) *meanCurve {
	k, n := float64(len(values)), len(at)
	c := &meanCurve{at: at, mean: make([]float64, n), variance: make([]float64, n), next: make([]float64, n), t: studentQuantile(level, k-1)}
	for _, row := range values {
		for j := range at {
			c.mean[j] += row[j] / k
		}
	}
	for _, row := range values {
		for j := range at {
			d := row[j] - c.mean[j]
			c.variance[j] += d * d / k / (k - 1)
			if j+1 < n {
				c.next[j] += d * (row[j+1] - c.mean[j+1]) / k / (k - 1)
			}
		}
	}
	return c
}

func (c *meanCurve) zero() bool {
	for j := range c.at {
		if c.mean[j] != 0 || c.variance[j] != 0 {
			return false
		}
	}
	return true
}

// segment gives, at share s of the way from place j to the next, the mean and mean² - t²·variance: above zero it is told from zero.
func (c *meanCurve) segment(j int, s float64) (mean, told float64) {
	mean = (1-s)*c.mean[j] + s*c.mean[j+1]
	variance := (1-s)*(1-s)*c.variance[j] + 2*s*(1-s)*c.next[j] + s*s*c.variance[j+1]
	return mean, mean*mean - c.t*c.t*max(variance, 0)
}

// roots are the shares of segment j, rising and inside, at which the quadratic told of it passes zero.
func (c *meanCurve) roots(j int) (out []float64) {
	t2, rise := c.t*c.t, c.mean[j+1]-c.mean[j]
	a := rise*rise - t2*(c.variance[j]+c.variance[j+1]-2*c.next[j])
	b := c.mean[j]*rise - t2*(c.next[j]-c.variance[j])
	z := c.mean[j]*c.mean[j] - t2*c.variance[j]
	switch d := b*b - a*z; {
	case a == 0 && b != 0:
		out = []float64{-z / (2 * b)}
	case a != 0 && d >= 0:
		q := -(b + math.Copysign(math.Sqrt(d), b)) // no cancellation
		out = []float64{q / a}
		if q != 0 {
			out = append(out, z/q)
		}
	}
	slices.Sort(out)
	return slices.DeleteFunc(out, func(s float64) bool { return !(s > 0 && s < 1) })
}

// untold joins the pieces of all segments that cannot be told from zero.
func (c *meanCurve) untold() (out []Crossing) {
	add := func(low, high float64) {
		if n := len(out); n > 0 && out[n-1].High >= low {
			out[n-1].High = max(out[n-1].High, high)
			return
		}
		out = append(out, Crossing{Low: low, High: high})
	}
	for j := range len(c.at) - 1 {
		place := func(s float64) float64 {
			if s == 1 {
				return c.at[j+1]
			}
			return c.at[j] + s*(c.at[j+1]-c.at[j])
		}
		cuts := append(append([]float64{0}, c.roots(j)...), 1)
		for i := range len(cuts) - 1 {
			if _, told := c.segment(j, (cuts[i]+cuts[i+1])/2); told <= 0 {
				add(place(cuts[i]), place(cuts[i+1]))
			}
		}
		for _, x := range placesIn(c.passes(), c.at[j], c.at[j+1]) { // without variance a crossing is a place, not a stretch
			if n := len(out); n == 0 || out[n-1].High < x {
				add(x, x)
			}
		}
	}
	return out
}

// passes lists where the mean curve changes its sign, rising. A stretch of zeros counts where it begins.
func (c *meanCurve) passes() (out []float64) {
	last, from := 0.0, 0.0
	for j, m := range c.mean {
		switch {
		case m == 0 && last != 0 && c.mean[j-1] != 0:
			from = c.at[j]
		case m*last < 0 && c.mean[j-1] == 0:
			out = append(out, from)
		case m*last < 0:
			out = append(out, c.at[j-1]+(c.at[j]-c.at[j-1])*last/(last-m))
		}
		if m != 0 {
			last = m
		}
	}
	return out
}

func placesIn(places []float64, low, high float64) []float64 {
	out := []float64{}
	for _, x := range places {
		if x >= low && x <= high {
			out = append(out, x)
		}
	}
	return out
}

// sign is that of the mean just beside x; told from zero there, the mean is not zero at x itself unless nothing varies.
func (c *meanCurve) sign(x float64, side int) int {
	j := 0
	for j < len(c.at)-2 && (c.at[j+1] < x || c.at[j+1] == x && side > 0) {
		j++
	}
	mean, _ := c.segment(j, (x-c.at[j])/(c.at[j+1]-c.at[j]))
	if mean == 0 {
		mean = float64(side) * (c.mean[j+1] - c.mean[j])
	}
	if mean < 0 {
		return -1
	}
	return 1
}
