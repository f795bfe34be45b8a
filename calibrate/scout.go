package calibrate

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/internal/input"
	"whatbout/tape"
)

// Tendency is one thing that a fighter does in one situation, with what the population does there.
type Tendency struct {
	Situation, Does string
	Rate            bool    // Count acts in Of minutes on the feet; else Count of Of moments
	Count, Of       float64 // plain counts
	Share           infer.Interval
	// The population's, from its own simulated bouts coded as the tape was.
	PopulationCount, PopulationOf float64
	Difference                    infer.Interval // the fighter's share or rate less the population's
	Tested                        bool           // often enough to be compared
	P, Q                          float64        // chance of as large a difference from none, alone and adjusted for how many were looked at
	Clips                         []Clip
}

// Population gives the population's share or rate.
func (t *Tendency) Population() float64 {
	if t.PopulationOf == 0 {
		return 0
	}
	return t.PopulationCount / t.PopulationOf
}

// Scouting is what tape shows of a fighter before any plan is simulated.
type Scouting struct {
	Fighter         string
	Situations      int // situations of the table that came up
	Looked          int // situations and acts that came up at all
	Tested          int // of these, compared with the population
	PopulationBouts int
	Tendencies      []Tendency // those that differ most and are seen most often first
}

// A tendency is compared when its situation came up leastMoments times or, of a rate, when the population would have shown leastExpected
// acts in the time: neither hangs on what the fighter did, so that the adjustment for many comparisons still counts.
const (
	leastMoments  = 5
	leastExpected = 5
)

// Scout tallies what a fighter does by situation on all tape and compares it with bouts of the population (at least one a tape are
// played), each figure with an interval at the level (above 0, below 1). A fighter who is on none of the tapes, or whose acts nobody coded,
// is an error. The order of the tapes does not matter; their names must differ. population may be nil: the embedded one.
//
// Shares have Wilson intervals, their differences Newcombe's and chances from Fisher's exact test. Rates are divided by the
// over-dispersion between rounds, as in [infer.CountDispersion]. Chances are adjusted after Benjamini & Hochberg; those of one situation
// hang together, so that the adjustment is approximate.
func Scout(tapes []*ScoutTape, id string, bouts int, level float64, population *fighter.PopulationFile) (*Scouting, error) {
	tapes = slices.SortedFunc(slices.Values(tapes), func(a, b *ScoutTape) int { return strings.Compare(a.Name, b.Name) })
	mine := &scoutTally{clips: true}
	var of []*ScoutTape
	for _, s := range tapes {
		for c := range s.Bout.Fighters {
			if s.Bout.Fighters[c].ID == id {
				mine.add(s, tape.Corner(c))
				of = append(of, s)
			}
		}
	}
	if len(of) == 0 {
		return nil, notOnTape(tapes, id)
	}
	theirs, err := usualScout(of, bouts, Options{Population: population}.population())
	if err != nil {
		return nil, err
	}
	out := &Scouting{Fighter: id, PopulationBouts: max(bouts, len(of))}
	out.compare(mine, theirs, level)
	if len(out.Tendencies) == 0 {
		return nil, fmt.Errorf("%q is on the tape, but nothing that the fighter did was coded in a situation that is scouted", id)
	}
	return out, nil
}

func notOnTape(tapes []*ScoutTape, id string) error {
	var known []string
	for _, s := range tapes {
		for _, f := range s.Bout.Fighters {
			if !slices.Contains(known, f.ID) {
				known = append(known, f.ID)
			}
		}
	}
	slices.Sort(known)
	hint := input.DidYouMean(id, known)
	if hint != "" {
		hint = "; " + hint
	}
	return fmt.Errorf("no fighter %q on the tape%s", id, hint)
}

func (s *Scouting) compare(mine, theirs *scoutTally, level float64) {
	for at := range situations {
		came := false
		for k, o := range scoutTable[at].kind.options() {
			x, y := &mine.counts[at][k], &theirs.counts[at][k]
			if x.of == 0 {
				continue
			}
			came = true
			t := Tendency{Situation: scoutTable[at].words, Does: o.words, Rate: scoutTable[at].kind == perMinute, Count: x.did, Of: x.of,
				PopulationCount: y.did, PopulationOf: y.of, P: 1, Q: 1, Clips: x.clips}
			if t.Rate {
				t.rate(x, y, level)
			} else {
				t.share(level)
			}
			s.Tendencies = append(s.Tendencies, t)
		}
		if came {
			s.Situations++
		}
	}
	s.Looked = len(s.Tendencies)
	s.adjust()
	slices.SortStableFunc(s.Tendencies, func(a, b Tendency) int { return cmp.Or(cmp.Compare(a.P, b.P), cmp.Compare(b.Count, a.Count)) })
}

func (t *Tendency) share(level float64) {
	t.Share = infer.Wilson(t.Count, t.Of, level)
	t.Difference = infer.NewcombeDifference(t.Count, t.Of, t.PopulationCount, t.PopulationOf, level)
	if t.Tested = t.Of >= leastMoments && t.PopulationOf >= leastMoments; t.Tested {
		t.P = fisher(t.Count, t.Of, t.PopulationCount, t.PopulationOf)
	}
}

// rate counts as many acts and minutes as independent ones would know as much as these do.
func (t *Tendency) rate(x, y *scoutCount, level float64) {
	phi := infer.CountDispersion(x.rounds, x.during).Factor
	t.Share = infer.Garwood(x.did/phi, x.of/phi, level)
	if y.of == 0 {
		return
	}
	phiY := infer.CountDispersion(y.rounds, y.during).Factor
	var p float64
	t.Difference, p = rateDifference(x.did/phi, x.of/phi, y.did/phiY, y.of/phiY, level)
	if t.Tested = t.Population()*t.Of >= leastExpected; t.Tested {
		t.P = p
	}
}

// adjust works out Q of what was tested.
func (s *Scouting) adjust() {
	var p []float64
	for i := range s.Tendencies {
		if s.Tendencies[i].Tested {
			p = append(p, s.Tendencies[i].P)
		}
	}
	s.Tested = len(p)
	q := falseDiscovery(p)
	for i := range s.Tendencies {
		if s.Tendencies[i].Tested {
			s.Tendencies[i].Q, q = q[0], q[1:]
		}
	}
}
