package calibrate

import (
	"math"

	"whatbout/fighter"
	"whatbout/tape"
)

// misread is the share of a fighter's acts on the feet that land in a given table of another choice point or range, since acts are told apart
// by clocks: on simulated tape of the population one act in 300 for each of the six tables, one in 70 in all (go run ./bench/recovery
// -points). Where a table holds few of a move, some of those may be such acts, and a fighter who never does it would look like one who does.
const misread = .003

// strays gives how many acts of each move are to be expected in a table that do not belong there, from how many were booked elsewhere.
func (t *counts) strays(figure func(tape.Move) fighter.Figure) (out [tape.NumMoves]float64) {
	for m := range tape.NumMoves {
		if m != tape.NoMove {
			out[m] = misread * max(t.onFeet(m)-t.chosen(figure(m)), 0)
		}
	}
	return out
}

// onFeet gives how many acts of a move were booked anywhere on the feet.
func (t *counts) onFeet(m tape.Move) (n float64) {
	for z := range fighter.Clinch {
		for _, r := range t.rounds {
			if fighter.Possible(z, m) {
				n += r.acts[fighter.Initiate(z, m)]
			}
		}
	}
	for z := range fighter.ExchangeZones {
		n += t.chosen(fighter.Answer(z, m)) + t.chosen(fighter.Continue(z, m))
	}
	return n
}

// chosen gives how often a choice was counted, whatever could be written down.
func (t *counts) chosen(f fighter.Figure) (n float64) {
	for _, table := range t.tables {
		n += table[f]
	}
	return n
}

// belonging says how many of n choices belong where they were counted, by mean and variance, if strays are expected besides and the choice
// has a weight in a Dirichlet so far: each k of n has the chance of k under a gamma with that shape (over a long exposure: Γ(weight+k)/k!) times
// that of n-k strays under Poisson's law. Counts that are no whole number, of bouts coded more than once, lie between those of the
// whole numbers beside them.
func belonging(n, weight, strays float64) (mean, variance float64) {
	if strays == 0 || n == 0 {
		return n, 0
	}
	whole, rest := math.Modf(n)
	mean, variance = belongingWhole(int(whole), weight, strays)
	if rest > 0 {
		m, v := belongingWhole(int(whole)+1, weight, strays)
		mean, variance = mean+rest*(m-mean), variance+rest*(v-variance)
	}
	return mean, variance
}

func belongingWhole(n int, weight, strays float64) (mean, variance float64) {
	chance, sum, square := 1.0, 0.0, 0.0 // of k = n, then downwards, relative to it
	total := 0.0
	for k := n; k >= 0; k-- {
		x := float64(k)
		total, sum, square = total+chance, sum+chance*x, square+chance*x*x
		if k > 0 {
			chance *= x / (weight + x - 1) * strays / float64(n-k+1)
		}
		if chance < 1e-12*total {
			break
		}
	}
	mean = sum / total
	return mean, math.Max(square/total-mean*mean, 0)
}
