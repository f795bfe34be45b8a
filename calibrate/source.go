package calibrate

import (
	"cmp"
	"fmt"
	"slices"

	"whatbout/fighter"
	"whatbout/tape"
)

// source is one coding that counts.
type source struct {
	coding *tape.Coding
	bout   *tape.Bout
	events []tape.Event     // the coding's rows
	weight float64          // age over the number of codings of the bout
	age    float64          // what the bout weighs by its date; 1 unless that was asked for
	bodies [2]*fighter.Body // by corner; nil: not known
	lights []light          // by round, in order
}

// usualOnly leaves out what does not count as "as usual", with a note for each such bout, unless all is asked for.
func usualOnly(codings []*tape.Coding, all bool) (taken []*tape.Coding, notes []string) {
	return asUsual(codings, func(c *tape.Coding) *tape.Bout { return c.Bout }, all)
}

func asUsual[T any](codings []T, bout func(T) *tape.Bout, all bool) (taken []T, notes []string) {
	noted := map[*tape.Bout]bool{}
	for _, c := range codings {
		why, b := "", bout(c)
		switch {
		case all:
		case b.Kind == "sparring":
			why = "it is sparring"
		case !b.Usual:
			why = "it is marked as not usual"
		}
		if why == "" {
			taken = append(taken, c)
		} else if !noted[b] {
			noted[b] = true
			notes = append(notes, fmt.Sprintf("%s: left out altogether, since %s (--all takes it)", b.ID, why))
		}
	}
	return taken, notes
}

// sourcesOf puts the codings in the order of their names, so that the last digit of a sum does not hang on the order in which
// folders were given.
func sourcesOf(codings []*tape.Coding, known map[string]fighter.Body) []*source {
	codings = slices.SortedStableFunc(slices.Values(codings), func(a, b *tape.Coding) int {
		return cmp.Or(cmp.Compare(a.Bout.ID, b.Bout.ID), cmp.Compare(a.Name, b.Name))
	})
	times := map[*tape.Bout]int{}
	for _, c := range codings {
		times[c.Bout]++
	}
	var out []*source
	for _, c := range codings {
		s := &source{coding: c, bout: c.Bout, events: c.Events(), weight: 1 / float64(times[c.Bout]), age: 1}
		for corner, f := range c.Bout.Fighters {
			if body, ok := known[f.ID]; ok {
				s.bodies[corner] = &body
			}
		}
		s.lights = lights(s)
		out = append(out, s)
	}
	return out
}

func (s *source) id(c tape.Corner) string { return s.bout.Fighters[c].ID }

// lookedFor reports whether acts or states of a kind were looked for, so that their absence means something.
func (s *source) lookedFor(a tape.Act) bool { return s.bout.LookedFor.Has(a) }

// may reports whether a move could have been written down: the rules allow it and it was looked for.
func (s *source) may(m tape.Move) bool { return s.bout.RuleSet.Allowed[m] && s.lookedFor(m.Act()) }

// isAct reports whether row i is an act that counts: of a coded corner, looked for, in coded time and in sight.
func (s *source) isAct(i int) bool {
	e := &s.events[i]
	return e.Corner != tape.NoCorner && s.bout.Corners[e.Corner] && s.lookedFor(e.Act) && e.IsAct() && s.light(e.Round).has(e.Clock)
}

// light gives what was seen of a round.
func (s *source) light(round uint8) *light {
	for i := range s.lights {
		if s.lights[i].round == round {
			return &s.lights[i]
		}
	}
	return &light{}
}
