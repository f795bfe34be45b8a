package calibrate

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"whatbout/fighter"
	"whatbout/tape"
)

// What a library must carry before a figure is re-estimated (judgements): fewer fighters say nothing of how fighters differ, and a mean from
// fewer events is little more than luck.
const (
	leastFighters = 5
	leastEvents   = 5  // of a rate, seen or expected
	leastChoices  = 30 // of a table
	leastFeints   = 20 // of a cue
)

// Spreads lean on what was believed before as on so many fighters of whom everything is known, and stay within limits: no population is
// taken to be more alike than that (judgements). The standard deviation of the logarithm of a gamma's shape that corresponds is √(2/4), since a
// variance from n values has the relative standard deviation √(2/n).
const (
	leanFighters = 4
	mostCounts   = 100  // of a rate: professionals differ by at least a tenth
	mostWeight   = 1000 // of a table
	leastSpread  = .1   // of skills and bites, log-odds
)

var leanSD = math.Sqrt(2. / leanFighters)

// Estimate is one figure of a population, re-estimated or left as it was.
type Estimate struct {
	Name          string
	Unit          string  // of Before and After: per free second, share, log-odds, multiple
	Before, After float64 // the mean among professionals: of a table's move its share
	SE            float64 // standard error of After; 0: as it was, or not told from another
	Spread        string  // what Was and Is say: counts (of a rate), weight (of a table), sd (log-odds)
	Was, Is       float64 // how far professionals differ; fewer counts and less weight mean more
	AtLimit       bool    // they differ no more than luck makes them: the spread is at its limit
	Fighters      int     // with tape on it
	Rounds        int     // of theirs, each fighter's own counted
	Events        float64 // acts, choices, feints or attempts
	Estimated     bool
	Why           string // why not, if not
	figure        fighter.Figure
}

// Library is a population re-estimated from a library of tape.
type Library struct {
	Population *fighter.PopulationFile
	Bouts      int
	Fighters   int
	Rounds     int // fighters' rounds: a round of which both were coded counts twice
	Minutes    float64
	Estimates  []Estimate // by figure; what is done nowhere is left out
	Notes      []string
}

// EstimatePopulation re-estimates a population (o.Population, or the embedded one) from all fighters' counts on tape by empirical Bayes:
// the gamma of every rate, the Dirichlet of every table and the normal of every readiness to bite and of every multiple's logarithm from which the fighters' own are drawn, and the
// spread of skills, each by marginal likelihood or moments over the fighters. The population before counts as one fighter more
// for every mean and as four for every spread. What the library does not carry stays, and is said. o.For is not looked at.
//
// Coders err as in [Calibrate]: where two codings of a bout tell how often, acts that were missed are put back into rates and tables; where one
// leaves it assumed (o.Coder), standard errors are wider by it and nothing is put back.
//
// Counts are divided by the over-dispersion between rounds, pooled over all fighters. Means of skills are 0 by definition: success that is
// more frequent on the tape than in the engine is a matter of the engine's trims, and is noted.
func EstimatePopulation(codings []*tape.Coding, o Options) (*Library, error) {
	in, err := o.sources(codings)
	if err != nil {
		return nil, err
	}
	p := o.population().Clone()
	l := &Library{Population: p, Notes: in.notes}
	e := &estimator{library: l, population: p, tallies: tally(in.full, nil)}
	e.ids = slices.Sorted(maps.Keys(e.tallies))
	e.coders = libraryDoubtOf(in, e.tallies, o.Coder, o.population())
	e.count(in.full)
	e.multiples()
	e.rates()
	e.tables()
	e.defences()
	if len(in.full) > 0 {
		u := usualOf(o.population())
		e.bites(u)
		e.skills(attempts(in.full, nil), u)
	}
	l.Notes = append(l.Notes, doubtNotes(doubtsOf(in.taken, o.Coder), o.Coder)...)
	slices.SortStableFunc(l.Estimates, func(a, b Estimate) int { return int(a.figure - b.figure) })
	e.limits()
	return l, nil
}

// estimator goes through the figures; p is changed as it goes.
type estimator struct {
	library    *Library
	population *fighter.PopulationFile
	tallies    map[string]*counts
	ids        []string
	leans      []leans       // of each
	coders     *libraryDoubt // nil: nobody errs
}

// count adds up what the library is.
func (e *estimator) count(sources []*source) {
	for i, s := range sources {
		if i == 0 || sources[i-1].bout != s.bout {
			e.library.Bouts++
		}
	}
	for _, id := range e.ids {
		n := 0
		for _, r := range e.tallies[id].rounds {
			if r.coded > 0 {
				n++
				e.library.Minutes += r.coded / 60
			}
		}
		if n > 0 {
			e.library.Fighters++
			e.library.Rounds += n
		}
	}
}

// roundsOf is how many rounds with coded time a fighter has.
func (t *counts) roundsOf() (n int) {
	for _, r := range t.rounds {
		if r.coded > 0 {
			n++
		}
	}
	return n
}

// tape marks a figure as re-estimated.
func (e *estimator) tape(name string, x *Estimate, before string) {
	x.Estimated = true
	e.population.Marks[name] = fighter.Mark{Basis: fighter.OnTape, Text: fmt.Sprintf("%d fighters, %d rounds; %s", x.Fighters, x.Rounds, before)}
}

func (e *estimator) add(x Estimate) { e.library.Estimates = append(e.library.Estimates, x) }

// tooFew says why a figure stays, or "".
func tooFew(fighters int, events, least float64, of string) string {
	switch {
	case fighters < leastFighters:
		return fmt.Sprintf("%d fighters with tape on it; at least %d are needed", fighters, leastFighters)
	case events < least:
		return fmt.Sprintf("%.3g %s; at least %.0f are needed", events, of, least)
	}
	return ""
}

// limits notes what is at its limit.
func (e *estimator) limits() {
	var names []string
	for _, x := range e.library.Estimates {
		if x.AtLimit && !slices.Contains(names, x.Name) {
			names = append(names, x.Name)
		}
	}
	if len(names) > 0 {
		e.library.Notes = append(e.library.Notes, fmt.Sprintf("the fighters differ no more than luck makes them in %d figures, whose spread is at its limit: %s",
			len(names), listed(names, 8)))
	}
}

// listed gives the first so many names.
func listed(names []string, most int) string {
	text := ""
	for i, name := range names {
		if i == most {
			return text + fmt.Sprintf(" and %d more", len(names)-most)
		}
		if i > 0 {
			text += ", "
		}
		text += name
	}
	return text
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
