package infer

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// LogMarginal is the logarithm of the negative-binomial chance, up to a constant in the counts, of so many events in an exposure when the
// rate is drawn from the gamma: lnΓ(a+y)-lnΓ(a)+a·ln b-(a+y)·ln(b+t) (Gelman et al. 2013, Bayesian Data Analysis, section 2.6).
func (g Gamma) LogMarginal(count, exposure float64) float64 {
	if !(count >= 0 && exposure >= 0) {
		panic("infer: a count or an exposure below 0")
	}
	up, _ := math.Lgamma(g.Shape + count)
	down, _ := math.Lgamma(g.Shape)
	return up - down + g.Shape*math.Log(g.Rate) - (g.Shape+count)*math.Log(g.Rate+exposure)
}

// Counted is one unit (a fighter, a pump): events in an exposure.
type Counted struct{ Count, Exposure float64 }

// Lean is what is believed of a spread beforehand: the logarithm of a prior's size is normal around that of Size with standard deviation SD;
// 0 leaves the size to the data.
type Lean struct{ Size, SD float64 }

func (l Lean) penalty(size float64) float64 {
	if l.SD == 0 {
		return 0
	}
	z := math.Log(size/l.Size) / l.SD
	return -z * z / 2
}

// GammaFit is a gamma estimated from many units.
type GammaFit struct {
	Gamma
	MeanSE  float64 // standard error of the mean, from the observed information, the shape's doubt included
	AtLimit bool    // the shape is the largest that was allowed: the units differ no more than luck makes them
}

// Shapes between which a fit looks.
const leastShape = .05

// FitGamma estimates the gamma from which the units' rates are drawn by maximum marginal likelihood (empirical Bayes; Efron & Hastie 2016,
// Computer Age Statistical Inference, section 6.1), the shape at most most. Units without exposure tell nothing. It reports false where
// there is no event or no exposure at all.
func FitGamma(units []Counted, lean Lean, most float64) (GammaFit, bool) {
	events, exposure := 0.0, 0.0
	for _, u := range units {
		events, exposure = events+u.Count, exposure+u.Exposure
	}
	if !(events > 0 && exposure > 0) {
		return GammaFit{}, false
	}
	value := func(logShape float64) float64 {
		shape := math.Exp(logShape)
		return MarginalOf(units, GammaOfShape(units, shape)) + lean.penalty(shape)
	}
	shape := math.Exp(highest(value, math.Log(leastShape), math.Log(most)))
	fit := GammaFit{Gamma: GammaOfShape(units, shape), AtLimit: shape > most*.99}
	fit.MeanSE = meanError(units, fit, lean)
	return fit, true
}

// FitShape estimates the shape that several sets of units share, each with a mean of its own, by maximum marginal likelihood. Every set must have
// an event and an exposure.
func FitShape(sets [][]Counted, lean Lean, most float64) float64 {
	return math.Exp(highest(func(logShape float64) float64 {
		shape := math.Exp(logShape)
		sum := lean.penalty(shape)
		for _, units := range sets {
			sum += MarginalOf(units, GammaOfShape(units, shape))
		}
		return sum
	}, math.Log(leastShape), math.Log(most)))
}

// MarginalOf adds up [Gamma.LogMarginal] over units.
func MarginalOf(units []Counted, g Gamma) (sum float64) {
	for _, u := range units {
		if u.Exposure > 0 {
			sum += g.LogMarginal(u.Count, u.Exposure)
		}
	}
	return sum
}

// GammaOfShape gives the gamma of that shape whose mean has the largest marginal likelihood: Σ(a+y)/(a+m·t) over the units equals their number, by
// bisection, since the left side falls with m. There must be an event and an exposure.
func GammaOfShape(units []Counted, shape float64) Gamma {
	n, fastest := 0.0, 0.0
	for _, u := range units {
		if u.Exposure > 0 {
			n++
			fastest = max(fastest, u.Count/u.Exposure)
		}
	}
	low, high := 0.0, fastest
	for range 60 {
		m, sum := (low+high)/2, 0.0
		for _, u := range units {
			if u.Exposure > 0 {
				sum += (shape + u.Count) / (shape + m*u.Exposure)
			}
		}
		if sum > n {
			low = m
		} else {
			high = m
		}
	}
	return Gamma{shape, shape / ((low + high) / 2)}
}

// meanError is from the curvature of the marginal likelihood in the logarithms of mean and shape; at the limit the shape is taken as known.
func meanError(units []Counted, fit GammaFit, lean Lean) float64 {
	const h = 1e-3
	value := func(dm, ds float64) float64 {
		shape := fit.Shape * math.Exp(ds)
		return MarginalOf(units, Gamma{shape, shape / (fit.Mean() * math.Exp(dm))}) + lean.penalty(shape)
	}
	at := value(0, 0)
	mm := -(value(h, 0) - 2*at + value(-h, 0)) / (h * h)
	ss := -(value(0, h) - 2*at + value(0, -h)) / (h * h)
	ms := -(value(h, h) - value(h, -h) - value(-h, h) + value(-h, -h)) / (4 * h * h)
	if !fit.AtLimit && ss > 0 {
		mm -= ms * ms / ss
	}
	return fit.Mean() / math.Sqrt(max(mm, 1e-12))
}

// highest gives the place of the highest value between two ends: the best of a grid, then golden section around it.
func highest(value func(float64) float64, low, high float64) float64 {
	const grid = 16
	best, at := math.Inf(-1), low
	for i := range grid + 1 {
		x := low + (high-low)*float64(i)/grid
		if v := value(x); v > best {
			best, at = v, x
		}
	}
	a, b := max(at-(high-low)/grid, low), min(at+(high-low)/grid, high)
	golden := (math.Sqrt(5) - 1) / 2
	c, d := b-golden*(b-a), a+golden*(b-a)
	vc, vd := value(c), value(d)
	for b-a > 1e-7 {
		if vc >= vd {
			b, d, vd = d, c, vc
			c = b - golden*(b-a)
			vc = value(c)
		} else {
			a, c, vc = c, d, vd
			d = a + golden*(b-a)
			vd = value(d)
		}
	}
	if x := (a + b) / 2; value(x) >= best {
		return x
	}
	return at
}

// Chosen is one unit's choices among the categories of a Dirichlet. Categories that were joined when the unit was counted stand in Joined (by
// index) and have their common number in JoinedCount; those in Barred could not be chosen and say nothing. A subset of a Dirichlet's shares,
// and sums of them, are Dirichlet themselves, so both are exact.
type Chosen struct {
	Counts      []float64 // by category; 0 where joined or barred
	Joined      []int
	JoinedCount float64
	Barred      []int
}

// cells gives the categories of a unit as lists of what is joined in each, and their counts.
func (c *Chosen) cells() (members [][]int, counts []float64) {
	away := map[int]bool{}
	for _, i := range c.Joined {
		away[i] = true
	}
	for _, i := range c.Barred {
		away[i] = true
	}
	for i, n := range c.Counts {
		if !away[i] {
			members, counts = append(members, []int{i}), append(counts, n)
		}
	}
	if len(c.Joined) > 0 {
		members, counts = append(members, c.Joined), append(counts, c.JoinedCount)
	}
	return members, counts
}

// Cells are the units of a Dirichlet fit, made ready once.
type Cells struct {
	size  int
	units []cellUnit
}

type cellUnit struct {
	members [][]int
	counts  []float64
	total   float64
}

// NewCells makes units ready, all of which have so many categories.
func NewCells(size int, units []Chosen) *Cells {
	c := &Cells{size: size}
	for i := range units {
		if len(units[i].Counts) != size {
			panic("infer: units with different categories")
		}
		var u cellUnit
		u.members, u.counts = units[i].cells()
		for _, n := range u.counts {
			if !(n >= 0) {
				panic("infer: a count below 0")
			}
			u.total += n
		}
		if u.total > 0 {
			c.units = append(c.units, u)
		}
	}
	return c
}

// LogMarginal is the logarithm of the Dirichlet-multinomial chance of all units' choices, one given order each.
func (c *Cells) LogMarginal(d Dirichlet) (sum float64) {
	gamma := func(x float64) float64 { v, _ := math.Lgamma(x); return v }
	for i := range c.units {
		u := &c.units[i]
		whole := 0.0
		for k, members := range u.members {
			a := 0.0
			for _, m := range members {
				a += d[m]
			}
			whole += a
			if u.counts[k] > 0 {
				if a == 0 {
					return math.Inf(-1)
				}
				sum += gamma(a+u.counts[k]) - gamma(a)
			}
		}
		sum += gamma(whole) - gamma(whole+u.total)
	}
	return sum
}

// step is one step of the fixed point α ← α·Σ[ψ(α+n)-ψ(α)]/Σ[ψ(A+N)-ψ(A)], which never lowers the marginal likelihood (Minka 2000, Estimating
// a Dirichlet distribution, section 3, from memory); a joined cell's share of it goes to its members by their weight.
func (c *Cells) step(d Dirichlet) Dirichlet {
	up, down := make([]float64, c.size), make([]float64, c.size)
	for i := range c.units {
		u := &c.units[i]
		sums := make([]float64, len(u.members))
		whole := 0.0
		for k, members := range u.members {
			for _, m := range members {
				sums[k] += d[m]
			}
			whole += sums[k]
		}
		per := mathext.Digamma(whole+u.total) - mathext.Digamma(whole)
		for k, members := range u.members {
			gain := 0.0
			if u.counts[k] > 0 && sums[k] > 0 {
				gain = mathext.Digamma(sums[k]+u.counts[k]) - mathext.Digamma(sums[k])
			}
			for _, m := range members {
				up[m] += gain
				down[m] += per
			}
		}
	}
	out := make(Dirichlet, c.size)
	for m := range out {
		if out[m] = d[m]; down[m] > 0 {
			out[m] = d[m] * up[m] / down[m]
		}
	}
	return out
}

// DirichletFit is a Dirichlet estimated from many units.
type DirichletFit struct {
	Dirichlet
	AtLimit bool // the sum of weights is the largest that was allowed
}

// FitDirichlet estimates the Dirichlet from which the units' shares are drawn by maximum marginal likelihood, from a start whose zeros stay,
// the sum of its weights at most most: fixed-point steps for the shares and a search for the sum, by turns, until neither moves it. It
// reports false if no unit has a choice.
func FitDirichlet(c *Cells, start Dirichlet, lean Lean, most float64) (DirichletFit, bool) {
	if len(c.units) == 0 {
		return DirichletFit{}, false
	}
	d := append(Dirichlet(nil), start...)
	size := 0.0
	for range 60 {
		before := append(Dirichlet(nil), d...)
		for range 10 {
			d = c.step(d)
		}
		d, size = c.resize(d, lean, most)
		if d.distance(before) < 1e-5 {
			break
		}
	}
	return DirichletFit{d, size > most*.99}, true
}

// resize gives the Dirichlet of the same shares with the best sum of weights.
func (c *Cells) resize(d Dirichlet, lean Lean, most float64) (Dirichlet, float64) {
	total := 0.0
	for _, a := range d {
		total += a
	}
	scaled := make(Dirichlet, len(d))
	at := func(logSize float64) Dirichlet {
		for i := range d {
			scaled[i] = d[i] * math.Exp(logSize) / total
		}
		return scaled
	}
	best := highest(func(x float64) float64 { return c.LogMarginal(at(x)) + lean.penalty(math.Exp(x)) }, math.Log(.1), math.Log(most))
	return at(best), math.Exp(best)
}

// distance is the largest difference of a weight, relative to the sum of weights.
func (d Dirichlet) distance(o Dirichlet) (far float64) {
	total := 0.0
	for i := range d {
		total += d[i]
		far = max(far, math.Abs(d[i]-o[i]))
	}
	return far / total
}

// ShareErrors are the standard errors of a fit's shares: √(q(1-q)/m), where a unit of N choices counts for N/(1+(N-1)/(A+1)) of the m, since
// choices of one unit hang together (the variance of a Dirichlet-multinomial count; Mosimann 1962, Biometrika 49, 65–82, from memory). It is 0 for
// a category that no unit tells from another.
func (c *Cells) ShareErrors(d Dirichlet) []float64 {
	total := 0.0
	for _, a := range d {
		total += a
	}
	worth := make([]float64, c.size)
	for i := range c.units {
		u := &c.units[i]
		n := u.total / (1 + (u.total-1)/(total+1))
		for _, members := range u.members {
			if len(members) == 1 {
				worth[members[0]] += max(n, 0)
			}
		}
	}
	out := make([]float64, c.size)
	for k := range out {
		q := d[k] / total
		if worth[k] > 0 {
			out[k] = math.Sqrt(q * (1 - q) / worth[k])
		}
	}
	return out
}

// Shifted is one unit whose successes lie over those expected: Over = successes - expected, Luck the variance that chance alone gives it, Slope by
// how much a shift of the unit moves it.
type Shifted struct{ Over, Luck, Slope float64 }

// SpreadFit is a variance between units.
type SpreadFit struct {
	Variance float64
	SE       float64 // of the variance
	AtLimit  bool    // the variance is the smallest that was allowed
}

// FitSpread estimates the variance of the shifts between units by moments: (Over²-Luck)/Slope² has that variance as its mean, and the variance
// 2·(Luck/Slope²+v)² if shifts are normal, by which units are weighed (a variance component by minimum variance; Rao 1971, from memory).
// What was believed before, v0, counts as that many units of whom everything is known; least is the smallest that is believed.
func FitSpread(units []Shifted, v0, counts, least float64) SpreadFit {
	v := v0
	var information float64
	for range 20 {
		sum := counts / (2 * v0 * v0) * v0
		information = counts / (2 * v0 * v0)
		for _, u := range units {
			if u.Slope <= 0 {
				continue
			}
			s := u.Slope * u.Slope
			noise := u.Luck/s + max(v, least)
			w := 1 / (2 * noise * noise)
			sum += w * (u.Over*u.Over - u.Luck) / s
			information += w
		}
		before := v
		if v = sum / information; math.Abs(v-before) < 1e-9 {
			break
		}
	}
	return SpreadFit{max(v, least), 1 / math.Sqrt(information), v <= least}
}
