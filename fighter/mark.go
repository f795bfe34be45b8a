package fighter

import (
	"fmt"
	"slices"

	"whatbout/internal/input"
	"whatbout/tape"
)

// Mark says what a figure of the population rests on.
type Mark struct {
	Evidence bool   // a published value; else a judgement
	Text     string // the source, or why
}

func (m Mark) String() string {
	if m.Evidence {
		return "evidence: " + m.Text
	}
	return "judgement: " + m.Text
}

// markedMap is a map of a population file under the mark that counts for its figures.
type markedMap struct {
	input.Map
	mark  Mark
	marks map[string]Mark // where the marks of figures go
}

// block reads a map at the root. It has a mark, which counts for the rows and figures without one of their own.
func (r populationReader) block(root input.Map, name string, keys []string) markedMap {
	m := markedMap{root, Mark{}, r.out.Marks}.row(name, keys)
	if !m.Has("evidence") && !m.Has("judgement") {
		m.Fault("", name+" does not say what it rests on", "evidence or judgement", "")
	}
	return m
}

// row reads a map inside the map.
func (m markedMap) row(name string, keys []string) markedMap {
	in := m.Map.Map(name)
	in.Known(slices.Concat([]string{"evidence", "judgement"}, keys)...)
	return markedMap{in, readMark(in, m.mark), m.marks}
}

// number reads a figure, bare or as a map with a mark of its own, and keeps the mark under its full name.
func (m markedMap) number(key, name string, lo, hi float64) float64 {
	if !m.IsMap(key) {
		m.marks[name] = m.mark
		return m.Float(key, lo, hi)
	}
	own := m.row(key, []string{"value"})
	m.marks[name] = own.mark
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
	evidence, judgement := m.Has("evidence"), m.Has("judgement")
	switch {
	case evidence && judgement:
		m.Fault("judgement", "both evidence and judgement", "one of them", "")
	case evidence:
		return Mark{true, m.Word("evidence")}
	case judgement:
		return Mark{false, m.Word("judgement")}
	}
	return outer
}
