package calibrate

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// table is one table of choices as a library shows it. Categories of which no tape could tell anything keep their share.
type table struct {
	name    string // as in "answer.long"
	figures []fighter.Figure
	units   []infer.Chosen // by fighter, with all categories
	silent  []int          // categories that nobody could be seen to choose
	known   Estimate       // fighters, rounds, events
}

// tables re-estimates the choices at answer and continue.
func (e *estimator) tables() {
	for name, figure := range map[string]func(int, tape.Move) fighter.Figure{"answer": fighter.Answer, "continue": fighter.Continue} {
		for z := range fighter.ExchangeZones {
			t := &table{name: fmt.Sprintf("%s.%s", name, fighter.Kicking+fighter.Zone(z))}
			for m := range tape.NumMoves {
				t.figures = append(t.figures, figure(z, m))
			}
			allowed := make([]bool, tape.NumMoves)
			for _, id := range e.ids {
				e.moves(t, fighter.Kicking+fighter.Zone(z), e.tallies[id], allowed)
			}
			for m, yes := range allowed {
				if !yes {
					t.silent = append(t.silent, m)
				}
			}
			e.settle(t)
		}
	}
}

// moves adds a fighter. Moves that were not looked for in some bout are joined with doing nothing in all of theirs, and those that some of
// their rule sets forbid are left out, so that one set of categories holds for all that they did. So are those that cannot be made in the zone, a
// sweep with a kick in the hands for instance. Choices with the back on the fence do not count: else nobody's steps back would.
func (e *estimator) moves(t *table, z fighter.Zone, c *counts, allowed []bool) {
	u := infer.Chosen{Counts: make([]float64, tape.NumMoves)}
	patterns := slices.DeleteFunc(slices.SortedFunc(maps.Keys(c.tables), byText), func(p pattern) bool { return p.cornered })
	for _, p := range patterns {
		if t.countIn(c.tables[p]) > 0 {
			for m := range tape.NumMoves {
				switch {
				case (p.forbidden(m) || !fighter.Possible(z, m)) && !slices.Contains(u.Barred, int(m)):
					u.Barred = append(u.Barred, int(m))
				case p.hidden(m) && !slices.Contains(u.Joined, int(m)):
					u.Joined = append(u.Joined, int(m))
				}
			}
		}
	}
	u.Joined = slices.DeleteFunc(u.Joined, func(m int) bool { return slices.Contains(u.Barred, m) })
	if len(u.Joined) > 0 {
		u.Joined = append(u.Joined, int(tape.NoMove))
	}
	total := 0.0
	for _, p := range patterns {
		for m := range tape.NumMoves {
			n := c.tables[p][t.figures[m]]
			total += n
			if m == tape.NoMove {
				n = e.nothings(c, p, t.figures[m])
			}
			switch {
			case slices.Contains(u.Barred, int(m)):
				continue
			case slices.Contains(u.Joined, int(m)):
				u.JoinedCount += n
			default:
				u.Counts[m] += n
			}
		}
	}
	if total == 0 {
		return
	}
	e.coders.choices(&u, t.figures, c)
	for m := range allowed {
		allowed[m] = allowed[m] || !slices.Contains(u.Barred, m)
	}
	t.add(u, total, c)
}

func (t *table) countIn(n map[fighter.Figure]float64) (total float64) {
	for _, f := range t.figures {
		total += n[f]
	}
	return total
}

func (t *table) add(u infer.Chosen, total float64, c *counts) {
	t.units = append(t.units, u)
	t.known.Fighters++
	t.known.Rounds += c.roundsOf()
	t.known.Events += total
}

// defences re-estimates what is tried against threats. As in [Calibrate] absorbing keeps its share, and so does striking first where no
// coder ever wrote it; both heights of a guard are one category.
func (e *estimator) defences() {
	for threat := range fighter.NumThreats {
		t := &table{name: "defend." + threat.String()}
		struck := 0.0
		for r := range fighter.NumResponses {
			t.figures = append(t.figures, fighter.Defend(threat, r))
		}
		for _, id := range e.ids {
			c := e.tallies[id]
			u := infer.Chosen{Counts: make([]float64, fighter.NumResponses), Joined: []int{int(fighter.GuardHigh), int(fighter.GuardLow)}}
			total := 0.0
			for r := range fighter.NumResponses {
				n := c.defends[fighter.Defend(threat, r)]
				if total += n; r == fighter.GuardHigh || r == fighter.GuardLow {
					u.JoinedCount += n
				} else {
					u.Counts[r] = n
				}
			}
			if struck += u.Counts[fighter.StrikeFirst]; total > 0 {
				t.add(u, total, c)
			}
		}
		t.silent = []int{int(fighter.Absorb)}
		if struck == 0 {
			t.silent = append(t.silent, int(fighter.StrikeFirst))
		}
		e.settle(t)
	}
}

// settle fits a table, or leaves it, and takes its figures down.
func (e *estimator) settle(t *table) {
	weights := make(infer.Dirichlet, len(t.figures))
	for i, f := range t.figures {
		weights[i] = e.population.Figures[f].A
	}
	after, errors, atLimit := append(infer.Dirichlet(nil), weights...), make([]float64, len(weights)), false
	why := tooFew(t.known.Fighters, t.known.Events, leastChoices, "choices")
	if why == "" {
		after, errors, atLimit = t.fit(weights)
	}
	was, is := sum(weights), sum(after)
	for i, f := range t.figures {
		if weights[i] == 0 && after[i] == 0 {
			continue
		}
		x := t.known
		x.Name, x.figure, x.Unit, x.Spread, x.Why, x.AtLimit = fighter.Define(f).Name, f, "share", "weight", why, atLimit
		x.Before, x.After, x.Was, x.Is = weights[i]/was, after[i]/is, was, is
		if x.SE = errors[i]; x.SE > 0 {
			x.SE = math.Hypot(x.SE, x.After*(1-x.After)*math.Sqrt(e.coders.doubtOfOdds(f, tape.Move(i))))
		}
		if why == "" {
			e.population.Figures[f].A = after[i]
			e.tape(x.Name, &x, fmt.Sprintf("weight before: %.3g", was))
		}
		e.add(x)
	}
}

// fit gives the weights after, over the categories that tape tells of; the others keep their share of the whole.
func (t *table) fit(weights infer.Dirichlet) (after infer.Dirichlet, errors []float64, atLimit bool) {
	var told []int
	for i := range weights {
		if slices.Contains(t.silent, i) {
			continue
		}
		told = append(told, i)
	}
	start, before := make(infer.Dirichlet, len(told)), infer.Chosen{Counts: make([]float64, len(told))}
	for k, i := range told {
		start[k], before.Counts[k] = weights[i], weights[i]
		if weights[i] == 0 && t.seen(i) {
			start[k] = .1 // seen, though the population never does it here
		}
	}
	units := []infer.Chosen{before} // the population before counts as one fighter more
	for _, u := range t.units {
		units = append(units, only(u, told))
	}
	cells := infer.NewCells(len(told), units)
	part := sum(start) / (sum(start) + t.silentWeight(weights))
	fit, ok := infer.FitDirichlet(cells, start, infer.Lean{Size: sum(start), SD: leanSD}, mostWeight*part)
	if !ok {
		panic("calibrate: a table without a choice")
	}
	after, errors = append(infer.Dirichlet(nil), weights...), make([]float64, len(weights))
	se := infer.NewCells(len(told), units[1:]).ShareErrors(fit.Dirichlet)
	for k, i := range told {
		after[i], errors[i] = fit.Dirichlet[k], se[k]*part
	}
	keepShare(after, weights, t.silent, told)
	return after, errors, fit.AtLimit
}

func (t *table) seen(i int) bool {
	return slices.ContainsFunc(t.units, func(u infer.Chosen) bool { return u.Counts[i] > 0 })
}

func (t *table) silentWeight(weights infer.Dirichlet) (w float64) {
	for _, i := range t.silent {
		w += weights[i]
	}
	return w
}

// only gives a unit with those categories alone.
func only(u infer.Chosen, told []int) infer.Chosen {
	out := infer.Chosen{Counts: make([]float64, len(told)), JoinedCount: u.JoinedCount}
	for k, i := range told {
		out.Counts[k] = u.Counts[i]
		if slices.Contains(u.Joined, i) {
			out.Joined = append(out.Joined, k)
		}
		if slices.Contains(u.Barred, i) {
			out.Barred = append(out.Barred, k)
		}
	}
	return out
}
