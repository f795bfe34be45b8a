package calibrate

import (
	"fmt"
	"slices"
	"sync"

	"whatbout/fighter"
	"whatbout/tape"
)

// CoarseEvidence is how much tape coded by exchanges stands behind one fighter.
type CoarseEvidence struct {
	Minutes   float64 // of which samples tell the range
	Rounds    int     // with a sample or an exchange
	Exchanges float64
	Led       float64 // of which this fighter led
	Figures   int     // moved by it, skills not counted
}

// coarseTape is everything that was coded by exchanges and counts.
type coarseTape struct {
	tallies map[string]*coarseCounts
	usual   func() *coarseUsual // of the population; bouts are played for it at the first call
	doubt   float64             // variance of the logarithm of a rate, from the coder's own error: that of strikes, and an assumption always
	notes   []string
}

func boutsOf(full []*tape.Coding, coarse []*tape.Coarse) (out []*tape.Bout) {
	for _, c := range full {
		out = append(out, c.Bout)
	}
	for _, c := range coarse {
		out = append(out, c.Bout)
	}
	return out
}

// coarseSources leaves out what does not count as usual, and bouts of which every act was coded.
func (o *Options) coarseSources(full []*tape.Coding, known map[string]fighter.Body) ([]*coarseSource, []string) {
	taken, notes := asUsual(o.Coarse, func(c *tape.Coarse) *tape.Bout { return c.Bout }, o.All)
	taken = slices.DeleteFunc(taken, func(c *tape.Coarse) bool {
		return slices.ContainsFunc(full, func(f *tape.Coding) bool { return f.Bout == c.Bout })
	})
	return coarseSourcesOf(taken, known), notes
}

func (o *Options) coarseTape(in *counted, w coarseWitness) *coarseTape {
	sources, notes := in.coarse, slices.Clone(in.left)
	for i, s := range sources {
		if i == 0 || sources[i-1].bout != s.bout {
			notes = append(notes, s.bout.ID+": coded by exchanges: leads move attack rates, giving ground moves steps back, clean hits move skills a little, nothing else moves")
		}
		for _, text := range s.openQuestions() {
			notes = append(notes, fmt.Sprintf("%s, %s: %s", s.bout.ID, s.coarse.Name, text))
		}
		notes = append(notes, s.coarse.Warnings...)
	}
	out := &coarseTape{tallies: coarseTally(sources, w), notes: notes}
	out.usual = sync.OnceValue(func() *coarseUsual { return coarseUsualOf(o.population()) })
	var people []string
	for i, s := range sources {
		if s.bout.Coder != engineCoder && (i == 0 || sources[i-1].bout != s.bout) {
			people = append(people, s.bout.ID)
		}
	}
	if missed, extra := o.Coder.Missed[tape.GroupStrikes], o.Coder.Extra; len(people) > 0 && missed+extra > 0 {
		d := assumedDoubt(nil, o.Coder).groups[tape.GroupStrikes]
		out.doubt = d.variance + d.log*d.log
		out.notes = append(out.notes, fmt.Sprintf("%s: coded by exchanges: errors assumed: first acts missed %.0f %%, made up %.0f %%; they widen and correct nothing",
			orMany(people), 100*missed, 100*extra))
	}
	return out
}

// openQuestions says what a coarse coding leaves open beyond its level.
func (s *coarseSource) openQuestions() (out []string) {
	switch {
	case s.coarse.Exchanges == nil:
		return []string{"samples without exchanges move no figure"}
	case s.coarse.Samples == nil:
		out = append(out, "exchanges without samples tell no rates, since nobody knows for how long the two stood where")
	case !s.bout.LookedFor[tape.GroupStrikes]:
		out = append(out, "without all strikes looked for an exchange may have begun before its first act: no rates")
	}
	if !s.bout.LookedFor[tape.GroupResults] {
		out = append(out, "results were not looked for: clean hits are unknown")
	}
	return out
}

// join gives those who stand on coarse tape only a place among the others.
func (c *coarseTape) join(tallies map[string]*counts) {
	for id, t := range c.tallies {
		if tallies[id] == nil {
			tallies[id] = newCounts(nil)
		}
		tallies[id].invented = tallies[id].invented || t.invented
	}
}

// set moves what coarse tape tells of one fighter, after everything else has.
func (c *coarseTape) set(p *fighter.Profile) (e CoarseEvidence) {
	t := c.tallies[p.ID]
	if t == nil {
		return e
	}
	for _, r := range t.rounds {
		e.Rounds++
		e.Minutes, e.Exchanges, e.Led = e.Minutes+r.seconds/60, e.Exchanges+r.exchanges, e.Led+r.led
	}
	e.Figures = t.setOpenings(p, c.usual(), c.doubt) + t.setGave(p, &c.usual().gave)
	return e
}

// setSkills takes over the skills after clean hits.
func (c *coarseTape) setSkills(profiles map[string]*fighter.Profile, fits []Fit) []Fit {
	fits = coarseSkills(fits, c.tallies, c.usual)
	if len(c.tallies) == 0 {
		return fits
	}
	for i := range fits {
		f := fits[i].Family
		for id, p := range profiles {
			for _, figure := range []fighter.Figure{fighter.Attack(f), fighter.Defence(f)} {
				if post, ok := fits[i].posterior(skillName(id, figure)); ok {
					set(p, figure, post, c.usual().clean.prior[f])
				}
			}
		}
	}
	return fits
}
