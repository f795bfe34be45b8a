package calibrate

import (
	"cmp"
	"math"
	"slices"

	"whatbout/tape"
)

// Costs of a matching, in units that leave tieBits below for ties. An act left alone costs one; a pair costs what its acts differ and how
// far its clocks lie apart, each at most one, so that a pair never costs more than its two acts left alone.
const (
	aloneCost = 1_000_000
	tieBits   = 20
)

// pairing is one act of each coding that are taken to be the same event: indexes into the acts.
type pairing struct {
	first, second int
	cost          int64 // without the tie's bits
}

// matching says which acts of two codings are the same event. Each act is in at most one pair.
type matching struct {
	pairs                 []pairing
	onlyFirst, onlySecond []int
	firstActs, secondActs []codedAct
}

// matchActs finds the cheapest one-to-one matching of two codings' acts: pairs of the same round and corner, acts that can be taken for
// each other, clocks at most window µs apart. It minimises the sum over pairs of (difference of the acts + distance/window) plus one for
// every act left alone. Ties are broken by a hash that both acts enter alike, so that exchanging the coders gives the same pairs. The acts
// are sorted in place; pairs come in the order of their middle.
func matchActs(first, second []codedAct, window int64) matching {
	sortActs(first)
	sortActs(second)
	m := matching{firstActs: first, secondActs: second}
	ours, theirs := buckets(first), buckets(second)
	taken := make([]bool, len(second))
	for at, rows := range ours {
		columns := theirs[at]
		for i, j := range assign(edgesOf(first, second, rows, columns, window), len(columns)) {
			if j < 0 {
				m.onlyFirst = append(m.onlyFirst, rows[i])
				continue
			}
			cost, _ := pairCost(&first[rows[i]], &second[columns[j]], window)
			m.pairs = append(m.pairs, pairing{rows[i], columns[j], cost})
			taken[columns[j]] = true
		}
	}
	for j, t := range taken {
		if !t {
			m.onlySecond = append(m.onlySecond, j)
		}
	}
	slices.Sort(m.onlyFirst)
	slices.SortFunc(m.pairs, m.order)
	return m
}

// order sorts pairs by their middle, then by marks that do not tell the coders apart where clocks and acts are the same.
func (m *matching) order(p, q pairing) int {
	a, b, c, d := &m.firstActs[p.first], &m.secondActs[p.second], &m.firstActs[q.first], &m.secondActs[q.second]
	return cmp.Or(cmp.Compare(a.Round, c.Round), cmp.Compare(a.mid+b.mid, c.mid+d.mid), cmp.Compare(a.Corner, c.Corner),
		cmp.Compare(min(a.Act, b.Act), min(c.Act, d.Act)), cmp.Compare(max(a.Act, b.Act), max(c.Act, d.Act)),
		cmp.Compare(min(a.mid, b.mid), min(c.mid, d.mid)), cmp.Compare(p.first, q.first))
}

type bucket struct {
	round  uint8
	corner tape.Corner
}

func buckets(acts []codedAct) map[bucket][]int {
	out := map[bucket][]int{}
	for i := range acts {
		at := bucket{acts[i].Round, acts[i].Corner}
		out[at] = append(out[at], i)
	}
	return out
}

// pairCost gives the cost of a pair, and whether it may be one.
func pairCost(a, b *codedAct, window int64) (int64, bool) {
	apart := max(a.mid-b.mid, b.mid-a.mid)
	halves, possible := mismatch(a.Act, b.Act)
	if apart > 2*window || !possible {
		return 0, false
	}
	return halves*aloneCost/2 + apart*aloneCost/(2*window), true
}

// edge leads from a row (an act of the first coding) to a column (an act of the second).
type edge struct {
	column int
	cost   int64
}

// edgesOf lists every row's possible partners; rows and columns are in the order of time.
func edgesOf(first, second []codedAct, rows, columns []int, window int64) [][]edge {
	out := make([][]edge, len(rows))
	from := 0
	for i, r := range rows {
		a := &first[r]
		for from < len(columns) && second[columns[from]].mid < a.mid-2*window {
			from++
		}
		for j := from; j < len(columns) && second[columns[j]].mid <= a.mid+2*window; j++ {
			if cost, ok := pairCost(a, &second[columns[j]], window); ok {
				tie := twinHash(first, rows, i) + twinHash(second, columns, j)
				out[i] = append(out[i], edge{j, cost<<tieBits + int64(finaliseTie(tie)>>(64-tieBits))})
			}
		}
	}
	return out
}

// twinHash marks an act by its clock, its kind and its place among twins that share both.
func twinHash(acts []codedAct, list []int, i int) uint64 {
	a, twins := &acts[list[i]], uint64(0)
	for j := i - 1; j >= 0 && acts[list[j]].mid == a.mid; j-- {
		if acts[list[j]].Act == a.Act {
			twins++
		}
	}
	return finaliseTie(uint64(a.mid)<<16 ^ uint64(a.Act)<<8 ^ twins)
}

// finaliseTie is the output function of SplitMix64.
func finaliseTie(z uint64) uint64 {
	z += 0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// assignment is the state of assign: rows are added one at a time, each by the cheapest alternating path under potentials that keep reduced
// costs from falling below zero (Jonker & Volgenant 1987, Computing 38, 325–340, on sparse rows). Column columns+i stands for row i left alone.
type assignment struct {
	edges           [][]edge
	rowOf, columnOf []int   // partners, -1 for none
	rowPot, colPot  []int64 // potentials
	distance        []int64 // of a column in the search at hand
	before          []int   // the row a column was reached from
	done            []bool
	reached         []int
}

// assign gives every row its column, or -1 for a row left alone, at the least total cost; leaving row and column alone costs 2·aloneCost.
func assign(edges [][]edge, columns int) []int {
	n := len(edges)
	s := &assignment{edges: edges, rowOf: filled(columns+n, -1), columnOf: filled(n, -1), rowPot: make([]int64, n), colPot: make([]int64, columns+n),
		distance: make([]int64, columns+n), before: make([]int, columns+n), done: make([]bool, columns+n)}
	for j := range s.distance {
		s.distance[j] = math.MaxInt64
	}
	for i := range n {
		s.insert(i, columns)
	}
	for i, j := range s.columnOf {
		if j >= columns {
			s.columnOf[i] = -1
		}
	}
	return s.columnOf
}

func filled(n, with int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = with
	}
	return out
}

func (s *assignment) insert(row, columns int) {
	at, so := row, int64(0)
	var end int
	for {
		for _, e := range s.edges[at] {
			s.reach(at, e, so)
		}
		s.reach(at, edge{columns + at, 2 * aloneCost << tieBits}, so)
		end = s.nearest()
		so = s.distance[end]
		s.done[end] = true
		if s.rowOf[end] < 0 {
			break
		}
		at = s.rowOf[end]
	}
	s.rowPot[row] += so
	for _, j := range s.reached {
		if s.done[j] && j != end {
			s.colPot[j] += s.distance[j] - so
			s.rowPot[s.rowOf[j]] += so - s.distance[j]
		}
	}
	s.augment(row, end)
	for _, j := range s.reached {
		s.distance[j], s.done[j] = math.MaxInt64, false
	}
	s.reached = s.reached[:0]
}

func (s *assignment) reach(row int, e edge, so int64) {
	d := so + e.cost - s.rowPot[row] - s.colPot[e.column]
	if s.done[e.column] || d >= s.distance[e.column] {
		return
	}
	if s.distance[e.column] == math.MaxInt64 {
		s.reached = append(s.reached, e.column)
	}
	s.distance[e.column], s.before[e.column] = d, row
}

// nearest: searches stay within a few acts' reach, so that a plain look is quicker than a heap.
func (s *assignment) nearest() int {
	best := -1
	for _, j := range s.reached {
		if !s.done[j] && (best < 0 || s.distance[j] < s.distance[best]) {
			best = j
		}
	}
	return best
}

// augment exchanges partners along the path from row to the free column.
func (s *assignment) augment(row, column int) {
	for {
		r := s.before[column]
		next := s.columnOf[r]
		s.rowOf[column], s.columnOf[r] = r, column
		if r == row {
			return
		}
		column = next
	}
}
