package calibrate

import (
	"math"

	"whatbout/fighter"
)

// setBites moves the readiness to bite on each cue until the share bitten is the tape's, as far as the prior lets it. The log-odds of
// a bite, less the population's, are the readiness less half of what the fighter tells real from empty by, and circumstances, all with
// their own normal prior; tape shows them only together. So the mode and curvature of a binomial likelihood times the prior of both together come
// first, and the readiness takes its part of that by regression.
func setBites(p *fighter.Profile, t *counts, u *usual) {
	for c := range fighter.NumCues {
		if t.feints[c] == 0 {
			continue
		}
		f := fighter.Bite(c)
		prior, sense := p.Figures[f], p.Figures[fighter.Sense(c)].B/2
		own := prior.B * prior.B
		both := own + sense*sense + u.bites[c]
		shift, variance := shiftOfShare(t.bitten[c], t.feints[c], u.heeded[c], u.bitten[c], both)
		part := own / both
		p.Figures[f] = fighter.Posterior{A: prior.A + part*shift, B: math.Sqrt(own - part*own + part*part*variance)}
		p.Sources[f], p.Seen[f] = fighter.FromTape, t.feints[c]
	}
}

// shiftOfShare gives the mode, and the variance at it, of how far the log-odds of biting lie from the usual ones, under a normal prior
// around none. Of n feints only the share heeded could be bitten on; Fisher scoring.
func shiftOfShare(made, n, heeded, usual, prior float64) (shift, variance float64) {
	for range 50 {
		q := 1 / (1 + math.Exp(-(usual + shift)))
		p, slope := heeded*q, heeded*q*(1-q)
		information := n*slope*slope/(p*(1-p)) + 1/prior
		step := ((made-n*p)*slope/(p*(1-p)) - shift/prior) / information
		shift += max(min(step, 1), -1)
		variance = 1 / information
	}
	return shift, variance
}
