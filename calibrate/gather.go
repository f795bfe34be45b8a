package calibrate

import (
	"slices"

	"whatbout/fighter"
	"whatbout/tape"
)

// counted is the codings that count, each weighed by its age and by how many its bout has.
type counted struct {
	known  map[string]fighter.Body // everybody's, of bouts that do not count too
	taken  []*tape.Coding          // of every act
	full   []*source               // the same, in order
	coarse []*coarseSource         // of bouts that are coded by exchanges alone
	left   []string                // what there is to say of coarse codings that do not count
	notes  []string                // of those of every act, and of age
}

func (o Options) sources(codings []*tape.Coding) (*counted, error) {
	known, err := bodies(boutsOf(codings, o.Coarse), func(b *tape.Bout) string { return b.ID })
	if err != nil {
		return nil, err
	}
	in := &counted{known: known}
	in.taken, in.notes = usualOnly(codings, o.All)
	in.full = sourcesOf(in.taken, known)
	in.coarse, in.left = o.coarseSources(in.taken, known)
	if err := o.Age.weigh(in.all()); err != nil {
		return nil, err
	}
	in.notes = slices.Concat(in.notes, o.Age.notes(in.all()), notes(in.full))
	in.notes = append(in.notes, unseenByRange(in.full)...)
	for _, c := range in.taken {
		in.notes = append(in.notes, c.Warnings...)
	}
	return in, nil
}

// all gives the sources of both levels.
func (in *counted) all() []*source {
	out := slices.Clone(in.full)
	for _, s := range in.coarse {
		out = append(out, s.source)
	}
	return out
}

// gathered is what the codings show, before it becomes anybody's profile.
type gathered struct {
	*counted
	population *fighter.PopulationFile
	usual      *usual
	tallies    map[string]*counts
	coarse     *coarseTape
	doubts     []*boutDoubt
	less       [2][]map[string]*counts // with acts left out of bouts with two codings, and of those with one
	left       [2]rateSums             // of everybody's acts, by that
}

func (o Options) gather(in *counted, w coarseWitness) *gathered {
	g := &gathered{counted: in, population: o.population(), usual: usualOf(o.population()), tallies: tally(in.full, nil), coarse: o.coarseTape(in, w),
		doubts: doubtsOf(in.taken, o.Coder)}
	for k, estimated := range []bool{true, false} {
		g.less[k] = thinned(in.full, g.doubts, estimated)
		if len(g.less[k]) > 0 {
			var whole, part libraryCounts
			whole.addAll(g.tallies, anyBout)
			for _, less := range g.less[k] {
				part.addAll(less, anyBout)
			}
			g.left[k] = leftOf(&whole, &part, nil)
		}
	}
	g.coarse.join(g.tallies)
	return g
}

// byActs is a profile after what is coded by every act, skills not counted.
func (g *gathered) byActs(id string) *fighter.Profile {
	p := g.population.Profile(id, g.known[id])
	setRates(p, g.tallies[id])
	setTables(p, g.tallies[id])
	setBites(p, g.tallies[id], g.usual)
	doubtOf(id, g.full, g.doubts).widen(p, g)
	return p
}
