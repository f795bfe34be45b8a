package calibrate

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// libraryDoubt is the coders' errors in a library, and what they do to its counts: [fighterDoubt] of everybody together, since a library has
// enough tape to tell what each kind of error takes from whom. Where two codings tell the errors, an act that was missed is put back; where
// one leaves them assumed, they widen standard errors, and the share that is called another act is undone.
type libraryDoubt struct {
	of     map[*tape.Bout]*boutDoubt
	joined [tape.NumGroups]groupDoubt // over the bouts
	usual  [tape.NumGroups]float64    // mean logarithm of true acts for one coded, over bouts with two codings
	// correct is what thinning bouts with two codings takes away, of those bouts alone; assumed is the same of bouts with one, of all.
	correct, assumed lost
	called           map[fighter.Figure]float64 // true events for one that is called so
}

// libraryDoubtOf gives none where nobody errs.
func libraryDoubtOf(in *counted, tallies map[string]*counts, coder CoderDoubt, population *fighter.PopulationFile) *libraryDoubt {
	doubts := doubtsOf(in.taken, coder)
	d := &libraryDoubt{of: map[*tape.Bout]*boutDoubt{}, called: map[fighter.Figure]float64{}}
	errs := false
	for _, b := range doubts {
		d.of[b.bout] = b
		errs = errs || b.groups != [tape.NumGroups]groupDoubt{} || b.bites > 0
	}
	if !errs {
		return nil
	}
	acts := actsByBout(in.full, d.of)
	for g := range acts {
		d.joined[g] = joinDoubts(doubts, tape.Group(g), acts[g])
		n := 0.0
		for _, b := range doubts {
			if k := acts[g][b]; b.estimated {
				n, d.usual[g] = n+k, d.usual[g]+k*b.groups[g].log
			}
		}
		d.usual[g] /= math.Max(n, 1e-9)
	}
	for k, l := range []*lost{&d.correct, &d.assumed} {
		estimated := k == 0
		takes := func(b *tape.Bout) bool { return !estimated || d.of[b].estimated }
		if less := thinned(in.full, doubts, estimated); len(less) > 0 {
			var whole, part libraryCounts
			whole.addAll(tallies, takes)
			for _, t := range less {
				part.addAll(t, takes)
			}
			*l = lostIn(&whole, &part, d.kept(acts, takes, estimated), nil)
		}
	}
	d.undoCalled(tallies, population)
	return d
}

// actsByBout counts acts of each group by bout, in its order of summing.
func actsByBout(sources []*source, of map[*tape.Bout]*boutDoubt) (acts [tape.NumGroups]map[*boutDoubt]float64) {
	for g := range acts {
		acts[g] = map[*boutDoubt]float64{}
	}
	for _, s := range sources {
		for i := range s.events {
			if g := homeGroup(s.events[i].Act); g < tape.NumGroups && s.isAct(i) {
				acts[g][of[s.bout]] += s.weight
			}
		}
	}
	return acts
}

// kept is what thinning bouts of one kind leaves of the acts of some.
func (d *libraryDoubt) kept(acts [tape.NumGroups]map[*boutDoubt]float64, takes func(*tape.Bout) bool, estimated bool) kept {
	var left, n [tape.NumGroups]float64
	for g := range acts {
		of := map[*boutDoubt]float64{}
		var bouts []*boutDoubt
		for _, b := range slices.SortedFunc(maps.Keys(acts[g]), func(a, b *boutDoubt) int { return cmp.Compare(a.bout.ID, b.bout.ID) }) {
			if takes(b.bout) {
				of[b], bouts = acts[g][b], append(bouts, b)
				n[g] += acts[g][b]
			}
		}
		left[g] = keptOf(bouts, tape.Group(g), of, estimated)
	}
	return keptBy(&left, &n)
}

// seen is how many acts are counted of a kind for each one there was, in one bout.
func (d *libraryDoubt) seen(b *tape.Bout, z fighter.Zone, m tape.Move) float64 {
	if d == nil {
		return 1
	}
	there := orOne(d.called, fighter.Initiate(z, m))
	if x := d.of[b]; x.estimated {
		there *= math.Exp(d.correct.rates[z][m] + d.beyond(x, homeGroup(m.Act())))
	}
	return 1 / there
}

// beyond is how much more a bout's coders miss than those of other bouts.
func (d *libraryDoubt) beyond(b *boutDoubt, g tape.Group) float64 {
	if g >= tape.NumGroups {
		return 0
	}
	return b.groups[g].log - d.usual[g]
}

func orOne(of map[fighter.Figure]float64, f fighter.Figure) float64 {
	if x, ok := of[f]; ok {
		return x
	}
	return 1
}

// choices puts back what was missed into a fighter's counts of one table. It comes out of what seemed to be nothing: that acts were missed makes nobody
// surer.
func (d *libraryDoubt) choices(u *infer.Chosen, figures []fighter.Figure, t *counts) {
	k, z, is := pointOf(figures[0])
	if d == nil || !is {
		return
	}
	parts := t.choicesBy(k, d)
	before := sum(u.Counts)
	for m := range u.Counts {
		g := homeGroup(tape.Move(m).Act())
		if by := orOne(d.called, figures[m]); tape.Move(m) != tape.NoMove && g < tape.NumGroups {
			u.Counts[m] *= by * (1 + parts.estimated*(math.Exp(d.correct.tables[k][z][m]+parts.beyond[g])-1))
		}
	}
	nothing := &u.Counts[tape.NoMove]
	if len(u.Joined) > 0 { // which holds nothing too
		nothing = &u.JoinedCount
	}
	put := sum(u.Counts) - before
	left := math.Max(*nothing-put, leastNothing**nothing)
	back := (before + u.JoinedCount - left) / math.Max(before+u.JoinedCount+put-*nothing, 1e-9) // 1 but where more was missed than nothing was seen
	for m := range u.Counts {
		u.Counts[m] *= back
	}
	*nothing = left
}

// leastNothing is how much of what seemed to be nothing is taken to be nothing at least (judgement).
const leastNothing = .2

// pointOf tells answers (0) and continuing (1), with the zone, from defences.
func pointOf(f fighter.Figure) (k, zone int, ok bool) {
	for k, table := range choiceTables {
		for z := range fighter.ExchangeZones {
			if at := f - table(z, 0); at >= 0 && at < fighter.Figure(tape.NumMoves) {
				return k, z, true
			}
		}
	}
	return 0, 0, false
}

// tellingShare is the part of a fighter's choices that is of bouts with two codings, and how much more their coders miss than others.
type tellingShare struct {
	estimated float64
	beyond    [tape.NumGroups]float64
}

func (t *counts) choicesBy(k int, d *libraryDoubt) (out tellingShare) {
	all := 0.0
	for _, r := range t.rounds {
		n := 0.0
		for z := range fighter.ExchangeZones {
			for m := range tape.NumMoves {
				n += r.choices[choiceTables[k](z, m)]
			}
		}
		if all += n; !d.of[r.bout].estimated {
			continue
		}
		out.estimated += n
		for g := range out.beyond {
			out.beyond[g] += n * d.beyond(d.of[r.bout], tape.Group(g))
		}
	}
	for g := range out.beyond {
		out.beyond[g] /= math.Max(out.estimated, 1e-9)
	}
	out.estimated /= math.Max(all, 1e-9)
	return out
}

// doubtOfRate and doubtOfOdds are the variances that errors add to the logarithm of a mean.
func (d *libraryDoubt) doubtOfRate(z fighter.Zone, m tape.Move) float64 {
	g := homeGroup(m.Act())
	if d == nil || g >= tape.NumGroups {
		return 0
	}
	return d.joined[g].variance + math.Pow(d.assumed.rates[z][m], 2)
}

func (d *libraryDoubt) doubtOfOdds(f fighter.Figure, m tape.Move) float64 {
	k, z, is := pointOf(f)
	g := homeGroup(m.Act())
	if d == nil || !is || g >= tape.NumGroups {
		return 0
	}
	return d.joined[g].variance + math.Pow(d.assumed.tables[k][z][m], 2)
}

// undoCalled says of every rate and every choice how many there were for one that is called so, from the library's sums. The population's
// figures only keep what the library hardly shows.
func (d *libraryDoubt) undoCalled(tallies map[string]*counts, population *fighter.PopulationFile) {
	all := map[fighter.Figure]float64{}
	var sums libraryCounts
	for _, id := range sortedKeys(tallies) {
		sums.add(tallies[id], func(*tape.Bout) bool { return true })
		for _, r := range tallies[id].rounds {
			for f, n := range r.choices {
				all[f] += n
			}
		}
	}
	for z := range fighter.NumZones {
		for g := range tape.NumGroups {
			d.undo(population, func(m tape.Move) (fighter.Figure, float64, float64, bool) {
				return fighter.Initiate(z, m), sums.acts[z][m], sums.seconds[z][m], m != tape.NoMove && homeGroup(m.Act()) == g
			})
		}
	}
	for _, table := range choiceTables {
		for z := range fighter.ExchangeZones {
			total := 0.0
			for m := range tape.NumMoves {
				total += all[table(z, m)]
			}
			weight := 0.0
			for m := range tape.NumMoves {
				weight += population.Figures[table(z, m)].A
			}
			d.undo(population, func(m tape.Move) (fighter.Figure, float64, float64, bool) {
				return table(z, m), all[table(z, m)], total / weight, true
			})
		}
	}
}

// undo deals with moves that may be called each other: of each the figure, the count and what that stands against.
func (d *libraryDoubt) undo(population *fighter.PopulationFile, of func(tape.Move) (f fighter.Figure, n, exposure float64, in bool)) {
	var moves []tape.Move
	var figures []fighter.Figure
	var m mixture
	for move := range tape.NumMoves {
		f, n, exposure, in := of(move)
		before := population.Figures[f]
		if !in || before.A == 0 || exposure == 0 {
			continue
		}
		if fighter.Define(f).Law == fighter.Weight {
			before.B = 1
		}
		moves, figures = append(moves, move), append(figures, f)
		m.prior = append(m.prior, infer.Gamma{Shape: before.A, Rate: before.B})
		m.counts, m.exposure = append(m.counts, n), append(m.exposure, exposure)
	}
	if len(moves) < 2 {
		return
	}
	m.share = called(moves, func(g tape.Group) float64 {
		if g >= tape.NumGroups {
			return 0
		}
		return d.joined[g].confused
	})
	_, own := m.posterior()
	for i := range moves {
		if m.counts[i] > 0 {
			d.called[figures[i]] = math.Max(sum(own[i])/m.counts[i], leastCalled)
		}
	}
}

// leastCalled keeps of what is called so at least a tenth (judgement): all of a rare act may be a common one's mistakes, and that somebody did
// it once must not be ruled out.
const leastCalled = .1
