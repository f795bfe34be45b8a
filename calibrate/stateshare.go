package calibrate

import (
	"cmp"
	"maps"
	"slices"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/tape"
)

// reading is what is known of the states of a family's attempts: the population's shares are read off its bouts by just that.
type reading struct {
	family        fighter.Family
	known         flags
	zone, defence bool
}

func readingOf(a *attempt) reading {
	f, _ := fighter.FamilyOf(a.move.Act())
	return reading{f, a.state.known, a.state.zone != unknown, a.state.defence != tape.DefenceUncoded}
}

// asEngineCodes leaves out what a coder may note and the population's bouts never have: a defence against the lead hand or a submission.
func (r reading) asEngineCodes() reading {
	r.defence = r.defence && r.family != fighter.LeadHand && r.family != fighter.Submissions
	return r
}

// stateShares is how often the attempts of a family come off among equals, in log-odds by move, range, what the other did and each flag:
// a logistic regression on the population's own bouts. What those states are worth in the engine is so taken as they can be read off
// tape, where a part of them is hidden.
type stateShares struct {
	reading
	worth  map[part]float64
	spread [2]float64 // of circumstances: the variance between attackers and between defenders
}

// part is a coefficient: of a move, of a move in a zone, of a defence against a threat, or of a flag.
type part struct {
	kind byte // m, z, d, f
	a, b uint8
}

// priors of the parts, as precisions: they only keep what the population hardly ever does from running away.
var partPrecision = map[byte]float64{'m': 1. / 25, 'z': 1. / 4, 'd': 1. / 4, 'f': 1}

// madeOf lists what an attempt is made up of, as far as the reading knows.
func (r *reading) madeOf(a *attempt) []part {
	out := []part{{'m', uint8(a.move), 0}}
	if r.zone {
		out = append(out, part{'z', uint8(a.move), uint8(a.state.zone)})
	}
	if r.defence && a.state.defence != tape.DefenceNone {
		out = append(out, part{'d', uint8(fighter.ThreatOf(a.move.Act())), uint8(a.state.defence)})
	}
	for k := range numFlags {
		if (r.known & a.state.holds).has(k) {
			out = append(out, part{'f', uint8(k), 0})
		}
	}
	return out
}

// logOdds gives the share for an attempt. Which hand lands against the other stance the engine says outright, since the population's
// bouts are of one stance.
func (s *stateShares) logOdds(a *attempt) float64 {
	x := float64(a.state.opens) * sim.AverageWorld().Open
	for _, p := range s.madeOf(a) {
		x += s.worth[p]
	}
	return x
}

// sharesFor gives the shares for an attempt, fitted when they are first asked for.
func (u *usual) sharesFor(a *attempt) *stateShares {
	u.mu.Lock()
	defer u.mu.Unlock()
	r := readingOf(a).asEngineCodes()
	if u.shares[r] == nil {
		u.shares[r] = u.seen.stateShares(r)
	}
	return u.shares[r]
}

// alike is attempts in which nothing that is known differs.
type alike struct {
	move    tape.Move
	zone    fighter.Zone
	defence tape.Defence
	holds   flags
}

func (t *usualTally) stateShares(r reading) *stateShares {
	s := &stateShares{reading: r, worth: map[part]float64{}}
	cells := map[alike]*trial{}
	for i := range t.attempts {
		a := &t.attempts[i]
		if !r.takes(a) {
			continue
		}
		k := r.cell(a)
		if cells[k] == nil {
			cells[k] = &trial{}
		}
		cells[k].tries++
		if a.made {
			cells[k].made++
		}
	}
	s.fit(cells)
	s.spread = t.spreadAround(s)
	return s
}

func (r *reading) takes(a *attempt) bool {
	f, _ := fighter.FamilyOf(a.move.Act())
	return f == r.family && (!r.zone || a.state.zone != unknown) && (!r.defence || a.state.defence != tape.DefenceUncoded)
}

func (r *reading) cell(a *attempt) alike {
	k := alike{move: a.move, holds: a.state.holds & r.known}
	if r.zone {
		k.zone = a.state.zone
	}
	if r.defence {
		k.defence = a.state.defence
	}
	return k
}

func (s *stateShares) fit(cells map[alike]*trial) {
	l, columns := &logistic{}, map[part]int{}
	order := slices.SortedFunc(maps.Keys(cells), func(a, b alike) int {
		return cmp.Or(cmp.Compare(a.move, b.move), cmp.Compare(a.zone, b.zone), cmp.Compare(a.defence, b.defence), cmp.Compare(a.holds, b.holds))
	})
	if len(order) == 0 {
		return // nothing of the kind is ever done: even odds
	}
	for _, k := range order {
		a := attempt{move: k.move, state: standing{zone: k.zone, defence: k.defence, holds: k.holds}}
		for _, p := range s.madeOf(&a) {
			if _, ok := columns[p]; !ok {
				columns[p] = len(l.precision)
				l.precision = append(l.precision, partPrecision[p.kind])
			}
			cells[k].terms = append(cells[k].terms, term{columns[p], 1})
		}
		l.trials = append(l.trials, *cells[k])
	}
	f := l.fit()
	if f.ended == diverging {
		panic("calibrate: shares among equals with a proper prior diverge")
	}
	for p, i := range columns {
		s.worth[p] = f.mean[i]
	}
}

// spreadAround gives the variance of circumstances that the shares leave, between attackers and between defenders.
func (t *usualTally) spreadAround(s *stateShares) (out [2]float64) {
	var sides [2]circumstances
	for i := range t.attempts {
		if a := &t.attempts[i]; s.takes(a) {
			q := s.logOdds(a)
			for side, who := range t.who[i] {
				sides[side].add(who, a.made, q)
			}
		}
	}
	for side := range sides {
		out[side] = sides[side].variance()
	}
	return out
}
