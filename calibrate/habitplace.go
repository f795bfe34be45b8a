package calibrate

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"whatbout/fighter"
	"whatbout/tape"
)

// How often a fighter begins an act hangs on the own range and, by a multiple for each sort of act, on the places of [fighter.Place] that hold.
// Given how many acts of a sort there were at a range, where they fell is multinomial, in proportion to free seconds and multiples (counts given
// their sum: McCullagh & Nelder 1989, Generalized Linear Models, section 6.4, from memory): so multiples are told whatever the rates
// are, and the doubt about rates is in theirs.

// places is a set of places, a bit each; of what nobody wrote down it is not known whether it holds.
type places uint8

func (p places) has(k fighter.Place) bool { return p>>k&1 == 1 }

// leaves reports whether acts of a sort may be begun there: nobody steps back with the back on the fence.
func (p places) leaves(s fighter.Sort) bool { return !(s == fighter.Back && p.has(fighter.OwnFence)) }

// spotAt is where a fighter is: the range, which places are written down at all, and which of them hold.
type spotAt struct {
	zone        fighter.Zone
	known, hold places
}

// spotAct is an act that was begun somewhere.
type spotAct struct {
	move tape.Move
	at   spotAt
}

// compare puts them in an order, so that sums come out the same each time.
func (s spotAt) compare(o spotAt) int {
	return cmp.Or(cmp.Compare(s.zone, o.zone), cmp.Compare(s.known, o.known), cmp.Compare(s.hold, o.hold))
}

func (a spotAct) compare(o spotAct) int {
	return cmp.Or(cmp.Compare(a.move, o.move), a.at.compare(o.at))
}

// spots gives when each place held in a round, nil for places that are not written down.
func (v *view) spots() (when [fighter.NumPlaces][]span, known places) {
	for k := range when {
		if spots[k].known(v.src) {
			when[k], known = spots[k].when(v), known|1<<k
		}
	}
	return when, known
}

// spotsOf cuts a round into stretches in which the same places hold, by places.
func (v *view) spotsOf(when *[fighter.NumPlaces][]span) map[places][]span {
	out := map[places][]span{}
	for _, l := range v.spans {
		for from := l.from; from < l.to; {
			to, hold := l.to, places(0)
			for k := range when {
				for _, s := range when[k] {
					switch {
					case s.from <= from && from < s.to:
						to, hold = min(to, s.to), hold|1<<k
					case s.from > from:
						to = min(to, s.from)
					}
				}
			}
			out[hold] = append(out[hold], span{from, to})
			from = to
		}
	}
	return out
}

// placed books a round's free seconds on the feet by places, and says where an act was begun.
func (r *roundCount) placed(v *view) (at func(onset int64) (known, hold places)) {
	when, known := v.spots()
	for hold, spans := range v.spotsOf(&when) {
		for z, seconds := range v.freeIn(spans) {
			if z <= int(fighter.Pocket) && seconds > 0 {
				r.there[spotAt{fighter.Zone(z), known, hold}] += seconds * v.src.weight
			}
		}
	}
	return func(onset int64) (places, places) {
		hold := places(0)
		for k := range when {
			if anyHolds(when[k], onset) {
				hold |= 1 << k
			}
		}
		return known, hold
	}
}

// stratum is acts of one sort that have a rate in common: of a range, with the same moves looked for and allowed.
type stratum struct {
	acts    float64 // divided by the over-dispersion
	seconds map[places]float64
	begun   map[places]float64 // divided likewise
}

// strataKey tells strata apart.
type strataKey struct {
	zone  fighter.Zone
	known places
	moves uint64
}

// strata gathers a fighter's acts of a sort.
func (t *counts) strata(s fighter.Sort, phi *[fighter.NumZones]float64) map[strataKey]*stratum {
	out := map[strataKey]*stratum{}
	for _, r := range t.rounds {
		var moves uint64
		for m := range tape.NumMoves {
			if of, ok := fighter.SortOf(m); ok && of == s && r.bout.LookedFor.Has(m.Act()) && r.bout.RuleSet.Allowed[m] {
				moves |= 1 << m
			}
		}
		in := func(at spotAt) *stratum {
			k := strataKey{at.zone, at.known, moves}
			if out[k] == nil {
				out[k] = &stratum{seconds: map[places]float64{}, begun: map[places]float64{}}
			}
			return out[k]
		}
		for _, at := range slices.SortedFunc(maps.Keys(r.there), spotAt.compare) {
			seconds := r.there[at]
			if moves != 0 && at.hold.leaves(s) {
				in(at).seconds[at.hold] += seconds
			}
		}
		for _, a := range slices.SortedFunc(maps.Keys(r.placedActs), spotAct.compare) {
			n := r.placedActs[a]
			if moves>>a.move&1 == 1 && r.there[a.at] > 0 && a.at.hold.leaves(s) {
				x := in(a.at)
				x.acts += n / phi[a.at.zone]
				x.begun[a.at.hold] += n / phi[a.at.zone]
			}
		}
	}
	return out
}

// lean is what places make of the free seconds of a sort of acts at a range: in how many seconds elsewhere as many acts are expected, as a multiple,
// and the variance of its logarithm.
type lean struct{ by, variance float64 }

// leans are those of a fighter's ranges on the feet.
type leans [fighter.Pocket + 1][fighter.NumSorts]lean

// of gives the lean of a move's seconds; what no place changes is as it is.
func (l *leans) of(z fighter.Zone, m tape.Move) lean {
	if s, ok := fighter.SortOf(m); ok && z <= fighter.Pocket {
		return l[z][s]
	}
	return lean{by: 1}
}

// setPlaces moves a fighter's multiples by place, sort by sort, and gives what they make of free seconds.
// phi are the factors of [counts.factors].
func setPlaces(p *fighter.Profile, t *counts, phi *[fighter.NumZones]float64) (out leans) {
	for s := range fighter.NumSorts {
		strata := t.strata(s, phi)
		fit := placeFit{prior: priorOf(p, s)}
		for _, k := range sortedStrata(strata) {
			if x := strata[k]; x.acts > 0 {
				fit.strata = append(fit.strata, x)
			}
		}
		mean, cov, told := fit.mode()
		for z := range out {
			out[z][s] = leanOf(strata, fighter.Zone(z), mean, cov)
		}
		for k := range fighter.NumPlaces {
			f := fighter.Placed(k, s)
			if told[k] {
				p.Figures[f] = fighter.Posterior{A: math.Exp(mean[k]), B: math.Sqrt(cov.At(int(k), int(k)))}
				p.Sources[f] = fighter.FromTape
				p.Seen[f] = t.begunIn(k, s)
			}
		}
	}
	return out
}

// begunIn counts acts of a sort in a place.
func (t *counts) begunIn(k fighter.Place, s fighter.Sort) (sum float64) {
	for _, r := range t.rounds {
		for _, a := range slices.SortedFunc(maps.Keys(r.placedActs), spotAct.compare) {
			n := r.placedActs[a]
			if of, ok := fighter.SortOf(a.move); ok && of == s && a.at.hold.has(k) && a.at.hold.leaves(s) {
				sum += n
			}
		}
	}
	return sum
}

// placeFit is a regression on places: normal priors of the logarithms of multiples, and strata.
type placeFit struct {
	prior  [fighter.NumPlaces]fighter.Posterior // mean and standard deviation of the logarithm
	strata []*stratum
}

func priorOf(p *fighter.Profile, s fighter.Sort) (out [fighter.NumPlaces]fighter.Posterior) {
	for k := range out {
		post := p.Figures[fighter.Placed(fighter.Place(k), s)]
		out[k] = fighter.Posterior{A: math.Log(post.A), B: post.B}
	}
	return out
}

// mode finds the mode of the logarithms by Newton's method, with the inverse of the curvature there, and which of them tape tells anything of. The
// logarithm of the likelihood is concave and so is that of the prior; steps are halved until they climb.
func (f *placeFit) mode() (mean [fighter.NumPlaces]float64, cov *mat.SymDense, told [fighter.NumPlaces]bool) {
	for k := range mean {
		mean[k] = f.prior[k].A
	}
	value, slope, curve := f.at(mean)
	for range 50 {
		var chol mat.Cholesky
		if !chol.Factorize(curve) {
			panic("calibrate: multiples by place without a curvature")
		}
		var step mat.VecDense
		if err := chol.SolveVecTo(&step, mat.NewVecDense(len(slope), slope[:])); err != nil {
			panic("calibrate: " + err.Error())
		}
		next, size := mean, 1.0
		for {
			for k := range next {
				next[k] = mean[k] + size*step.AtVec(k)
			}
			if v, s, c := f.at(next); v >= value-1e-12 {
				mean, value, slope, curve = next, v, s, c
				break
			}
			size /= 2
		}
		if mat.Norm(&step, math.Inf(1)) < 1e-9 {
			break
		}
	}
	var chol mat.Cholesky
	cov = mat.NewSymDense(len(mean), nil)
	if !chol.Factorize(curve) || chol.InverseTo(cov) != nil {
		panic("calibrate: multiples by place without a curvature")
	}
	for k := range told {
		told[k] = curve.At(k, k) > (1+1e-9)/(f.prior[k].B*f.prior[k].B)
	}
	return mean, cov, told
}

// at gives the logarithm of the posterior, its slope and its curvature turned round.
func (f *placeFit) at(x [fighter.NumPlaces]float64) (value float64, slope [fighter.NumPlaces]float64, curve *mat.SymDense) {
	curve = mat.NewSymDense(len(x), nil)
	for k, b := range f.prior {
		d := x[k] - b.A
		value -= d * d / (2 * b.B * b.B)
		slope[k] = -d / (b.B * b.B)
		curve.SetSym(k, k, 1/(b.B*b.B))
	}
	for _, s := range f.strata {
		total := 0.0
		var first [fighter.NumPlaces]float64
		var second [fighter.NumPlaces][fighter.NumPlaces]float64
		for hold := range places(1 << fighter.NumPlaces) {
			seconds := s.seconds[hold]
			if seconds == 0 {
				continue
			}
			eta := hold.sum(&x)
			w := seconds * math.Exp(eta)
			total += w
			value += s.begun[hold] * eta
			for k := range x {
				if !hold.has(fighter.Place(k)) {
					continue
				}
				first[k] += w
				slope[k] += s.begun[hold]
				for j := range k + 1 {
					if hold.has(fighter.Place(j)) {
						second[k][j] += w
					}
				}
			}
		}
		value -= s.acts * math.Log(total)
		for k := range x {
			slope[k] -= s.acts * first[k] / total
			for j := range k + 1 {
				curve.SetSym(k, j, curve.At(k, j)+s.acts*(second[k][j]/total-first[k]*first[j]/total/total))
			}
		}
	}
	return value, slope, curve
}

// sum adds up what belongs to the places that hold.
func (p places) sum(x *[fighter.NumPlaces]float64) (eta float64) {
	for k, v := range x {
		if p.has(fighter.Place(k)) {
			eta += v
		}
	}
	return eta
}

// leanOf adds up a range's seconds at the multiples' medians, which is where both are at their mode together; the variance of the logarithm is
// that of the mean multiple, to first order.
func leanOf(strata map[strataKey]*stratum, z fighter.Zone, mean [fighter.NumPlaces]float64, cov *mat.SymDense) lean {
	seconds, effective := 0.0, 0.0
	var slope [fighter.NumPlaces]float64
	for _, key := range sortedStrata(strata) {
		if key.zone != z {
			continue
		}
		for hold := range places(1 << fighter.NumPlaces) {
			s := strata[key].seconds[hold]
			if s == 0 {
				continue
			}
			w := s * math.Exp(hold.sum(&mean))
			seconds, effective = seconds+s, effective+w
			for k := range slope {
				if hold.has(fighter.Place(k)) {
					slope[k] += w
				}
			}
		}
	}
	if seconds == 0 {
		return lean{by: 1}
	}
	out := lean{by: effective / seconds}
	for k := range slope {
		for j := range slope {
			out.variance += slope[k] * slope[j] / effective / effective * cov.At(k, j)
		}
	}
	return out
}

func sortedStrata(strata map[strataKey]*stratum) []strataKey {
	return slices.SortedFunc(maps.Keys(strata), func(a, b strataKey) int {
		return cmp.Or(cmp.Compare(a.zone, b.zone), cmp.Compare(a.known, b.known), cmp.Compare(a.moves, b.moves))
	})
}

// isPlace reports whether a figure is a multiple by place.
func isPlace(f fighter.Figure) bool {
	return f >= fighter.Placed(0, 0) && f <= fighter.Placed(fighter.NumPlaces-1, fighter.NumSorts-1)
}

// placeOf is the place of a multiple.
func placeOf(f fighter.Figure) fighter.Place {
	return fighter.Place((f - fighter.Placed(0, 0)) / fighter.Figure(fighter.NumSorts))
}

// timeIn adds up the free seconds on the feet in a place.
func (t *counts) timeIn(k fighter.Place) (out Exposure) {
	for _, r := range t.rounds {
		there := 0.0
		for _, at := range slices.SortedFunc(maps.Keys(r.there), spotAt.compare) {
			if at.hold.has(k) {
				there += r.there[at]
			}
		}
		if there > 0 {
			out.Amount, out.Rounds = out.Amount+there, out.Rounds+1
		}
	}
	return out
}

// placed notes where acts were begun that multiples by place are about.
func (t *showing) placed(v *view, when *[fighter.NumPlaces][]span, e *tape.Event, z fighter.Zone) {
	s, ok := fighter.SortOf(tape.MoveOf(e.Act, e.Value))
	if !ok || z > fighter.Pocket {
		return
	}
	for k := range when {
		if anyHolds(when[k], e.Onset()) {
			t.add(fighter.Placed(fighter.Place(k), s), z)
		}
	}
}
