package calibrate

import (
	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// setRates adds counts and free seconds to each rate's gamma, both divided by the over-dispersion between rounds, which the moves of
// a zone share. On the feet a rate is of where no place holds: seconds elsewhere count as many times as the place's multiple, and what is not known
// of the multiples is not known of the rate.
func setRates(p *fighter.Profile, t *counts) {
	phi := t.factors()
	places := setPlaces(p, t, &phi)
	for z := range fighter.NumZones {
		for m := range tape.NumMoves {
			acts, seconds := initiated(t.rounds, z, m)
			by := places.of(z, m)
			setRate(p, fighter.Initiate(z, m), sum(acts), sum(seconds)*by.by, phi[z], by.variance)
		}
	}
}

// leastSeconds is the time in which half an act is expected of a kind that the population never does in a zone, s, if less was coded:
// without it one act in a tenth of a second would be ten a second (judgement).
const leastSeconds = 30

func setRate(p *fighter.Profile, f fighter.Figure, n, seconds, phi, variance float64) {
	post := &p.Figures[f]
	if seconds == 0 || post.A == 0 && n == 0 {
		return
	}
	if post.A == 0 { // seen, though the population never does it here: half a count in the time coded, which may be next to none
		*post = fighter.Posterior{A: .5, B: max(seconds, leastSeconds)}
	}
	before := infer.Gamma{Shape: post.A, Rate: post.B}
	g := surer(before, before.Update(n, seconds, phi), variance)
	*post = fighter.Posterior{A: g.Shape, B: g.Rate}
	p.Sources[f], p.Seen[f] = fighter.FromTape, n
}

// initiated gives a move's acts and free seconds in a zone, by round, over the rounds in which it could have been written down.
func initiated(rounds []*roundCount, z fighter.Zone, m tape.Move) (acts, seconds []float64) {
	if !fighter.Possible(z, m) || m == tape.NoMove {
		return nil, nil
	}
	for _, r := range rounds {
		if free := r.free(z, m); free > 0 {
			acts = append(acts, r.acts[fighter.Initiate(z, m)])
			seconds = append(seconds, free)
		}
	}
	return acts, seconds
}

// free gives the free seconds in a zone in which a move could have been begun and written down; 0 where a round says nothing of its rate.
func (r *roundCount) free(z fighter.Zone, m tape.Move) float64 {
	if !fighter.Possible(z, m) || m == tape.NoMove || !r.bout.LookedFor.Has(m.Act()) || !r.bout.RuleSet.Allowed[m] {
		return 0
	}
	if m == tape.MoveStepBack {
		return max(r.seconds[z]-r.fenced[z], 0) // there was no room at the fence
	}
	return r.seconds[z]
}

// dispersion is that of a zone's acts between rounds, pooled over the moves. One act where next to none is expected would outweigh all
// the rest in Pearson's statistic, so rounds in which less than one act of all the moves is expected are left out, and moves with
// less than one act a round are taken together (cells with an expectation under 1 are joined: Cochran 1954, from memory).
func (t *counts) dispersion(z fighter.Zone) infer.Dispersion {
	rounds := t.worthWhile(z) // as they were seen, since a smaller count with a smaller exposure would look more even than it was
	var parts []infer.Dispersion
	seldom, exposure := make([]float64, len(rounds)), make([]float64, len(rounds))
	for i, r := range rounds {
		exposure[i] = r.seconds[z]
	}
	for m := range tape.NumMoves {
		acts, seconds := initiated(rounds, z, m)
		if len(acts) > 0 && sum(acts) >= float64(len(acts)) {
			parts = append(parts, infer.CountDispersion(acts, seconds))
			continue
		}
		for i, r := range rounds {
			seldom[i] += r.acts[fighter.Initiate(z, m)]
		}
	}
	if sum(seldom) > 0 {
		parts = append(parts, infer.CountDispersion(seldom, exposure))
	}
	return infer.PoolDispersion(parts...)
}

// factors gives by how much acts vary more between rounds than chance makes them, by zone.
func (t *counts) factors() (phi [fighter.NumZones]float64) {
	for z := range phi {
		phi[z] = t.dispersion(fighter.Zone(z)).Factor
	}
	return phi
}

// worthWhile gives the rounds in which at least one act is expected in a zone.
func (t *counts) worthWhile(z fighter.Zone) (out []*roundCount) {
	acts, seconds := 0.0, 0.0
	rounds := unaged(t.rounds)
	for _, r := range rounds {
		for m := range tape.NumMoves {
			acts += r.acts[fighter.Initiate(z, m)]
		}
		seconds += r.seconds[z]
	}
	for _, r := range rounds {
		if r.seconds[z] > 0 && r.seconds[z]*acts >= seconds {
			out = append(out, r)
		}
	}
	return out
}

func (t *counts) evidence() *Evidence {
	e := &Evidence{}
	for _, r := range t.rounds {
		e.Minutes += r.coded / 60
		e.Weighed += r.coded * r.age / 60
		if r.coded > 0 {
			e.Rounds++
		}
	}
	for z := range e.Dispersion {
		e.Dispersion[z] = t.dispersion(fighter.Zone(z))
	}
	e.Answers, e.Continues = t.choiceDispersion(fighter.Answer), t.choiceDispersion(fighter.Continue)
	return e
}

func sum(x []float64) (s float64) {
	for _, v := range x {
		s += v
	}
	return s
}
