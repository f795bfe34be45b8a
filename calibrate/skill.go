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
		fit.lessCircumstances(u.spread[f], prior)
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

// fitSkills fits, for one family, logit(made) = the population's + attacker's skill - defender's skill, each with its circumstances,
// over everybody who met on the tape, with the population's normal prior on each skill, wider by the circumstances': penalised maximum likelihood by Newton's method, and the normal
// approximation of the posterior at its mode (Laplace).
func fitSkills(tries []attempt, f fighter.Family, prior float64, u *usual) Fit {
	names := namesIn(tries)
	n := len(names)
	at := map[string]int{}
	for i, name := range names {
		at[name] = i
	}
	x := make([]float64, 2*n)
	spread := u.spread[f]
	var cov mat.SymDense
	for range 30 {
		grad, hess := curvature(tries, at, x, [2]float64{prior*prior + spread[0], prior*prior + spread[1]}, u)
		var chol mat.Cholesky
		if !chol.Factorize(hess) {
			panic("calibrate: a penalised likelihood that is not convex")
		}
		var step mat.VecDense
		if err := chol.SolveVecTo(&step, grad); err != nil {
			panic("calibrate: " + err.Error())
		}
		most := 0.0
		for i := range x {
			x[i] += step.AtVec(i)
			most = max(most, math.Abs(step.AtVec(i)))
		}
		if err := chol.InverseTo(&cov); err != nil {
			panic("calibrate: " + err.Error())
		}
		if most < 1e-9 {
			break
		}
	}
	fit := Fit{Family: f, Mean: x, Cov: &cov}
	for _, figure := range []fighter.Figure{fighter.Attack(f), fighter.Defence(f)} {
		for _, name := range names {
			fit.Names = append(fit.Names, skillName(name, figure))
		}
	}
	return fit
}

func namesIn(tries []attempt) (names []string) {
	for _, a := range tries {
		names = append(names, a.attacker, a.with)
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// curvature gives the gradient and the negative Hessian of the penalised log-likelihood; every attempt counts by its weight. prior has the
// variances of attackers and defenders.
func curvature(tries []attempt, at map[string]int, x []float64, prior [2]float64, u *usual) (*mat.VecDense, *mat.SymDense) {
	n := len(x) / 2
	grad, hess := mat.NewVecDense(len(x), nil), mat.NewSymDense(len(x), nil)
	for i := range x {
		grad.SetVec(i, -x[i]/prior[i/n])
		hess.SetSym(i, i, 1/prior[i/n])
	}
	for _, a := range tries {
		i, j := at[a.attacker], n+at[a.with]
		p := 1 / (1 + math.Exp(-(u.logit[a.move][a.met] + x[i] - x[j])))
		miss := a.weight * -p
		if a.made {
			miss += a.weight
		}
		w := a.weight * p * (1 - p)
		grad.SetVec(i, grad.AtVec(i)+miss)
		grad.SetVec(j, grad.AtVec(j)-miss)
		hess.SetSym(i, i, hess.At(i, i)+w)
		hess.SetSym(j, j, hess.At(j, j)+w)
		hess.SetSym(i, j, hess.At(i, j)-w)
	}
	return grad, hess
}
