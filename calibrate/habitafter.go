package calibrate

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"whatbout/fighter"
	"whatbout/tape"
)

// Whether anything follows an own act, or answers the other's, hangs on what that act was: after a punch the odds of something are those of the
// table, after other acts a multiple of them ([fighter.Follows], [fighter.Replies]), one for all ranges. Tables and multiples are told together by
// a logistic regression, with a level for each range and a coefficient for each multiple. What is done, once something is, hangs on the range
// alone.

// tableRead is a table before tape, and the share of what was counted for each of its moves that belongs there.
type tableRead struct{ before, belong [tape.NumMoves]float64 }

// lastTrial is what came after acts of one kind at one range, where the same could be written down: something, or nothing that was seen.
type lastTrial struct {
	terms           []term
	prior           float64 // logarithm of the multiple's median before tape
	open, visible   float64 // share of the table's somethings that could be done, and of those the share looked for
	something, none float64 // divided by the over-dispersion
}

// afterReading reads a choice point of one fighter.
type afterReading struct {
	p       *fighter.Profile
	k       int // of choiceTables
	reads   [fighter.ExchangeZones]tableRead
	open    [fighter.ExchangeZones][tape.NumMoves]bool // could be done at some choice that was seen
	trials  []lastTrial
	columns []fighter.Figure // multiples, by column, behind those of the levels
	seen    map[fighter.Figure]float64
}

// setAfters moves the multiples of a point, and gives its tables, which were read as if they knew the range alone, the share of doing nothing
// after a punch. Where tape holds nothing but punches the tables stay as they are.
func setAfters(p *fighter.Profile, t *counts, k int, reads [fighter.ExchangeZones]tableRead, phi float64) {
	if len(t.lasts) == 0 {
		return
	}
	r := &afterReading{p: p, k: k, reads: reads, seen: map[fighter.Figure]float64{}}
	patterns := slices.SortedFunc(maps.Keys(t.lasts), byText)
	for _, could := range patterns {
		r.opens(could, t.lasts[could])
	}
	for _, could := range patterns {
		r.add(could, t.lasts[could], phi)
	}
	fit := r.fit()
	for z := range fighter.ExchangeZones {
		r.setNone(z, fit.mean[z], fit.cov.At(z, z))
	}
	for i, f := range r.columns {
		at := fighter.ExchangeZones + i
		p.Figures[f] = fighter.Posterior{A: p.Figures[f].A * math.Exp(fit.mean[at]), B: r.spread(f, fit.cov.At(at, at))}
		p.Sources[f] = fighter.FromTape
		p.Seen[f] += r.seen[f]
	}
}

// misreadOdds is what acts taken for another choice point leave open of a multiple's logarithm, however long the tape: between fighters on simulated
// tape of 30 rounds errors were larger than the regression says by about that (measured; go run ./bench/recovery).
const misreadOdds = .045

// spread is the standard deviation of a multiple's logarithm; tape makes none less sure than before.
func (r *afterReading) spread(f fighter.Figure, variance float64) float64 {
	return min(math.Sqrt(variance+misreadOdds*misreadOdds), r.p.Figures[f].B)
}

func (r *afterReading) figure(z int, m tape.Move) fighter.Figure { return choiceTables[r.k](z, m) }

// opens notes which moves a pattern leaves open, at the ranges at which something was chosen under it.
func (r *afterReading) opens(could pattern, n map[lastChoice]float64) {
	for z := range fighter.ExchangeZones {
		if r.chosen(z, n) == 0 {
			continue
		}
		for m := range tape.NumMoves {
			r.open[z][m] = r.open[z][m] || m != tape.NoMove && !could.forbidden(m)
		}
	}
}

func (r *afterReading) chosen(z int, n map[lastChoice]float64) (sum float64) {
	for a := range fighter.NumAfters {
		for m := range tape.NumMoves {
			sum += n[lastChoice{r.figure(z, m), a}]
		}
	}
	return sum
}

// add makes the trials of a pattern, by range and by what came before.
func (r *afterReading) add(could pattern, n map[lastChoice]float64, phi float64) {
	for z := range fighter.ExchangeZones {
		all, open, visible := r.somethings(z, could)
		for a := range fighter.NumAfters {
			t, whole := lastTrial{terms: []term{{z, 1}}}, 0.0
			for m := range tape.NumMoves {
				x := n[lastChoice{r.figure(z, m), a}]
				whole += x
				if m == tape.NoMove || could.hidden(m) {
					t.none += x / phi
				} else {
					t.something += x * r.reads[z].belong[m] / phi
				}
			}
			if whole == 0 || open == 0 {
				continue
			}
			t.open, t.visible = open/all, visible/open
			if f, ok := afterMultiple(r.k, a); ok {
				t.terms, t.prior = append(t.terms, term{r.column(f), 1}), math.Log(r.p.Figures[f].A)
				r.seen[f] += whole
			}
			r.trials = append(r.trials, t)
		}
	}
}

// somethings adds up the weights of doing something that some choice left open, of those that a pattern does, and of those looked for under it.
func (r *afterReading) somethings(z int, could pattern) (all, open, visible float64) {
	for m := range tape.NumMoves {
		w := r.p.Figures[r.figure(z, m)].Mean(fighter.Weight)
		if !r.open[z][m] {
			continue
		}
		if all += w; could.forbidden(m) {
			continue
		}
		if open += w; !could.hidden(m) {
			visible += w
		}
	}
	return all, open, visible
}

func (r *afterReading) column(f fighter.Figure) int {
	i := slices.Index(r.columns, f)
	if i < 0 {
		i = len(r.columns)
		r.columns = append(r.columns, f)
	}
	return fighter.ExchangeZones + i
}

// fit gives levels (log-odds of something after a punch) and the multiples' logarithms over their medians before. A table's prior is a beta on the
// share of something, which is as good as so many choices more; a multiple's is normal. Where something was not looked for its chance is
// visible·σ instead of σ: each step takes a plain trial for it with the same slope and expected curvature at the estimate, which ends at
// the mode (iterated weights: McCullagh & Nelder 1989, section 2.5, from memory).
func (r *afterReading) fit() normalFit {
	l := &logistic{precision: make([]float64, fighter.ExchangeZones+len(r.columns))}
	for i, f := range r.columns {
		sd := r.p.Figures[f].B
		l.precision[fighter.ExchangeZones+i] = 1 / (sd * sd)
	}
	for z := range fighter.ExchangeZones {
		something, none := r.before(z)
		l.trials = append(l.trials, trial{terms: []term{{z, 1}}, made: something, tries: something + none})
		if something == 0 || none == 0 {
			l.precision[z] = 1 // nothing was chosen there, or there is nothing to choose
		}
	}
	priors := len(l.trials)
	var out normalFit
	for range 25 {
		last := out.mean
		l.trials = l.trials[:priors]
		for i := range r.trials {
			l.trials = append(l.trials, r.trials[i].plain(last))
		}
		if out = l.fit(); last != nil && floats.Distance(last, out.mean, math.Inf(1)) < 1e-9 {
			break
		}
	}
	if out.ended != converged {
		panic("calibrate: choices after acts have no most likely odds")
	}
	return out
}

// before gives the weights of something that could be done, and of nothing, before tape.
func (r *afterReading) before(z int) (something, none float64) {
	for m, w := range r.reads[z].before {
		if r.open[z][m] {
			something += w
		}
	}
	return something, r.reads[z].before[tape.NoMove]
}

// plain is the trial as a regression takes it, near an estimate; nil: none yet.
func (t *lastTrial) plain(x []float64) trial {
	out := trial{terms: t.terms, offset: math.Log(t.open) + t.prior, made: t.something, tries: t.something + t.none}
	if t.visible == 1 || x == nil {
		return out
	}
	p := 1 / (1 + math.Exp(-out.logOdds(x)))
	q, n := t.visible*p, out.tries
	out.tries = n * t.visible * (1 - p) / (1 - q)
	out.made = out.tries*p + (t.something-n*q)*(1-p)/(1-q)
	return out
}

// setNone gives doing nothing the weight with the level's odds and, together with the doubt of what is done, the level's variance.
func (r *afterReading) setNone(z int, level, variance float64) {
	something, rest := 0.0, 0.0
	for m := range tape.NumMoves {
		w := r.p.Figures[r.figure(z, m)].Mean(fighter.Weight)
		switch {
		case r.open[z][m]:
			something += w
		case m != tape.NoMove:
			rest += w
		}
	}
	none := &r.p.Figures[r.figure(z, tape.NoMove)]
	was, is := none.Mean(fighter.Weight), something*math.Exp(-level)
	if something == 0 || was == 0 {
		return
	}
	shape := 1 / max(variance-1/something, variance*leastOwn)
	if *none = (fighter.Posterior{A: shape, B: is / shape}); math.Abs(none.B-1) < 1e-6 {
		*none = fighter.Posterior{A: is}
	}
	if rest > 0 { // what was never open keeps its share
		for m := range tape.NumMoves {
			if f := r.figure(z, m); m != tape.NoMove && !r.open[z][m] {
				r.p.Figures[f].A *= (something + is) / (something + was)
			}
		}
	}
}

// leastOwn is the least part of a level's variance that is kept as nothing's own, should rounding leave none (judgement).
const leastOwn = .01
