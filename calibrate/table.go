package calibrate

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// setTables adds choices to the Dirichlet weights, divided by the over-dispersion between rounds, which the tables of a point share, and tells
// what comes after punches from what comes after other acts.
func setTables(p *fighter.Profile, t *counts) {
	for k, point := range choiceTables {
		phi := t.choiceDispersion(point).Factor
		var reads [fighter.ExchangeZones]tableRead
		for z := range fighter.ExchangeZones {
			reads[z] = setTable(p, t, phi, func(m tape.Move) fighter.Figure { return point(z, m) })
		}
		setAfters(p, t, k, reads, phi)
	}
	for threat := range fighter.NumThreats {
		setDefences(p, t, threat)
	}
}

// setTable adds the choices of one table that belong there, pattern by pattern, and keeps the doubt whether they do.
func setTable(p *fighter.Profile, t *counts, phi float64, figure func(tape.Move) fighter.Figure) (read tableRead) {
	strays := t.strays(figure)
	var doubt [tape.NumMoves]float64
	for m := range tape.NumMoves {
		n := t.chosen(figure(m))
		read.before[m] = p.Figures[figure(m)].A
		mean, variance := belonging(n, max(read.before[m], unheard), strays[m])
		read.belong[m], doubt[m] = mean/max(n, 1e-9), variance/phi/phi
	}
	for _, pattern := range slices.SortedFunc(maps.Keys(t.tables), byWhatTells) {
		setMoves(p, pattern, t.tables[pattern], &read.belong, phi, figure)
	}
	for m, v := range doubt {
		post := &p.Figures[figure(tape.Move(m))]
		if v > worthDoubt*post.A {
			*post = fighter.Posterior{A: post.A * post.A / (post.A + v), B: (post.A + v) / post.A}
		}
	}
	return read
}

const (
	unheard    = .1  // weight of a choice that the population never makes, once it is seen
	worthDoubt = .02 // share of a weight's variance below which more of it is not kept
)

// choiceDispersion is that of the choices of a point between rounds, pooled over its tables.
func (t *counts) choiceDispersion(point func(int, tape.Move) fighter.Figure) infer.Dispersion {
	var parts []infer.Dispersion
	for z := range fighter.ExchangeZones {
		var rounds [][]float64
		for _, r := range unaged(t.rounds) { // as they were seen
			row := make([]float64, tape.NumMoves)
			for m := range tape.NumMoves {
				row[m] = r.choices[point(z, m)]
			}
			rounds = append(rounds, row)
		}
		parts = append(parts, infer.TableDispersion(rounds))
	}
	return infer.PoolDispersion(parts...)
}

func byText(a, b pattern) int { return cmp.Compare(fmt.Sprint(a), fmt.Sprint(b)) }

// byWhatTells puts patterns under which most was looked for first: what the others leave open is shared out by what these say.
func byWhatTells(a, b pattern) int {
	hides := func(p *pattern) (n int) {
		for m := range tape.NumMoves {
			if p.hidden(m) {
				n++
			}
		}
		return n
	}
	return cmp.Or(cmp.Compare(hides(&a), hides(&b)), byText(a, b))
}

// setMoves adds the choices of one table. Where some moves were not looked for, "none" may have been one of them, so it is spread over
// none and those in the proportions believed before; moves against the rules were no choice and keep their share.
// belong is the share of each that belongs here, phi what counts are divided by.
func setMoves(p *fighter.Profile, could pattern, n map[fighter.Figure]float64, belong *[tape.NumMoves]float64, phi float64,
	figure func(tape.Move) fighter.Figure) {
	var moves, rest, barred []int
	weights, counts := make(infer.Dirichlet, tape.NumMoves), make([]float64, tape.NumMoves)
	for m := range tape.NumMoves {
		f := figure(m)
		weights[m], counts[m] = p.Figures[f].A, n[f]
		switch {
		case could.forbidden(m):
			barred = append(barred, int(m))
		case m == tape.NoMove, could.hidden(m):
			rest = append(rest, int(m))
		default:
			moves = append(moves, int(m))
		}
		if counts[m] == 0 {
			continue
		}
		p.Sources[f] = fighter.FromTape
		p.Seen[f] += counts[m]
		counts[m] *= belong[m]
		if weights[m] == 0 {
			weights[m] = unheard
		}
	}
	spread(counts, weights, rest)
	after := weights.Update(counts, phi)
	keepShare(after, weights, barred, append(moves, rest...))
	for m := range after {
		p.Figures[figure(tape.Move(m))].A = after[m]
	}
}

// spread shares the counts of some alternatives out among them by weight.
func spread(counts []float64, weights infer.Dirichlet, among []int) {
	n, w := 0.0, 0.0
	for _, i := range among {
		n, w = n+counts[i], w+weights[i]
	}
	for _, i := range among {
		if w > 0 {
			counts[i] = n * weights[i] / w
		}
	}
}

// keepShare lets the weights of alternatives of which nothing was seen grow with those of the others, so that their share stays.
func keepShare(after, before infer.Dirichlet, unseen, others []int) {
	was, is := 0.0, 0.0
	for _, i := range others {
		was, is = was+before[i], is+after[i]
	}
	for _, i := range unseen {
		if was > 0 {
			after[i] = before[i] * is / was
		}
	}
}

// setDefences adds responses to a threat. An attack met with nothing may have been a choice, a disbelief or too late, so that the
// share of absorbing stays the population's, and as doubtful; so does that of striking first where nobody ever wrote it of the fighter or of
// who they met, since then the strike stands in a row of its own only. A guard is written down without its height: both heights share the counts as they do in the
// population, and the rarer one stays as doubtful as it was.
func setDefences(p *fighter.Profile, t *counts, threat fighter.Threat) {
	weights, counts := make(infer.Dirichlet, fighter.NumResponses), make([]float64, fighter.NumResponses)
	var kept, others []int
	for r := range fighter.NumResponses {
		f := fighter.Defend(threat, r)
		weights[r], counts[r] = p.Figures[f].A, t.defends[f]
		if r == fighter.Absorb || r == fighter.StrikeFirst && !t.meets {
			kept = append(kept, int(r))
		} else {
			others = append(others, int(r))
		}
		if counts[r] == 0 {
			continue
		}
		p.Sources[f], p.Seen[f] = fighter.FromTape, counts[r]
		if weights[r] == 0 {
			weights[r] = .1
		}
	}
	guards := []int{int(fighter.GuardHigh), int(fighter.GuardLow)}
	spread(counts, weights, guards)
	after := weights.Update(counts, 1)
	keepShare(after, weights, kept, others)
	rare := fighter.GuardLow
	if weights[fighter.GuardHigh] < weights[fighter.GuardLow] {
		rare = fighter.GuardHigh
	}
	doubtful := append(kept, int(rare))
	for r := range after {
		p.Figures[fighter.Defend(threat, fighter.Response(r))] = asWeight(after[r], weights[r], slices.Contains(doubtful, r))
	}
}

// asWeight gives the posterior of a weight whose centre tape moved; one of which nothing was seen keeps its shape, so that its share is as
// doubtful as before though the rest of the table is known better.
func asWeight(after, before float64, doubtful bool) fighter.Posterior {
	if !doubtful || before == 0 || after == before {
		return fighter.Posterior{A: after}
	}
	return fighter.Posterior{A: before, B: after / before}
}
