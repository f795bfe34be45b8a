package calibrate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"whatbout/internal/infer"
	"whatbout/tape"
)

// StateAgreement is agreement by time on a state: exactly, from change to change, without a grid.
type StateAgreement struct {
	State    string  `json:"state"`
	Seconds  float64 `json:"seconds"`  // compared: both coders have a state and see the fighters; of range and stance both fighters' time
	Unjudged float64 `json:"unjudged"` // seconds coded but not compared
	Block    float64 `json:"block"`    // s: the bootstrap's blocks
	infer.TimeAgreement
	Warnings []string `json:"warnings,omitempty"`
}

// Blocks are ten seconds long, or blockSpells usual spells of the state if those are longer, at most a round: judgement; moments in different blocks should
// have little to do with each other.
const (
	leastBlock  = 10_000_000
	blockSpells = 5
	fewBlocks   = 10
)

// shownStretch is the shortest disagreement on a state that is listed, µs: shorter ones are the edges of spells.
const shownStretch = 1_000_000

var timedStates = []struct {
	act   tape.Act
	group tape.Group
}{{tape.StateRange, tape.GroupRange}, {tape.StateCentre, tape.GroupCentre}, {tape.StateFence, tape.GroupFence}, {tape.StateStance, tape.GroupStance}}

// stateAgreements compares every state that was looked for, and lists the stretches of disagreement.
func stateAgreements(b *tape.Bout, first, second *tape.Coding, shift int64, level float64, random *bootstraps) (out []StateAgreement, apart []Disagreement) {
	for _, s := range timedStates {
		source := random.source()
		if !b.LookedFor[s.group] {
			continue
		}
		o := newOverlay(b, s.act, first, second, shift)
		o.run()
		a := StateAgreement{State: s.act.String(), Seconds: o.seconds, Unjudged: o.unjudged, Block: float64(o.block) / 2e6,
			TimeAgreement: infer.OverBlocks(o.tables, level, infer.Resamples, source), Warnings: o.warnings}
		if n := len(o.tables); n < fewBlocks {
			a.Warnings = append(a.Warnings, fmt.Sprintf("%d blocks only: the bounds are rough", n))
		}
		out, apart = append(out, a), append(apart, o.apart...)
	}
	return out, apart
}

// overlay lays two coders' timelines of one state over each other. Times are in half µs, as those of codedAct.
type overlay struct {
	bout     *tape.Bout
	act      tape.Act
	shift    int64
	codings  [2]*tape.Coding
	watchers [2]watcher
	corners  []tape.Corner // one timeline each; NoCorner: one for the pair
	coarse   bool          // a coder did not tell long from pocket
	values   []tape.Value
	block    int64

	tables            []infer.Crosstab
	seconds, unjudged float64
	apart             []Disagreement
	warnings          []string
}

func newOverlay(b *tape.Bout, act tape.Act, first, second *tape.Coding, shift int64) *overlay {
	o := &overlay{bout: b, act: act, shift: shift, codings: [2]*tape.Coding{first, second},
		watchers: [2]watcher{newWatcher(b, first), newWatcher(b, second)}, corners: []tape.Corner{tape.NoCorner}}
	for _, c := range o.codings {
		for i := range c.Rows {
			r := &c.Rows[i]
			if r.Act != act {
				continue
			}
			o.coarse = o.coarse || r.Value == tape.Boxing
			if r.Corner != tape.NoCorner && (act == tape.StateRange || act == tape.StateStance) {
				o.corners = []tape.Corner{tape.RedCorner, tape.BlueCorner}
			}
		}
	}
	if o.coarse {
		o.warnings = append(o.warnings, "a coder did not tell long from pocket: both count as boxing range")
	}
	o.corners = slices.DeleteFunc(o.corners, func(c tape.Corner) bool { return c != tape.NoCorner && !b.Corners[c] })
	o.measure()
	return o
}

// measure finds the states that occur and how long the blocks must be.
func (o *overlay) measure() {
	total, spells, longest := int64(0), int64(0), int64(0)
	for _, in := range o.stretches() {
		longest = max(longest, 2*(in.To-in.From))
		for _, corner := range o.corners {
			for coder := range o.codings {
				line := o.timeline(coder, corner, in)
				for _, c := range line {
					if c.value != tape.NoValue && !slices.Contains(o.values, c.value) {
						o.values = append(o.values, c.value)
					}
				}
				total, spells = total+2*(in.To-in.From), spells+int64(len(line))
			}
		}
	}
	slices.Sort(o.values)
	o.block = 2 * leastBlock
	if spells > 0 {
		o.block = max(o.block, min(blockSpells*total/spells, longest))
	}
}

// run adds up the time in every pair of states, block by block.
func (o *overlay) run() {
	for _, in := range o.stretches() {
		ahead := max(o.shift, -o.shift) // both clocks must be inside the stretch
		from, to := 2*in.From+ahead, 2*in.To-ahead
		if from >= to || len(o.values) == 0 {
			continue
		}
		before := len(o.tables)
		for range (to - from + o.block - 1) / o.block {
			o.tables = append(o.tables, infer.NewCrosstab(len(o.values)))
		}
		for _, corner := range o.corners {
			o.lay(in, corner, from, to, o.tables[before:])
		}
	}
	// A block in which nothing could be compared is no block.
	o.tables = slices.DeleteFunc(o.tables, func(t infer.Crosstab) bool { return t.Total() == 0 })
}

func (o *overlay) lay(in tape.Interval, corner tape.Corner, from, to int64, tables []infer.Crosstab) {
	lines := [2][]change{o.timeline(0, corner, in), o.timeline(1, corner, in)}
	cuts := o.cuts(lines, in.Round, from, to)
	var open Disagreement
	at := [2]int{}
	for i := range len(cuts) - 1 {
		from, to := cuts[i], cuts[i+1]
		var values [2]tape.Value
		for k, line := range lines {
			for at[k]+1 < len(line) && line[at[k]+1].at <= from {
				at[k]++
			}
			values[k] = line[at[k]].value
		}
		seconds := float64(to-from) / 2e6
		if values[0] == tape.NoValue || values[1] == tape.NoValue || !o.seen(in.Round, from, corner) {
			o.unjudged += seconds
			o.close(&open)
			continue
		}
		row, _ := slices.BinarySearch(o.values, values[0])
		column, _ := slices.BinarySearch(o.values, values[1])
		o.seconds += seconds
		tables[(from-cuts[0])/o.block][row][column] += seconds
		o.extend(&open, in.Round, corner, from, seconds, values)
	}
	o.close(&open)
}

// cuts lists every moment at which something may change, from the beginning to the end.
func (o *overlay) cuts(lines [2][]change, round uint8, from, to int64) []int64 {
	cuts := []int64{from, to}
	for _, line := range lines {
		for _, c := range line {
			cuts = append(cuts, c.at)
		}
	}
	for at := from; at < to; at += o.block {
		cuts = append(cuts, at)
	}
	for k, w := range o.watchers {
		for _, u := range w.unseen {
			if u.round == round {
				sign := int64(1 - 2*k)
				cuts = append(cuts, 2*u.from+sign*o.shift)
				if u.to < math.MaxInt64 {
					cuts = append(cuts, 2*u.to+sign*o.shift)
				}
			}
		}
	}
	cuts = slices.DeleteFunc(cuts, func(at int64) bool { return at < from || at > to })
	slices.Sort(cuts)
	return slices.Compact(cuts)
}

// seen asks both coders, each on the own clock.
func (o *overlay) seen(round uint8, at int64, corner tape.Corner) bool {
	for k, w := range o.watchers {
		own := (at - int64(1-2*k)*o.shift) / 2
		for _, u := range w.unseen {
			if u.round == round && (corner == tape.NoCorner || corner == u.corner) && u.from <= own && own < u.to {
				return false
			}
		}
	}
	return true
}

// extend lengthens the stretch of disagreement at hand, or closes it and opens the next.
func (o *overlay) extend(open *Disagreement, round uint8, corner tape.Corner, from int64, seconds float64, values [2]tape.Value) {
	if open.Seconds > 0 && open.First == values[0].String() && open.Second == values[1].String() {
		open.Seconds += seconds
		return
	}
	o.close(open)
	if values[0] != values[1] {
		*open = Disagreement{Round: round, Corner: corner.String(), What: o.act.String(), First: values[0].String(), Second: values[1].String(), Seconds: seconds,
			FirstClock: float64((from-o.shift)/2) / 1e6, SecondClock: float64((from+o.shift)/2) / 1e6}
	}
}

func (o *overlay) close(open *Disagreement) {
	if open.Seconds*1e6 >= shownStretch {
		open.Weight = stateWeight * open.Seconds
		o.apart = append(o.apart, *open)
	}
	*open = Disagreement{}
}

// byClock puts disagreements into the order of the bout.
func (d Disagreement) byClock(o Disagreement) int {
	return cmp.Or(cmp.Compare(d.Round, o.Round), cmp.Compare(d.FirstClock+d.SecondClock, o.FirstClock+o.SecondClock), cmp.Compare(d.Corner, o.Corner),
		cmp.Compare(d.What, o.What))
}
