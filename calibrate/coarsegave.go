package calibrate

import (
	"math"

	"whatbout/fighter"
	"whatbout/tape"
)

// backTarget is a figure of which giving ground tells something: a step back in a table, or its rate.
type backTarget struct {
	figure fighter.Figure
	table  []fighter.Figure // nil for a rate
}

// log gives the figure's log-odds in its table, or its logarithm.
func (b *backTarget) log(get func(fighter.Figure) float64) float64 {
	return math.Log(get(b.figure) / b.rest(get))
}

func (b *backTarget) rest(get func(fighter.Figure) float64) float64 {
	if b.table == nil {
		return 1
	}
	sum := -get(b.figure)
	for _, f := range b.table {
		sum += get(f)
	}
	return sum
}

// variance is what is open of the log-odds or logarithm: of a gamma with shape a it is about 1/a.
func (b *backTarget) variance(p *fighter.Profile) float64 {
	v := 1 / p.Figures[b.figure].A
	if b.table != nil {
		rest := b.rest(func(f fighter.Figure) float64 { return p.Figures[f].Mean(fighter.Weight) })
		v += b.rest(func(f fighter.Figure) float64 {
			return math.Pow(p.Figures[f].Mean(fighter.Weight), 2) / max(p.Figures[f].A, 1e-9)
		}) / (rest * rest)
	}
	return v
}

func backTargets(population *fighter.PopulationFile) (out []backTarget) {
	add := func(f fighter.Figure, table []fighter.Figure) {
		if population.Figures[f].A > 0 {
			out = append(out, backTarget{f, table})
		}
	}
	for _, table := range []func(int, tape.Move) fighter.Figure{fighter.Answer, fighter.Continue} {
		for z := range fighter.ExchangeZones {
			var all []fighter.Figure
			for m := range tape.NumMoves {
				all = append(all, table(z, m))
			}
			add(table(z, tape.MoveStepBack), all)
		}
	}
	for t := range fighter.NumThreats {
		var all []fighter.Figure
		for r := range fighter.NumResponses {
			all = append(all, fighter.Defend(t, r))
		}
		add(fighter.Defend(t, fighter.StepBack), all)
	}
	for z := fighter.Kicking; z <= fighter.Pocket; z++ {
		add(fighter.Initiate(z, tape.MoveStepBack), nil)
	}
	return out
}

// gaveUsual is what giving ground tells in the population's bouts: the log-odds of giving ground in an exchange are
// centre + Σ slope·(target - its mean) + circumstances.
type gaveUsual struct {
	targets       []backTarget
	slope, mean   []float64
	centre        float64
	circumstances float64 // variance
	dispersion    float64 // of exchanges in which ground was given, between bouts of one fighter, over independent ones
}

// mostlyChance is how many standard errors of none, 1/√fighters, a correlation must exceed to be taken for one. With 17 targets a
// false one turns up in one of 20 such tables.
const mostlyChance = 3

// gave fits the slopes one by one, since targets are independent in the population.
func (w *coarseWatch) gave() gaveUsual {
	var y []float64
	noise := 0.0
	for _, c := range w.seen {
		y = append(y, logOdds(c.gave[1], c.gave[0]))
		q := (c.gave[1] + .5) / (c.gave[0] + 1)
		noise += 1 / (c.gave[0] * q * (1 - q)) / coarseFighters
	}
	u := gaveUsual{dispersion: math.Max(w.gaveBetween(), 1)}
	var variance float64
	u.centre, variance = meanVariance(y)
	u.circumstances = variance - noise*u.dispersion
	for _, b := range backTargets(w.population) {
		var x []float64
		for _, d := range w.truths {
			x = append(x, b.log(d.Get))
		}
		mean, spread := meanVariance(x)
		cov := 0.0
		for i := range x {
			cov += (x[i] - mean) * (y[i] - u.centre) / (coarseFighters - 1)
		}
		if r := cov / math.Sqrt(spread*variance); math.Abs(r)*math.Sqrt(coarseFighters) < mostlyChance {
			continue
		}
		u.targets, u.slope, u.mean = append(u.targets, b), append(u.slope, cov/spread), append(u.mean, mean)
		u.circumstances -= cov * cov / spread
	}
	u.circumstances = math.Max(u.circumstances, 0)
	return u
}

// gaveBetween is Pearson's statistic of the bouts of each fighter around that fighter's share, over its degrees of freedom.
func (w *coarseWatch) gaveBetween() float64 {
	chi, df := 0.0, 0.0
	for who, bouts := range w.gaveBy {
		q := w.seen[who].gave[1] / w.seen[who].gave[0]
		for _, b := range bouts {
			if b[0] == 0 {
				continue
			}
			df++
			chi += math.Pow(b[1]-b[0]*q, 2) / (b[0] * q * (1 - q))
		}
		df--
	}
	return chi / df
}

func meanVariance(x []float64) (mean, variance float64) {
	mean = sum(x) / float64(len(x))
	for _, v := range x {
		variance += (v - mean) * (v - mean) / float64(len(x)-1)
	}
	return mean, variance
}

// setGave moves what steps back, by linear regression of each target on the log-odds of giving ground (best linear prediction with what
// is believed of the targets now). It gives how many figures moved.
func (t *coarseCounts) setGave(p *fighter.Profile, u *gaveUsual) int {
	n, k := t.gave[0], t.gave[1]
	if n == 0 {
		return 0
	}
	centre := p.Centre()
	expected, spread := u.centre, u.circumstances
	variance := make([]float64, len(u.targets))
	for i, b := range u.targets {
		variance[i] = b.variance(p)
		expected += u.slope[i] * (b.log(centre.Get) - u.mean[i])
		spread += u.slope[i] * u.slope[i] * variance[i]
	}
	q := (k + .5) / (n + 1)
	total := spread + u.dispersion/(n*q*(1-q))
	for i, b := range u.targets {
		together := u.slope[i] * variance[i]
		b.move(p, together*(logOdds(k, n)-expected)/total, together*together/total)
		p.Sources[b.figure] = fighter.FromTape
		p.Seen[b.figure] += k
	}
	return len(u.targets)
}

// move shifts the figure's logarithm and takes some of its variance away.
func (b *backTarget) move(p *fighter.Profile, shift, less float64) {
	post := p.Figures[b.figure]
	law := fighter.Define(b.figure).Law
	mean := post.Mean(law) * math.Exp(shift)
	shape := 1 / (1/post.A - math.Min(less, .9/post.A))
	if law == fighter.Rate {
		p.Figures[b.figure] = fighter.Posterior{A: shape, B: shape / mean}
		return
	}
	p.Figures[b.figure] = fighter.Posterior{A: shape, B: mean / shape}
}
