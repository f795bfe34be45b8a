package calibrate

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"

	"whatbout/fighter"
)

// skills are the log-odds, with standard deviations, that tape gives everybody on it for one family.
type skills struct{ attack, defence map[string]fighter.Posterior }

// fitSkills fits, for one family, logit(made) = the population's + attacker's skill - defender's skill over everybody who met on the
// tape, with the population's normal prior on each skill: penalised maximum likelihood by Newton's method, and the normal
// approximation of the posterior at its mode (Laplace).
func fitSkills(attempts []attempt, f fighter.Family, prior float64) skills {
	names := namesIn(attempts)
	n := len(names)
	at := map[string]int{}
	for i, name := range names {
		at[name] = i
	}
	out := skills{map[string]fighter.Posterior{}, map[string]fighter.Posterior{}}
	if n == 0 {
		return out
	}
	x := make([]float64, 2*n)
	var cov mat.SymDense
	for range 30 {
		grad, hess := curvature(attempts, f, at, x, prior)
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
	for name, i := range at {
		out.attack[name] = fighter.Posterior{A: x[i], B: math.Sqrt(cov.At(i, i))}
		out.defence[name] = fighter.Posterior{A: x[n+i], B: math.Sqrt(cov.At(n+i, n+i))}
	}
	return out
}

func namesIn(attempts []attempt) []string {
	seen := map[string]bool{}
	var names []string
	for _, a := range attempts {
		for _, name := range []string{a.attacker, a.with} {
			if !seen[name] {
				seen[name] = true
				names = append(names, name)
			}
		}
	}
	sort.Strings(names)
	return names
}

// curvature gives the gradient and the negative Hessian of the penalised log-likelihood.
func curvature(attempts []attempt, f fighter.Family, at map[string]int, x []float64, prior float64) (*mat.VecDense, *mat.SymDense) {
	n := len(x) / 2
	grad, hess := mat.NewVecDense(len(x), nil), mat.NewSymDense(len(x), nil)
	for i := range x {
		grad.SetVec(i, -x[i]/(prior*prior))
		hess.SetSym(i, i, 1/(prior*prior))
	}
	u := theUsual()
	for _, a := range attempts {
		if family, _ := fighter.FamilyOf(a.move.Act()); family != f {
			continue
		}
		i, j, k := at[a.attacker], n+at[a.with], 0
		if a.defended {
			k = 1
		}
		p := 1 / (1 + math.Exp(-(u.logit[a.move][k] + x[i] - x[j])))
		y := 0.0
		if a.made {
			y = 1
		}
		w := p * (1 - p)
		grad.SetVec(i, grad.AtVec(i)+y-p)
		grad.SetVec(j, grad.AtVec(j)-(y-p))
		hess.SetSym(i, i, hess.At(i, i)+w)
		hess.SetSym(j, j, hess.At(j, j)+w)
		hess.SetSym(i, j, hess.At(i, j)-w)
	}
	return grad, hess
}
