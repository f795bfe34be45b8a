package study

import (
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// floorWatch books the time of both fighters by cell of the floor. It is a [sim.Mover]: a place is booked when it is left.
type floorWatch struct {
	length  int64 // of a round, µs
	columns int
	spent   [2][]int64 // µs
	at      [2]int     // cells
	round   int        // 0: no bout is under way
	since   int64
}

func newFloorWatch(rules *tape.RuleSet, columns int) *floorWatch {
	w := &floorWatch{length: int64(rules.RoundSeconds) * 1e6, columns: columns}
	for c := range w.spent {
		w.spent[c] = make([]int64, columns*columns)
	}
	return w
}

// floorColumns is an odd number of cells that covers the area from side to side.
func floorColumns(a tape.Area) int {
	half := int(a.Diameter * 500)
	return 2*((half+FloorCell/2)/FloorCell) + 1
}

// Chose does nothing: a floorWatch looks at places only.
func (w *floorWatch) Chose(*sim.Bout, tactics.Point, int, *kernel.Table, int) {}

// Landed does nothing.
func (w *floorWatch) Landed(*sim.Bout, *sim.Landing) {}

// Moved books the places that were left.
func (w *floorWatch) Moved(b *sim.Bout) {
	at, round, clock := b.Where()
	if round != w.round {
		if w.round != 0 {
			w.book(w.length)
		}
		w.round, w.since = round, 0
	} else {
		w.book(clock)
	}
	for c, p := range at {
		w.at[c] = w.cell(p)
	}
}

// end books the last places of a bout.
func (w *floorWatch) end(v sim.Verdict) {
	if w.round != 0 {
		w.book(v.Clock)
	}
	w.round = 0
}

func (w *floorWatch) book(until int64) {
	for c := range w.spent {
		w.spent[c][w.at[c]] += until - w.since
	}
	w.since = until
}

// cell is the place's cell; what lies in a corner beyond the grid counts at its edge.
func (w *floorWatch) cell(p sim.Place) int { return w.index(p.Y)*w.columns + w.index(p.X) }

func (w *floorWatch) index(mm int32) int {
	fromEdge := int(mm) + w.columns*FloorCell/2
	return min(max(fromEdge/FloorCell, 0), w.columns-1)
}

// floorShares adds draws up and turns times into shares.
func floorShares(draws []*sighting) (out [2][]float64) {
	for c := range out {
		sums, total := make([]int64, len(draws[0].floor.spent[c])), int64(0)
		for _, d := range draws {
			for i, t := range d.floor.spent[c] {
				sums[i] += t
				total += t
			}
		}
		out[c] = make([]float64, len(sums))
		for i, t := range sums {
			out[c][i] = float64(t) / float64(max(total, 1))
		}
	}
	return out
}
