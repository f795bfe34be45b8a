package calibrate

import (
	"math"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// fighterDoubt is the coders' error in everything that was coded of one fighter.
type fighterDoubt struct {
	groups [tape.NumGroups]groupDoubt
	bites  float64
	known  float64 // share of the feints with two codings: their bites are corrected, not only widened
	// correct is what thinning bouts with two codings takes away, which is given back; assumed is the same of bouts with one, and
	// counts as doubt only, since an assumption should not move a figure.
	correct, assumed lost
	kept             [2]kept // what thinning leaves, of bouts with two codings and with one
}

// doubtOf joins the bouts of a fighter by how many acts of a group each coding has. Estimates of several bouts are independent. An
// assumption is one for all bouts: it stays as doubtful however many there are.
func doubtOf(id string, sources []*source, bouts []*boutDoubt) *fighterDoubt {
	d := &fighterDoubt{}
	of := map[*tape.Bout]*boutDoubt{}
	for _, b := range bouts {
		of[b.bout] = b
	}
	var acts [tape.NumGroups]map[*boutDoubt]float64
	feints := 0.0
	for _, s := range sources {
		for c := range s.bout.Fighters {
			if s.bout.Fighters[c].ID != id {
				continue
			}
			b := of[s.bout]
			for i := range s.events {
				e := &s.events[i]
				if !s.isAct(i) {
					continue
				}
				if int(e.Corner) == c {
					g := homeGroup(e.Act)
					if g >= tape.NumGroups {
						continue
					}
					if acts[g] == nil {
						acts[g] = map[*boutDoubt]float64{}
					}
					acts[g][b] += s.weight
				} else if e.Act.IsFeint() {
					d.bites += s.weight * b.bites
					feints += s.weight
					if b.estimated {
						d.known += s.weight
					}
				}
			}
		}
	}
	if feints > 0 {
		d.bites, d.known = d.bites/feints, d.known/feints
	}
	var left [2][tape.NumGroups]float64
	var n [tape.NumGroups]float64
	for g := range acts {
		if d.groups[g] = joinDoubts(bouts, tape.Group(g), acts[g]); d.groups[g] != (groupDoubt{}) {
			for _, b := range bouts {
				n[g] += acts[g][b]
			}
			left[0][g], left[1][g] = keptOf(bouts, tape.Group(g), acts[g], true), keptOf(bouts, tape.Group(g), acts[g], false)
		}
	}
	if d.groups == ([tape.NumGroups]groupDoubt{}) {
		return d
	}
	for k := range d.kept {
		d.kept[k] = keptBy(&left[k], &n)
	}
	return d
}

// keptOf gives the share of a group's acts that is left when those that were missed and made up in bouts of one kind are left out and made up
// once more (see [thinned]).
func keptOf(bouts []*boutDoubt, g tape.Group, acts map[*boutDoubt]float64, estimated bool) float64 {
	n, kept := 0.0, 0.0
	for _, b := range bouts {
		n += acts[b]
		if kept += acts[b]; b.estimated == estimated {
			kept += acts[b] * (b.groups[g].extra - b.groups[g].missed())
		}
	}
	if n == 0 {
		return 1
	}
	return kept / n
}

func joinDoubts(bouts []*boutDoubt, g tape.Group, acts map[*boutDoubt]float64) (d groupDoubt) {
	n, shared := 0.0, 0.0
	for _, b := range bouts {
		n += acts[b]
	}
	if n == 0 {
		return d
	}
	for _, b := range bouts {
		x := b.groups[g]
		part := acts[b] / n
		d.confused += part * x.confused
		d.log, d.extra = d.log+part*x.log, d.extra+part*x.extra
		if b.estimated {
			d.variance += part * part * x.variance
		} else {
			shared += part * math.Sqrt(x.variance)
		}
	}
	d.variance += shared * shared
	return d
}

// widen takes the coders' error into a profile that tape has moved, and nothing else yet: what tape added to the population's figures is
// corrected by what two codings say was missed or made up, shared out over the acts that it may have been called by mistake, and weighed
// down so that the logarithm of a rate, or of a weight against its rest, has the coders' variance on top of its own.
func (d *fighterDoubt) widen(p *fighter.Profile, in *gathered) {
	if *d == (fighterDoubt{}) {
		return
	}
	prior := in.population.Profile(p.ID, p.Body)
	for k, l := range []*lost{&d.correct, &d.assumed} {
		if len(in.less[k]) > 0 {
			var whole, part libraryCounts
			whole.add(in.tallies[p.ID], anyBout)
			for _, less := range in.less[k] {
				part.add(less[p.ID], anyBout)
			}
			*l = lostIn(&whole, &part, d.kept[k], &in.left[k])
			for _, less := range in.less[k] {
				q := prior.Clone()
				phi := less[p.ID].factors()
				setPlaces(q, less[p.ID], &phi)
				setTables(q, less[p.ID])
				l.multiples.add(p, q)
			}
		}
	}
	for g := range d.groups {
		if d.groups[g] == (groupDoubt{}) {
			continue
		}
		for z := range fighter.NumZones {
			d.widenRates(p, prior, z, tape.Group(g))
		}
	}
	for k, table := range choiceTables {
		for z := range fighter.ExchangeZones {
			d.widenTable(p, prior, k, z, func(m tape.Move) fighter.Figure { return table(z, m) })
		}
	}
	d.widenBites(p, prior, in.usual)
	d.widenMultiples(p)
}

// group is none of a change of stance, which belongs to no group of acts.
func (d *fighterDoubt) group(g tape.Group) groupDoubt {
	if g == tape.NumGroups {
		return groupDoubt{}
	}
	return d.groups[g]
}

// called gives the chances that a move of a list is coded as each: itself, or with the share confused one of the other acts of its
// group, going the same way, that a coder may take it for, all alike.
func called(moves []tape.Move, confused func(tape.Group) float64) [][]float64 {
	out := make([][]float64, len(moves))
	for i, m := range moves {
		out[i] = make([]float64, len(moves))
		var like []int
		for k, o := range moves {
			if m == tape.NoMove || o == tape.NoMove || m.Act() == o.Act() || homeGroup(m.Act()) != homeGroup(o.Act()) || tape.MoveOf(o.Act(), m.Value()) != o {
				continue
			}
			if _, possible := mismatch(m.Act(), o.Act()); possible {
				like = append(like, k)
			}
		}
		out[i][i] = 1
		for _, k := range like {
			c := confused(homeGroup(m.Act()))
			out[i][k] = c / float64(len(like))
			out[i][i] = 1 - c
		}
	}
	return out
}

func (d *fighterDoubt) widenRates(p, prior *fighter.Profile, z fighter.Zone, g tape.Group) {
	var moves []tape.Move
	x := d.groups[g]
	for m := range tape.NumMoves {
		f := fighter.Initiate(z, m)
		if m != tape.NoMove && homeGroup(m.Act()) == g && prior.Figures[f].A > 0 && p.Sources[f] == fighter.FromTape {
			moves = append(moves, m)
		}
	}
	if len(moves) == 0 {
		return
	}
	m := mixture{share: called(moves, func(tape.Group) float64 { return x.confused })}
	for _, move := range moves {
		before, after := prior.Figures[fighter.Initiate(z, move)], p.Figures[fighter.Initiate(z, move)]
		m.prior = append(m.prior, infer.Gamma{Shape: before.A, Rate: before.B})
		m.counts = append(m.counts, math.Max(after.A-before.A, 0)*math.Exp(d.correct.rates[z][move]))
		m.exposure = append(m.exposure, math.Max(after.B-before.B, 0))
	}
	after, _ := m.posterior()
	for i, move := range moves {
		variance := x.variance + math.Pow(d.assumed.rates[z][move], 2) + d.strayed(z, move, p.Figures[fighter.Initiate(z, move)].A-m.prior[i].Shape, m.counts[i])
		w := surer(m.prior[i], after[i], variance)
		p.Figures[fighter.Initiate(z, move)] = fighter.Posterior{A: w.Shape, B: w.Rate}
	}
}

// strayed is what the variance of a rate's logarithm has beyond one over the corrected count, since acts were missed that are not there to be
// counted, and others are counted that do not belong: what continued or answered an act that was missed seems begun by itself. Of n
// counted, strays vary as counts do, in the tape and in its thinnings, and with the share missed, which is itself in doubt.
func (d *fighterDoubt) strayed(z fighter.Zone, m tape.Move, n, corrected float64) float64 {
	if n <= 0 || corrected <= 0 {
		return 0
	}
	g := homeGroup(m.Act())
	share := math.Max(d.correct.strays[z][m], 0) + math.Max(d.assumed.strays[z][m], 0)
	strays := n * math.Min(share, mostStrays)
	x := &d.groups[g]
	doubt := 0.0
	if missed := x.missed(); missed > 0 {
		doubt = strays * math.Sqrt(x.variance) * (1 - missed) / missed
	}
	own := n - strays
	return math.Max((n+strays/thinnings+doubt*doubt)/(own*own)-1/corrected, 0)
}

// mostStrays is the largest share of a rate's acts that is taken not to belong there (judgement).
const mostStrays = .8

// widenTable does the same for choices in a zone; k is 0 for answers and 1 for continuing. What was missed was counted as doing nothing and is taken
// from there: how much it was varies as the counts that it is told from, and with the shares missed.
func (d *fighterDoubt) widenTable(p, prior *fighter.Profile, k, z int, figure func(tape.Move) fighter.Figure) {
	var moves []tape.Move
	seen := false
	for m := range tape.NumMoves {
		f := figure(m)
		seen = seen || p.Sources[f] == fighter.FromTape
		if prior.Figures[f].A > 0 {
			moves = append(moves, m)
		}
	}
	if !seen {
		return
	}
	m := mixture{share: called(moves, func(g tape.Group) float64 { return d.group(g).confused })}
	acts, doubt := 0.0, 0.0
	nothing, put, putVariance := -1, 0.0, 0.0
	unseen := make([]float64, len(moves)) // variance of a logarithm beyond that of the corrected count: what was missed was not counted
	for i, move := range moves {
		before := prior.Figures[figure(move)].A
		n := math.Max(p.Figures[figure(move)].Mean(fighter.Weight)-before, 0)
		if g := homeGroup(move.Act()); g < tape.NumGroups {
			if counted := n; counted > 0 {
				n *= math.Exp(d.correct.tables[k][z][move])
				unseen[i] = math.Max(1/counted-1/n, 0)
				put, putVariance = put+n-counted, putVariance+(n-counted)*(n-counted)/counted
			}
			acts, doubt = acts+n, doubt+n*math.Sqrt(d.groups[g].variance+math.Pow(d.assumed.tables[k][z][move], 2))
		}
		if move == tape.NoMove {
			nothing = i
		}
		m.prior, m.counts = append(m.prior, infer.Gamma{Shape: before, Rate: 1}), append(m.counts, n)
	}
	if acts == 0 {
		return
	}
	if nothing >= 0 && put != 0 { // what was missed seemed to be nothing
		counted := m.counts[nothing]
		n := math.Max(counted-put, leastNothing*counted)
		m.counts[nothing] = n
		if n > 0 {
			unseen[nothing] = math.Max((counted+putVariance)/(n*n)-1/n, 0)
		}
	}
	left := 1 / (1 + doubt*doubt/acts) // acts·variance, with the variance of the mean group
	scale := sum(m.counts) / sumOf(m.prior, func(g infer.Gamma) float64 { return g.Shape }) * left
	for i := range m.counts {
		m.counts[i] *= left
		m.exposure = append(m.exposure, scale)
	}
	after, _ := m.posterior()
	for i, move := range moves {
		w := after[i].Mean() * (1 + scale)
		is := p.Figures[figure(move)]
		variance := beyond(move, is, math.Min(after[i].Shape, w)) + unseen[i]
		if i == nothing { // what acts are more, it is less
			variance += math.Pow(doubt*left/w, 2)
		}
		shape := 1 / variance
		p.Figures[figure(move)] = fighter.Posterior{A: shape, B: w / shape}
	}
}

// beyond gives the variance of a weight's logarithm, from the shape it would have as a plain one: what there was more of it stays, since choices may be
// misread; of doing nothing in proportion, since that hangs on what other acts tell of it, too.
func beyond(m tape.Move, is fighter.Posterior, shape float64) float64 {
	if m == tape.NoMove {
		return is.Mean(fighter.Weight) / is.A / shape
	}
	return 1/shape + 1/is.A - 1/is.Mean(fighter.Weight)
}

// informs is the part of the information on log-odds that is left when a yes or no is the wrong way round with chance c: (1-2c)²·p(1-p) over
// q(1-q), q = c + (1-2c)·p (the ratio of the informations; Neuhaus 1999, Biometrika 86, 843–855, from memory).
func informs(p, c float64) float64 {
	q := c + (1-2*c)*p
	return (1 - 2*c) * (1 - 2*c) * p * (1 - p) / (q * (1 - q))
}

// widenBites weighs down what tape says of readiness to bite; where two codings tell how often a bite is coded wrongly, the shift, which
// that draws towards even, is undone as well.
func (d *fighterDoubt) widenBites(p, prior *fighter.Profile, u *usual) {
	for c := range fighter.NumCues {
		f := fighter.Bite(c)
		before, after := prior.Figures[f], p.Figures[f]
		gain := 1/(after.B*after.B) - 1/(before.B*before.B)
		if d.bites == 0 || p.Sources[f] != fighter.FromTape || gain <= 0 {
			continue
		}
		share := u.heeded[c] / (1 + math.Exp(-u.bitten[c]))
		shift := (after.A - before.A) / (after.B * after.B * gain) // what tape alone says
		left := informs(share, d.bites)
		if d.known > 0 {
			q := d.bites + (1-2*d.bites)*share
			slope := (1 - 2*d.bites) * share * (1 - share) / (q * (1 - q))
			level := logOddsOf(q) - logOddsOf(share)
			shift = (1-d.known)*shift + d.known*(shift-level)/slope
		}
		precision := 1/(before.B*before.B) + gain*left
		p.Figures[f] = fighter.Posterior{A: before.A + gain*left*shift/precision, B: 1 / math.Sqrt(precision)}
	}
}

func logOddsOf(p float64) float64 { return math.Log(p / (1 - p)) }

// doubted weighs down attempts by how far their results are to be trusted.
func doubted(sources []*source, bouts []*boutDoubt, u *usual) (out []attempt) {
	of := map[*tape.Bout]float64{}
	for _, b := range bouts {
		of[b.bout] = b.results
	}
	for _, s := range sources {
		tries := attempts([]*source{s}, nil)
		if c := of[s.bout]; c > 0 {
			for i := range tries {
				p := 1 / (1 + math.Exp(-u.sharesFor(&tries[i]).logOdds(&tries[i])))
				tries[i].weight *= informs(p, c)
			}
		}
		out = append(out, tries...)
	}
	return out
}
