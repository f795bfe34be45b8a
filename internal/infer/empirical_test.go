package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// Efron & Hastie 2016, Computer Age Statistical Inference, section 6.1, Table 6.1 (from memory): motor claims 0 to 7 of 9461 policies. Robbins' formula
// gives .168 .363 .527 1.33 1.43 6.00; the gamma by maximum likelihood has shape .70 and scale .31, and expects .164 .398 .633 .87 1.10 1.34 1.57.
func TestMotorClaims(t *testing.T) {
	policies := []float64{7840, 1317, 239, 42, 14, 4, 4, 1}
	var units []Counted
	total := 0.0
	for claims, n := range policies {
		total += n
		for range int(n) {
			units = append(units, Counted{float64(claims), 1})
		}
	}
	require.Equal(t, 9461.0, total)
	fit, ok := FitGamma(units, Lean{}, 100)
	require.True(t, ok)
	require.InDelta(t, .70, fit.Shape, .005)
	require.InDelta(t, .31, 1/fit.Rate, .005)
	require.False(t, fit.AtLimit)
	for x, want := range []float64{.164, .398, .633, .87, 1.10, 1.34, 1.57} {
		require.InDelta(t, want, fit.Update(float64(x), 1, 1).Mean(), .006, "claims %d", x)
	}
	// Robbins' figures need no gamma. Where policies are many, (x+1)·y(x+1)/y(x) has the standard error √(1/y(x)+1/y(x+1)) of itself, and both agree.
	for x, robbins := range []float64{0.16798469387755102, 0.36294608959757024, 0.5271966527196653} {
		se := robbins * math.Sqrt(1/policies[x]+1/policies[x+1])
		require.InDelta(t, robbins, fit.Update(float64(x), 1, 1).Mean(), 4.9*se)
	}
	// With every exposure 1 the fitted mean is the plain one, whose variance is (m+m²/a)/n.
	m := (1317 + 2*239 + 3*42 + 4*14 + 5*4 + 6*4 + 7.0) / 9461
	relative(t, "mean", fit.Mean(), m, 1e-9)
	relative(t, "standard error", fit.MeanSE, math.Sqrt((m+m*m/fit.Shape)/9461), 2e-3)
}

// George, Makov & Smith 1993, Scand. J. Stat. 20, 147–156; Pumps of the BUGS manual (from memory): under a ~ Exp(1), b ~ Gamma(.1, 1) the printed
// posterior means and standard deviations are .70, .27 and .92, .54; by quadrature 0.6971692, 0.2707749, 0.926808, 0.5428209.
// Here [Gamma.LogMarginal] is summed over a grid in (ln a, ln b): the sum over a smooth peak is exact to 1e-5 and better.
func TestPumps(t *testing.T) {
	exposure := []float64{94.3, 15.7, 62.9, 126, 5.24, 31.4, 1.05, 1.05, 2.1, 10.5}
	failures := []float64{5, 1, 5, 14, 3, 19, 1, 1, 4, 22}
	var units []Counted
	for i := range exposure {
		units = append(units, Counted{failures[i], exposure[i]})
	}
	var weight, a1, a2, b1, b2 float64
	const step = .02
	for u := -5.0; u < 3; u += step {
		for v := -14.0; v < 4; v += step {
			a, b := math.Exp(u), math.Exp(v)
			w := math.Exp(MarginalOf(units, Gamma{a, b}) - a + (.1-1)*v - b + u + v + 50) // u+v: da·db = ab·du·dv
			weight += w
			a1, a2, b1, b2 = a1+w*a, a2+w*a*a, b1+w*b, b2+w*b*b
		}
	}
	require.InDelta(t, .6971692, a1/weight, 1e-5)
	require.InDelta(t, .2707749, math.Sqrt(a2/weight-a1*a1/weight/weight), 1e-5)
	require.InDelta(t, .926808, b1/weight, 1e-5)
	require.InDelta(t, .5428209, math.Sqrt(b2/weight-b1*b1/weight/weight), 1e-5)

	// The fit is where the marginal likelihood is highest: no neighbour of its is higher.
	fit, ok := FitGamma(units, Lean{}, 100)
	require.True(t, ok)
	for _, da := range []float64{-.01, 0, .01} {
		for _, db := range []float64{-.01, 0, .01} {
			g := Gamma{fit.Shape * (1 + da), fit.Rate * (1 + db)}
			require.LessOrEqual(t, MarginalOf(units, g), MarginalOf(units, fit.Gamma)+1e-9)
		}
	}
	// A tight belief about the shape is kept.
	tight, _ := FitGamma(units, Lean{Size: 4, SD: .01}, 100)
	require.InDelta(t, 4, tight.Shape, .1)
}

// Gelman et al. 2013, Bayesian Data Analysis, section 5.3: under p(a, b) ∝ (a+b)^(-5/2) the posterior mode in (ln a/b, ln(a+b)) is -1.78578302,
// 2.74154855 (printed: near -1.8, 2.7), and E[a/(a+b)|y] is 0.1442973 (exact, by quadrature). A Dirichlet of two shares is a beta.
func TestRatsByMarginal(t *testing.T) {
	y, n := rats()
	var units []Chosen
	for i := range y {
		units = append(units, Chosen{Counts: []float64{y[i], n[i] - y[i]}})
	}
	cells := NewCells(2, units)
	value := func(u, v float64) float64 { // (u, v) to (a, b) carries the Jacobian a·b
		b := math.Exp(v) / (1 + math.Exp(u))
		a := math.Exp(v) - b
		return cells.LogMarginal(Dirichlet{a, b}) - 2.5*v + math.Log(a*b)
	}
	const mu, mv, h = -1.7857830160356594, 2.741548554616725, 1e-4
	require.InDelta(t, 0, (value(mu+h, mv)-value(mu-h, mv))/(2*h), 1e-4)
	require.InDelta(t, 0, (value(mu, mv+h)-value(mu, mv-h))/(2*h), 1e-4)
	require.Less(t, value(mu+.01, mv), value(mu, mv))
	require.Less(t, value(mu, mv+.01), value(mu, mv))
	weight, mean := 0.0, 0.0
	for u := -3.0; u < -1; u += .02 {
		for v := 0.0; v < 12; v += .05 {
			w := math.Exp(value(u, v) - value(mu, mv))
			weight += w
			mean += w / (1 + math.Exp(-u))
		}
	}
	require.InDelta(t, .1442973, mean/weight, 1e-4)

	// The fit is where the likelihood itself is highest, whether by the betas of this package or by the cells.
	fit, ok := FitDirichlet(cells, Dirichlet{1, 1}, Lean{}, 1000)
	require.True(t, ok)
	sum := func(b Beta) (s float64) {
		for i := range y {
			s += b.LogMarginal(y[i], n[i])
		}
		return s
	}
	best := sum(Beta{fit.Dirichlet[0], fit.Dirichlet[1]})
	relative(t, "both ways", cells.LogMarginal(fit.Dirichlet), best, 1e-9)
	for _, d := range [][2]float64{{.01, 0}, {-.01, 0}, {0, .01}, {0, -.01}, {.01, .01}, {-.01, -.01}} {
		require.Less(t, sum(Beta{fit.Dirichlet[0] * (1 + d[0]), fit.Dirichlet[1] * (1 + d[1])}), best)
	}
	// Mosimann's error of the share against the curvature of the likelihood in it, the sum of weights held.
	total := fit.Dirichlet[0] + fit.Dirichlet[1]
	q := fit.Dirichlet[0] / total
	at := func(q float64) float64 { return sum(Beta{q * total, (1 - q) * total}) }
	curvature := -(at(q+1e-4) - 2*at(q) + at(q-1e-4)) / 1e-8
	relative(t, "standard error", cells.ShareErrors(fit.Dirichlet)[0], 1/math.Sqrt(curvature), .1) // moments are a little less sharp than likelihood
}

// Units without any spread: the fit goes to the limit and says so; with a belief about the spread it stays with it.
func TestNoSpread(t *testing.T) {
	var even []Counted
	var same []Chosen
	for range 30 {
		even = append(even, Counted{50, 10})
		same = append(same, Chosen{Counts: []float64{30, 10}})
	}
	fit, ok := FitGamma(even, Lean{}, 80)
	require.True(t, ok)
	require.True(t, fit.AtLimit)
	require.InDelta(t, 80, fit.Shape, 1)
	relative(t, "mean", fit.Mean(), 5, 1e-9)
	d, ok := FitDirichlet(NewCells(2, same), Dirichlet{7, 7}, Lean{}, 200)
	require.True(t, ok)
	require.True(t, d.AtLimit)
	// Near the best q, ψ(a+30)-ψ(a) = ψ(b+10)-ψ(b) with a = 200q; since ψ(x) is about ln(x-1/2) there, q = 599/800.
	require.InDelta(t, 599./800, d.Dirichlet[0]/(d.Dirichlet[0]+d.Dirichlet[1]), 1e-4)
	v := FitSpread([]Shifted{{.1, 5, 5}, {-.2, 5, 5}, {.1, 5, 5}, {0, 5, 5}}, .09, 4, .01)
	require.Less(t, v.Variance, .09)

	_, ok = FitGamma(nil, Lean{}, 80)
	require.False(t, ok)
	_, ok = FitGamma([]Counted{{0, 10}}, Lean{}, 80)
	require.False(t, ok)
	_, ok = FitDirichlet(NewCells(2, nil), Dirichlet{1, 1}, Lean{}, 80)
	require.False(t, ok)
	require.InDelta(t, .09, FitSpread(nil, .09, 4, .01).Variance, 1e-12, "without units: what was believed before")
	require.InDelta(t, .09*math.Sqrt(2./4), FitSpread(nil, .09, 4, .01).SE, 1e-12)
}

// Fits come back: units drawn from a known gamma, Dirichlet (some counted with two categories joined, some with one barred) and spread. Over 40 sets
// each estimate's mean lies within 4.9 of its standard errors of the truth, plus the bias that maximum likelihood has for a spread from 40 units,
// of the order of the truth over the number of units.
func TestFitsComeBack(t *testing.T) {
	src := random(5)
	var means, shapes, first, sizes, spreads Group
	for range 40 {
		g := distuv.Gamma{Alpha: 3, Beta: 3 / .2, Src: src}
		var units []Counted
		for range 40 {
			exposure := 20 + 200*src.Float64()
			units = append(units, Counted{distuv.Poisson{Lambda: g.Rand() * exposure, Src: src}.Rand(), exposure})
		}
		fit, _ := FitGamma(units, Lean{}, 100)
		means.Add(fit.Mean())
		shapes.Add(math.Log(fit.Shape))
		d, _ := FitDirichlet(NewCells(3, drawn(src, 40)), Dirichlet{1, 1, 1}, Lean{}, 1000)
		total := d.Dirichlet[0] + d.Dirichlet[1] + d.Dirichlet[2]
		first.Add(d.Dirichlet[0] / total)
		sizes.Add(math.Log(total))
		var shifts []Shifted
		for range 200 {
			luck := 1 + 20*src.Float64()
			shifts = append(shifts, Shifted{luck*.3*src.NormFloat64() + math.Sqrt(luck)*src.NormFloat64(), luck, luck})
		}
		spreads.Add(FitSpread(shifts, .2, 4, 1e-4).Variance)
	}
	near(t, "mean", means, .2, 0)
	near(t, "ln shape", shapes, math.Log(3), 1./10)
	near(t, "share", first, .6, 0)
	near(t, "ln weights", sizes, math.Log(12), 1./10)
	near(t, "spread", spreads, .09, .005) // four units of .2 among those 200, worth about half as much each: (.2-.09)·4/100 at most
}

func drawn(src interface{ Uint64() uint64 }, n int) (units []Chosen) {
	for i := range n {
		a := distuv.Gamma{Alpha: 7.2, Beta: 1, Src: src}.Rand()
		b := distuv.Gamma{Alpha: 3.6, Beta: 1, Src: src}.Rand()
		c := distuv.Gamma{Alpha: 1.2, Beta: 1, Src: src}.Rand()
		p := []float64{a, b, c}
		u := Chosen{Counts: make([]float64, 3)}
		switch i % 4 {
		case 0:
			p[2], u.Barred = 0, []int{2}
		case 1:
			u.Joined = []int{1, 2}
		}
		for range 60 {
			k := int(distuv.NewCategorical(p, src).Rand())
			if k > 0 && u.Joined != nil {
				u.JoinedCount++
			} else {
				u.Counts[k]++
			}
		}
		units = append(units, u)
	}
	return units
}
