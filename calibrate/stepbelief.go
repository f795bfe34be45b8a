package calibrate

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"whatbout/fighter"
	"whatbout/tape"
)

// stepBelief is what is believed of a step while it is fitted.
type stepBelief struct {
	prior  [2]fighter.Posterior
	at     stride
	spread [2]float64 // of the logarithms
	covary float64    // of the two
	told   [2]bool    // figures that the tape tells from the population's; the others stay there
}

func newStepBelief(prior [2]fighter.Posterior) *stepBelief {
	b := &stepBelief{prior: prior, told: [2]bool{true, true}}
	for k := range prior {
		b.at[k], b.spread[k] = math.Log(prior[k].A), prior[k].B
	}
	return b
}

// tight is the precision of a figure before tape.
func (b *stepBelief) tight(k int) float64 { return 1 / (b.prior[k].B * b.prior[k].B) }

// learn takes a Gauss-Newton step with what the moments say, and reports whether it was short beside what stays open. Of a figure on which
// the tape is silent, whatever the other is, nothing is learned.
func (b *stepBelief) learn(much *mat.SymDense, way *mat.VecDense, middle *mat.SymDense) bool {
	whole := b.whole(much)
	for k := range b.told {
		if alone := 1 / whole.At(k, k); alone < (1+leastInformed)*b.tight(k) {
			b.told[k], b.at[k] = false, math.Log(b.prior[k].A)
		}
	}
	whole = b.whole(b.heard(much))
	middle = b.heard(middle)
	for k := range b.told {
		middle.SetSym(k, k, middle.At(k, k)+b.tight(k))
		if !b.told[k] {
			way.SetVec(k, 0)
		}
		way.SetVec(k, way.AtVec(k)-(b.at[k]-math.Log(b.prior[k].A))*b.tight(k))
	}
	var step, cov mat.Dense
	step.Mul(whole, way)
	cov.Product(whole, middle, whole)
	settled := true
	for k := range b.told {
		b.at[k] += max(min(step.At(k, 0), farthestStep), -farthestStep)
		b.spread[k] = math.Sqrt(cov.At(k, k))
		settled = settled && math.Abs(step.At(k, 0)) < b.spread[k]/5
	}
	b.covary = cov.At(0, 1)
	return settled
}

// whole inverts what tape and population say together.
func (b *stepBelief) whole(much *mat.SymDense) *mat.SymDense {
	h := mat.NewSymDense(2, nil)
	h.CopySym(much)
	for k := range b.prior {
		h.SetSym(k, k, h.At(k, k)+b.tight(k))
	}
	var chol mat.Cholesky
	var out mat.SymDense
	if !chol.Factorize(h) {
		panic("calibrate: information on a step that is not positive definite")
	}
	if err := chol.InverseTo(&out); err != nil {
		panic("calibrate: " + err.Error())
	}
	return &out
}

// heard leaves out what is said of figures that are not told.
func (b *stepBelief) heard(m *mat.SymDense) *mat.SymDense {
	out := mat.NewSymDense(2, nil)
	for i := range b.told {
		for k := range i + 1 {
			if b.told[i] && b.told[k] {
				out.SetSym(i, k, m.At(i, k))
			}
		}
	}
	return out
}

// tell writes down what is believed; of a fit that did not converge, what was before.
func (b *stepBelief) tell(f *StepFit) {
	if f.Ended != StepConverged && f.Ended != StepUnfinished {
		*b = *newStepBelief(b.prior)
		b.told = [2]bool{}
	}
	f.Told = b.told
	f.Length = fighter.Posterior{A: math.Exp(b.at[0]), B: b.spread[0]}
	f.Time = fighter.Posterior{A: math.Exp(b.at[1]), B: b.spread[1]}
	usual := float64(tape.UsualTime(tape.StepIn)) / 1e6
	f.Speed = fighter.Posterior{A: f.Length.A / f.Time.A / usual,
		B: math.Sqrt(b.spread[0]*b.spread[0] + b.spread[1]*b.spread[1] - 2*b.covary)}
}
