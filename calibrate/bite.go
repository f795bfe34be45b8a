package calibrate

import (
	"math"

	"whatbout/fighter"
)

// setBites moves the readiness to bite on each cue until the share bitten is the tape's, as far as the prior lets it: the mode and
// curvature of a binomial likelihood in log-odds around the population's share, times the normal prior.
func setBites(p *fighter.Profile, t *counts) {
	u := theUsual()
	for c := range fighter.NumCues {
		if t.feints[c] == 0 {
			continue
		}
		prior := p.Figures[fighter.Bite(c)]
		shift, curve := 0.0, 0.0
		for range 50 {
			q := 1 / (1 + math.Exp(-(u.bitten[c] + shift)))
			slope := t.bitten[c] - t.feints[c]*q - shift/(prior.B*prior.B)
			curve = t.feints[c]*q*(1-q) + 1/(prior.B*prior.B)
			shift += slope / curve
		}
		f := fighter.Bite(c)
		p.Figures[f] = fighter.Posterior{A: prior.A + shift, B: 1 / math.Sqrt(curve)}
		p.Sources[f], p.Seen[f] = fighter.FromTape, t.feints[c]
	}
}
