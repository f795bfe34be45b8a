package calibrate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"whatbout/fighter"
	"whatbout/tape"
)

// Profiles makes a profile for each of the bodies from all tape. Fighters without a body who stand on the tape count as opponents,
// so that skill is told from who was met. It returns an error for a body without tape.
func Profiles(tapes []*Tape, bodies map[string]fighter.Body) (map[string]*fighter.Profile, error) {
	// In the order of their names, so that the last digit does not hang on the order in which folders were given.
	tapes = slices.SortedStableFunc(slices.Values(tapes), func(a, b *Tape) int { return strings.Compare(a.Name, b.Name) })
	var attempts []attempt
	tallies := map[string]*tally{}
	for _, t := range tapes {
		for _, id := range t.IDs {
			if tallies[id] == nil {
				tallies[id] = tallyOf(tapes, id)
				attempts = append(attempts, tallies[id].attempts...)
			}
		}
	}
	out := map[string]*fighter.Profile{}
	for id, body := range bodies {
		if tallies[id] == nil {
			return nil, fmt.Errorf("no tape of %q; a profile without tape is the population's", id)
		}
		p := fighter.Population(id, body)
		p.Invented = invented(tapes, id)
		setRates(p, tallies[id])
		setTables(p, tallies[id])
		setBites(p, tallies[id])
		out[id] = p
	}
	for f := range fighter.NumFamilies {
		prior := fighter.Population("", fighter.AverageBody()).Figures[fighter.Attack(f)].B
		s := fitSkills(attempts, f, prior)
		for id, p := range out {
			set(p, fighter.Attack(f), s.attack[id], prior)
			set(p, fighter.Defence(f), s.defence[id], prior)
		}
	}
	return out, nil
}

// set takes over a skill; one that the tape left at its prior stays the population's.
func set(p *fighter.Profile, f fighter.Figure, post fighter.Posterior, prior float64) {
	if post.B == 0 || post.B >= prior*.999 {
		return
	}
	p.Figures[f], p.Sources[f] = post, fighter.FromTape
	p.Seen[f] = 1/(post.B*post.B) - 1/(prior*prior)
}

// setRates adds counts and free seconds to each rate's gamma, both divided by the over-dispersion between rounds.
func setRates(p *fighter.Profile, t *tally) {
	for z := range fighter.NumZones {
		seconds := 0.0
		for _, r := range t.rounds {
			seconds += r.seconds[z]
		}
		if seconds == 0 {
			continue
		}
		phi := dispersion(t, z)
		for m := range tape.NumMoves {
			f := fighter.Initiate(z, m)
			n := 0.0
			for _, r := range t.rounds {
				n += r.acts[f]
			}
			post := &p.Figures[f]
			if post.A == 0 && n == 0 {
				continue
			}
			if post.A == 0 { // seen, though the population never does it here: half a count in the time coded
				*post = fighter.Posterior{A: .5, B: seconds}
			}
			post.A += n / phi
			post.B += seconds / phi
			p.Sources[f], p.Seen[f] = fighter.FromTape, n
		}
	}
}

// dispersion is Pearson's chi-squared over its degrees of freedom for the acts of a zone by round, at least 1.
func dispersion(t *tally, z fighter.Zone) float64 {
	acts := make([]float64, len(t.rounds))
	total, seconds := 0.0, 0.0
	for i, r := range t.rounds {
		for m := range tape.NumMoves {
			acts[i] += r.acts[fighter.Initiate(z, m)]
		}
		total += acts[i]
		seconds += r.seconds[z]
	}
	chi, used := 0.0, 0
	for i, r := range t.rounds {
		if want := total * r.seconds[z] / seconds; want > 0.5 {
			chi += (acts[i] - want) * (acts[i] - want) / want
			used++
		}
	}
	if used < 2 {
		return 1
	}
	return max(chi/float64(used-1), 1)
}

// setTables adds choices to the Dirichlet weights. An attack met with nothing may have been a choice, a disbelief or too late, so
// that the share of absorbing stays the population's.
func setTables(p *fighter.Profile, t *tally) {
	for f, n := range t.counts {
		if p.Figures[f].A == 0 {
			p.Figures[f].A = .1
		}
		p.Figures[f].A += n
		p.Sources[f], p.Seen[f] = fighter.FromTape, n
	}
	for threat := range fighter.NumThreats {
		before, added := 0.0, 0.0
		for r := range fighter.NumResponses {
			n := t.counts[fighter.Defend(threat, r)]
			added += n
			if r != fighter.Absorb {
				before += p.Figures[fighter.Defend(threat, r)].A - n
			}
		}
		absorb := &p.Figures[fighter.Defend(threat, fighter.Absorb)]
		absorb.A += absorb.A / before * added
	}
}

// setBites moves the readiness to bite on each cue until the share bitten is the tape's, as far as the prior lets it: the mode and
// curvature of a binomial likelihood in log-odds around the population's share, times the normal prior.
func setBites(p *fighter.Profile, t *tally) {
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

// invented reports whether any of a fighter's tape is.
func invented(tapes []*Tape, id string) bool {
	for _, t := range tapes {
		if t.Invented && (t.IDs[0] == id || t.IDs[1] == id) {
			return true
		}
	}
	return false
}
