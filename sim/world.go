package sim

import (
	"math"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// AverageWorld gives the mechanics at their centres. Their signs are common practice in the trade, their sizes judgements; each is
// drawn in the all-doubt interval by [DrawWorld].
func AverageWorld() World {
	w := World{Measured: .35, Denied: .55, Lunging: .55, Busy: .55, Drawn: .30, Squared: .35, Open: .12, JudgeNoise: .16, Chin: 420}
	w.Intercepts = intercepts
	return w
}

// HomeCrowd is a [World]'s Home with a partisan crowd: half a point more on the cards of five rounds (Myers & Balmer 2012; see the
// census). No bout has one unless it is asked for.
const HomeCrowd = .05

// DrawWorld gives draw k of the mechanics: normal around their centres with a spread of three tenths of them.
func DrawWorld(seed, k uint64) World {
	w := AverageWorld()
	s := kernel.NewKey(seed, k, 0x776f726c64).Stream()
	for _, x := range []*float64{&w.Measured, &w.Denied, &w.Lunging, &w.Busy, &w.Drawn, &w.Squared, &w.Open, &w.JudgeNoise} {
		z := float64(kernel.Normal(s.Uint32())) / kernel.NormalUnit
		*x = max(*x*(1+float64(.3*z)), 0)
	}
	return w
}

// intercepts start every contest at the technique's share; trimmed by trims so that the shares come out in the population's
// situation, with everything that defences, distance and timing do to them.
var intercepts = func() (x [tape.NumMoves]float64) {
	for m, t := range techniques {
		if t.clean > 0 {
			x[m] = math.Log(t.clean/(1-t.clean)) + trims[m]
		}
	}
	return x
}()

// averageDraw gives the average fighter at the centre of every figure.
func averageDraw() (fighter.Body, fighter.Draw) {
	body := fighter.AverageBody()
	return body, fighter.Population("average", body).Centre()
}
