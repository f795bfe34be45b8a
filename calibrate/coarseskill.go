package calibrate

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/mat"

	"whatbout/fighter"
	"whatbout/tape"
)

// cleanUsual is what clean hits an exchange tell of skill in the population's bouts: the logarithm of their mean is
// centre + Σ slope·(attack - defence) + the attacker's circumstances + the defender's.
type cleanUsual struct {
	centre     float64
	slope      [fighter.NumFamilies]float64
	prior      [fighter.NumFamilies]float64 // standard deviation of a skill among the population
	sides      [2]float64                   // variances of the circumstances of attackers and defenders: how much is thrown, and with what
	dispersion float64                      // variance of hits over that of independent ones
}

// clean gets the slopes from the strikes themselves: a family's part of the clean hits, times how much its log-odds move the logarithm
// of its chance, 1 - p. Variances are by moments of a two-way layout, attackers and defenders.
func (w *coarseWatch) clean() cleanUsual {
	var u cleanUsual
	all, shares := 0.0, usualOf(w.population).seen.shares()
	for m, n := range w.hits {
		if f, ok := fighter.FamilyOf(tape.Move(m).Act()); ok {
			u.slope[f] += n * (1 - shares[m])
		}
		all += n
	}
	explained := 0.0
	for f := range u.slope {
		u.slope[f] /= all
		u.prior[f] = w.population.Figures[fighter.Attack(fighter.Family(f))].B
		explained += u.slope[f] * u.slope[f] * u.prior[f] * u.prior[f]
	}
	tallies := map[string]*coarseCounts{}
	for who, t := range w.seen {
		tallies[strconv.Itoa(who)] = t
	}
	hits := metBy(tallies)
	u.centre = sumOf(hits, func(h pairHits) float64 { return h.log() }) / float64(len(hits))
	left := sumOf(hits, func(h pairHits) float64 { return math.Pow(h.log()-u.centre, 2) }) / float64(len(hits))
	for side := range u.sides {
		v := shared(hits, side, u.centre)
		left -= v
		u.sides[side] = math.Max(v-explained, 0)
	}
	u.dispersion = math.Max(left/(sumOf(hits, func(h pairHits) float64 { return 1 / (h.clean + .5) })/float64(len(hits))), 1)
	return u
}

// pairHits is the clean hits of one fighter on another.
type pairHits struct {
	who [2]string // attacker, defender
	cleanHits
}

// log is the logarithm of hits an exchange, with half a hit more.
func (h pairHits) log() float64 { return math.Log((h.clean + .5) / h.exchanges) }

func sumOf[T any](all []T, of func(T) float64) (s float64) {
	for _, x := range all {
		s += of(x)
	}
	return s
}

// shared is the mean product of two deviations that have the same fighter on a side.
func shared(hits []pairHits, side int, centre float64) float64 {
	type sums struct{ one, two, n float64 }
	of := map[string]*sums{}
	for _, h := range hits {
		s := of[h.who[side]]
		if s == nil {
			s = &sums{}
			of[h.who[side]] = s
		}
		d := h.log() - centre
		s.one, s.two, s.n = s.one+d, s.two+d*d, s.n+1
	}
	top, bottom := 0.0, 0.0
	for _, id := range slices.Sorted(maps.Keys(of)) {
		s := of[id]
		top, bottom = top+s.one*s.one-s.two, bottom+s.n*(s.n-1)
	}
	return math.Max(top/bottom, 0)
}

// metBy lists everybody's clean hits on everybody, in the order of their ids.
func metBy(tallies map[string]*coarseCounts) (out []pairHits) {
	for id, t := range tallies {
		for with, h := range t.met {
			if h.exchanges > 0 {
				out = append(out, pairHits{[2]string{id, with}, *h})
			}
		}
	}
	slices.SortFunc(out, func(a, b pairHits) int {
		return cmp.Or(cmp.Compare(a.who[0], b.who[0]), cmp.Compare(a.who[1], b.who[1]))
	})
	return out
}

// coarseSkills moves the skills of those who were coded by exchanges, and of whom they met, family by family: the best linear prediction
// from the logarithms of clean hits an exchange, in which every other family is part of the circumstances. So a family's own spread is
// right, while the families stay independent of each other, which leaves what they do together a little more doubtful than it is.
func coarseSkills(fits []Fit, tallies map[string]*coarseCounts, usual func() *coarseUsual) []Fit {
	hits := metBy(tallies)
	if len(hits) == 0 {
		return fits
	}
	u := &usual().clean
	before := map[fighter.Family]*Fit{}
	for f := range fighter.NumFamilies {
		if i := slices.IndexFunc(fits, func(x Fit) bool { return x.Family == f }); i >= 0 {
			before[f] = &fits[i]
		}
	}
	var out []Fit
	for f := range fighter.NumFamilies {
		switch {
		case u.slope[f] > 0:
			out = append(out, extended(before[f], f, hits, u.prior[f]).told(u, before, hits))
		case before[f] != nil:
			out = append(out, *before[f])
		}
	}
	return out
}

// extended gives a fit, or none, with all who hit or were hit in it; those who were not have the prior.
func extended(fit *Fit, f fighter.Family, hits []pairHits, prior float64) *Fit {
	var ids []string
	for _, h := range hits {
		ids = append(ids, h.who[:]...)
	}
	if fit != nil {
		for _, name := range fit.Names[:len(fit.Names)/2] {
			ids = append(ids, name[:len(name)-len(skillName("", fighter.Attack(f)))])
		}
	}
	slices.Sort(ids)
	ids = slices.Compact(ids)
	out := &Fit{Family: f, Mean: make([]float64, 2*len(ids)), Cov: mat.NewSymDense(2*len(ids), nil)}
	for _, figure := range []fighter.Figure{fighter.Attack(f), fighter.Defence(f)} {
		for _, id := range ids {
			out.Names = append(out.Names, skillName(id, figure))
		}
	}
	for i := range out.Names {
		out.Cov.SetSym(i, i, prior*prior)
	}
	if fit != nil {
		out.take(fit)
	}
	return out
}

// take copies what another fit says of names that stand in both.
func (f *Fit) take(from *Fit) {
	at := f.places()
	for i, name := range from.Names {
		f.Mean[at[name]] = from.Mean[i]
		for k, other := range from.Names[:i+1] {
			f.Cov.SetSym(at[name], at[other], from.Cov.At(i, k))
		}
	}
}

func (f *Fit) places() map[string]int {
	at := map[string]int{}
	for i, name := range f.Names {
		at[name] = i
	}
	return at
}

// told is the fit after the hits: with residuals r, their slopes H and covariance S = H·Cov·Hᵀ + R the mean moves by Cov·Hᵀ·S⁻¹·r and the
// covariance loses Cov·Hᵀ·S⁻¹·H·Cov.
func (f *Fit) told(u *cleanUsual, before map[fighter.Family]*Fit, hits []pairHits) Fit {
	m, n, slope, at := len(hits), len(f.Names), u.slope[f.Family], f.places()
	h, r := mat.NewDense(m, n, nil), mat.NewVecDense(m, nil)
	for i, x := range hits {
		attack, defence := at[skillName(x.who[0], fighter.Attack(f.Family))], at[skillName(x.who[1], fighter.Defence(f.Family))]
		h.Set(i, attack, slope)
		h.Set(i, defence, -slope)
		r.SetVec(i, x.log()-u.centre-slope*(f.Mean[attack]-f.Mean[defence])-u.others(f.Family, before, x.who, mean))
	}
	var ch, s mat.Dense
	ch.Mul(f.Cov, h.T())
	s.Mul(h, &ch)
	total := mat.NewSymDense(m, nil)
	for i, x := range hits {
		for k, y := range hits[:i+1] {
			total.SetSym(i, k, s.At(i, k)+u.noise(f.Family, before, x, y))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(total) {
		panic("calibrate: clean hits that vary together as nothing can")
	}
	var move mat.VecDense
	var gain, less mat.Dense
	must(chol.SolveVecTo(&move, r))
	must(chol.SolveTo(&gain, ch.T()))
	less.Mul(&ch, &gain)
	out := Fit{Family: f.Family, Names: f.Names, Mean: slices.Clone(f.Mean), Cov: mat.NewSymDense(n, nil)}
	var shift mat.VecDense
	shift.MulVec(&ch, &move)
	for i := range n {
		out.Mean[i] += shift.AtVec(i)
		for k := range i + 1 {
			out.Cov.SetSym(i, k, f.Cov.At(i, k)-(less.At(i, k)+less.At(k, i))/2)
		}
	}
	return out
}

func must(err error) {
	if err != nil {
		panic("calibrate: " + err.Error())
	}
}

// noise is the covariance of two logarithms of hits that one family leaves: luck of the same hits, and circumstances and other families
// of whoever is on the same side of both.
func (u *cleanUsual) noise(f fighter.Family, before map[fighter.Family]*Fit, x, y pairHits) (v float64) {
	if x.who == y.who {
		v = u.dispersion / (x.clean + .5)
	}
	for side := range x.who {
		if x.who[side] == y.who[side] {
			one := x.who
			one[1-side] = ""
			v += u.sides[side] + u.others(f, before, one, variance)
		}
	}
	return v
}

// others adds up what the other families' skills of attacker and defender do to the logarithm, by mean or by variance; "" is nobody.
func (u *cleanUsual) others(f fighter.Family, before map[fighter.Family]*Fit, who [2]string, of func(slope float64, p fighter.Posterior) float64) (sum float64) {
	for other, slope := range u.slope {
		family := fighter.Family(other)
		if family == f || slope == 0 {
			continue
		}
		for side, figure := range []fighter.Figure{fighter.Attack(family), fighter.Defence(family)} {
			if who[side] == "" {
				continue
			}
			post := fighter.Posterior{B: u.prior[family]}
			if fit := before[family]; fit != nil {
				if p, ok := fit.posterior(skillName(who[side], figure)); ok {
					post = p
				}
			}
			sum += of(slope*float64(1-2*side), post)
		}
	}
	return sum
}

func mean(slope float64, p fighter.Posterior) float64     { return slope * p.A }
func variance(slope float64, p fighter.Posterior) float64 { return slope * slope * p.B * p.B }
