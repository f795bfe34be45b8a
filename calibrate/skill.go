package calibrate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"whatbout/fighter"
)

// Fit is what tape says together about the skills of one family of acts: of everybody on it, since people who met share what is
// known of them.
type Fit struct {
	Family fighter.Family
	Names  []string      // "badger.attack.straight", ...: everybody's attack by id, then everybody's defence
	Mean   []float64     // log-odds against the population
	Cov    *mat.SymDense // of the same, in the same order
}

// posterior gives one skill alone.
func (f *Fit) posterior(name string) (fighter.Posterior, bool) {
	i := slices.Index(f.Names, name)
	if i < 0 {
		return fighter.Posterior{}, false
	}
	return fighter.Posterior{A: f.Mean[i], B: math.Sqrt(f.Cov.At(i, i))}, true
}

func skillName(id string, f fighter.Figure) string { return id + "." + fighter.Define(f).Name }

// setSkills fits all families and takes each fighter's skills over into their profile.
func setSkills(profiles map[string]*fighter.Profile, tries []attempt, population *fighter.PopulationFile, u *usual) (fits []Fit) {
	for f := range fighter.NumFamilies {
		var some []attempt
		for _, a := range tries {
			if family, _ := fighter.FamilyOf(a.move.Act()); family == f {
				some = append(some, a)
			}
		}
		if len(some) == 0 {
			continue
		}
		prior := population.Figures[fighter.Attack(f)].B
		fit := fitSkills(some, f, prior, u)
		for id, p := range profiles {
			for _, figure := range []fighter.Figure{fighter.Attack(f), fighter.Defence(f)} {
				if post, ok := fit.posterior(skillName(id, figure)); ok {
					set(p, figure, post, prior)
				}
			}
		}
		fits = append(fits, fit)
	}
	return fits
}

// set takes over a skill; one that the tape left at its prior still counts as the population's.
func set(p *fighter.Profile, f fighter.Figure, post fighter.Posterior, prior float64) {
	p.Figures[f] = post
	if post.B >= prior*.999 {
		return
	}
	p.Sources[f] = fighter.FromTape
	p.Seen[f] = 1/(post.B*post.B) - 1/(prior*prior)
}

// lessCircumstances takes the part of skill out of what was fitted, which is skill and circumstances together: tape shows only the sum of
// the two, and both are normal, so that each has its share of the sum by regression.
func (f *Fit) lessCircumstances(spread [2]float64, prior float64) {
	n := len(f.Mean)
	part := func(i int) float64 { return prior * prior / (prior*prior + spread[2*i/n]) }
	for i := range n {
		f.Mean[i] *= part(i)
		for k := range i + 1 {
			f.Cov.SetSym(i, k, part(i)*part(k)*f.Cov.At(i, k))
		}
		f.Cov.SetSym(i, i, f.Cov.At(i, i)+prior*prior*(1-part(i)))
	}
}

// fitSkills fits, for one family, logit(made) = the population's in that state + attacker's skill - defender's skill, each with its
// circumstances, over everybody who met on the tape, with the population's normal prior on each skill, wider by the circumstances'.
func fitSkills(tries []attempt, f fighter.Family, prior float64, u *usual) Fit {
	l, names, spread := skillModel(tries, prior, u)
	posterior := l.fit()
	if posterior.ended == diverging {
		panic("calibrate: skills with a proper prior diverge")
	}
	fit := Fit{Family: f, Mean: posterior.mean, Cov: posterior.cov}
	for _, figure := range []fighter.Figure{fighter.Attack(f), fighter.Defence(f)} {
		for _, name := range names {
			fit.Names = append(fit.Names, skillName(name, figure))
		}
	}
	fit.lessCircumstances(spread, prior)
	return fit
}

// skillModel is the regression: a column for everybody's attack, by id, then one for everybody's defence. spread is the variance of
// circumstances of attackers and defenders, as the attempts' readings have it on average.
func skillModel(tries []attempt, prior float64, u *usual) (l *logistic, names []string, spread [2]float64) {
	names = namesIn(tries)
	n, whole := len(names), 0.0
	at := map[string]int{}
	for i, name := range names {
		at[name] = i
	}
	l = &logistic{precision: make([]float64, 2*n)}
	for i := range tries {
		a := &tries[i]
		shares := u.sharesFor(a)
		t := trial{terms: []term{{at[a.attacker], 1}, {n + at[a.with], -1}}, offset: shares.logOdds(a), tries: a.weight}
		if a.made {
			t.made = a.weight
		}
		l.trials = append(l.trials, t)
		whole += a.weight
		for side := range spread {
			spread[side] += a.weight * shares.spread[side]
		}
	}
	for i := range l.precision {
		l.precision[i] = 1 / (prior*prior + spread[i/n]/whole)
	}
	return l, names, [2]float64{spread[0] / whole, spread[1] / whole}
}

func namesIn(tries []attempt) (names []string) {
	for _, a := range tries {
		names = append(names, a.attacker, a.with)
	}
	slices.Sort(names)
	return slices.Compact(names)
}
