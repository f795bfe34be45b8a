package fighter

import (
	"fmt"
	"slices"

	"whatbout/internal/input"
	"whatbout/tape"
)

// Basis is the kind of thing that a figure of the population rests on.
type Basis string

// The bases: a published value, a judgement, or a library of coded tape.
const (
	OnEvidence  Basis = "evidence"
	OnJudgement Basis = "judgement"
	OnTape      Basis = "tape"
)

var bases = [3]Basis{OnEvidence, OnJudgement, OnTape}

// Mark says what a figure of the population rests on.
type Mark struct {
	Basis Basis
	Text  string // the source, why, or how much tape
}

func (m Mark) String() string { return string(m.Basis) + ": " + m.Text }

// markedMap is a map of a population file under the mark that counts for its figures.
type markedMap struct {
	input.Map
	mark  Mark
	marks map[string]Mark // where the marks of figures go
}

// block reads a map at the root. It has a mark, which counts for the rows and figures without one of their own.
func (r populationReader) block(root input.Map, name string, keys []string) markedMap {
	m := markedMap{root, Mark{}, r.out.Marks}.row(name, keys)
	if m.mark == (Mark{}) {
		m.Fault("", name+" does not say what it rests on", "evidence, judgement or tape", "")
	}
	return m
}

// row reads a map inside the map.
func (m markedMap) row(name string, keys []string) markedMap {
	in := m.Map.Map(name)
	in.Known(slices.Concat([]string{string(OnEvidence), string(OnJudgement), string(OnTape)}, keys)...)
	return markedMap{in, readMark(in, m.mark), m.marks}
}

// number reads a figure, bare or as a map with a mark of its own, and keeps the mark under its full name.
func (m markedMap) number(key, name string, lo, hi float64) float64 {
	return m.spread(key, name, lo, hi, nil)
}

// spreadKey is a second number that a figure's map may have, of how far professionals differ in it.
type spreadKey struct {
	name   string
	lo, hi float64
	into   *float64 // keeps what it has where the key is left out
}

// spread is number with a spread of the figure's own; of the map only, since a bare number has the spread of all.
func (m markedMap) spread(key, name string, lo, hi float64, s *spreadKey) float64 {
	if !m.IsMap(key) {
		m.marks[name] = m.mark
		return m.Float(key, lo, hi)
	}
	known := []string{"value"}
	if s != nil {
		known = append(known, s.name)
	}
	own := m.row(key, known)
	m.marks[name] = own.mark
	if s != nil {
		*s.into = own.FloatOr(s.name, *s.into, s.lo, s.hi)
	}
	return own.Float("value", lo, hi)
}

// moves gives the moves that stand in a row for a zone, in the order of their names; one that cannot be made there is a fault.
func (m markedMap) moves(z Zone) []tape.Move {
	var out []tape.Move
	for move := range tape.NumMoves {
		switch {
		case !m.Has(move.String()):
		case Possible(z, move):
			out = append(out, move)
		default:
			m.Fault(move.String(), fmt.Sprintf("%s cannot be made in the zone %s", move, z), "a move of that zone", "")
		}
	}
	return out
}

func readMark(m input.Map, outer Mark) Mark {
	out := outer
	given := 0
	for _, b := range bases {
		if !m.Has(string(b)) {
			continue
		}
		if given++; given > 1 {
			m.Fault(string(b), fmt.Sprintf("both %s and %s", out.Basis, b), "one of them", "")
			continue
		}
		out = Mark{b, m.Word(string(b))}
	}
	return out
}
