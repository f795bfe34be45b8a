package study

import (
	"context"
	"errors"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/sim"
	"whatbout/sim/batch"
	"whatbout/tactics"
	"whatbout/tape"
)

// Trace watches some of a comparison's bouts closely: range over time, places on the floor, margins of single bouts, and counts at the
// middle of the first round. Draw k and bout i are those of a comparison with the same seed, and watching changes nothing in them.
type Trace struct {
	Meeting
	Plans        []*tactics.Plan // the first is the baseline
	OpponentPlan *tactics.Plan   // nil: as usual
	Draws        int             // from 4
	Bouts        int             // a draw and plan, from 2
	Level        float64         // of the bands over draws, above 0.5 and below 1
	Workers      int             // 0: one a core; never changes the result
	Set          [][]Setting     // what is moved under each plan, in the order of Plans; missing: nothing
}

// Sizes of what is binned.
const (
	BinSeconds = 15  // of the clock
	FloorCell  = 500 // mm, of the floor
)

// TraceResult is what was seen. All plans have the same bins, cells and bouts in the same order.
type TraceResult struct {
	Draws   int         `json:"draws"`
	Bouts   int         `json:"bouts_per_draw"` // and plan
	Level   float64     `json:"level"`
	Area    tape.Area   `json:"area"`
	Columns int         `json:"columns"` // cells across the floor each way; the middle one is centred on the middle of the area
	Plans   []PlanTrace `json:"plans"`
}

// PlanTrace is what was seen under one plan.
type PlanTrace struct {
	Name    string       `json:"name"`
	Margins []float64    `json:"margins"` // judges' margin of the fighter in finished rounds, points; a bout each
	Turned  [3][3]int    `json:"turned"`  // bouts by how the baseline's on the same luck went (won, nobody's, lost), then by how this one did; judges drawn
	Bins    []TimeBin    `json:"bins"`    // in the order of the clock, round by round
	Floor   [2][]float64 `json:"floor"`   // shares of the time, by corner; row by row from the negative corner of x and y
	Signs   []SignCounts `json:"signs"`   // in the order of [Signs]
}

// TimeBin is a stretch of one round. Shares are of the time of bouts that fought it to its end.
type TimeBin struct {
	Round int                    `json:"round"`
	From  float64                `json:"from"` // seconds since the bell
	To    float64                `json:"to"`
	Bouts int                    `json:"bouts"`
	Zones [fighter.NumZones]Band `json:"zones"` // shares of time in the fighter's own ranges
}

// Band is a mean over draws with the central interval over them, the luck of their bouts taken out; without two draws to compare it
// has no width.
type Band struct {
	Mean float64 `json:"mean"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

func (q *Trace) check() error {
	if err := q.Meeting.check(); err != nil {
		return err
	}
	switch {
	case q.Draws < 4 || q.Bouts < 2:
		return errors.New("a trace needs at least 4 draws of 2 bouts")
	case !(q.Level > .5 && q.Level < 1):
		return errors.New("a trace needs a level above 0.5 and below 1")
	case len(q.Plans) < 1:
		return errors.New("no plan to trace")
	}
	return nil
}

// Run plays and watches. Interrupted, it returns the context's error and nothing else: what was traced of one plan only would mislead.
func (q *Trace) Run(ctx context.Context) (*TraceResult, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	plans, err := compile(append([]*tactics.Plan{q.OpponentPlan}, q.Plans...)...)
	if err != nil {
		return nil, err
	}
	columns := floorColumns(q.Rules.Area)
	seen := make([][]*sighting, q.Draws)
	players := make([]*player, batch.Workers(q.Workers, q.Draws))
	for i := range players {
		players[i] = &player{meeting: &q.Meeting, pair: q.pair(), plans: plans, bout: sim.NewBout()}
	}
	if err := batch.Run(ctx, q.Draws, q.Workers, func(w, k int) (err error) {
		seen[k], err = q.watch(ctx, players[w], k, columns)
		return err
	}, nil); err != nil {
		return nil, err
	}
	return q.reduce(seen, columns), nil
}

// watch plays draw k under every plan.
func (q *Trace) watch(ctx context.Context, p *player, k, columns int) ([]*sighting, error) {
	out := make([]*sighting, len(q.Plans))
	for i, plan := range q.Plans {
		s := newSighting(q.Rules, columns)
		out[i] = s
		p.bout.Watch = s.floor
		cell := &Cell{Plan: plan, Reply: q.OpponentPlan, Draw: k, Bouts: q.Bouts}
		if i < len(q.Set) {
			cell.Set = q.Set[i]
		}
		if err := p.play(ctx, cell, func(_ int, o *sim.Outcome) { s.add(p.bout, o) }); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// reduce adds draws up in their order.
func (q *Trace) reduce(seen [][]*sighting, columns int) *TraceResult {
	r := &TraceResult{Draws: q.Draws, Bouts: q.Bouts, Level: q.Level, Area: q.Rules.Area, Columns: columns}
	for p, plan := range q.Plans {
		t := PlanTrace{Name: plan.Name, Signs: make([]SignCounts, len(Signs))}
		draws := make([]*sighting, len(seen))
		for k := range seen {
			draws[k] = seen[k][p]
			t.Margins = append(t.Margins, draws[k].margins...)
			for i, result := range draws[k].results {
				t.Turned[seen[k][0].results[i]][result]++
			}
			for s := range Signs {
				t.Signs[s].add(&draws[k].signs[s])
			}
		}
		t.Bins, t.Floor = q.bins(draws), floorShares(draws)
		r.Plans = append(r.Plans, t)
	}
	return r
}

// bins gives the bands of every stretch. How much draws differ is pooled over the stretches of a range: one stretch alone tells it
// badly, and a band that came and went from one to the next would be luck.
func (q *Trace) bins(draws []*sighting) []TimeBin {
	out := make([]TimeBin, len(draws[0].bins))
	for b := range out {
		out[b] = draws[0].stretch(b)
		for _, d := range draws {
			out[b].Bouts += int(d.bins[b][0].N)
		}
	}
	for z := range fighter.NumZones {
		groups := make([][]infer.Group, len(out))
		for b := range out {
			for _, d := range draws {
				if g := d.bins[b][z]; g.N > 0 {
					groups[b] = append(groups[b], g)
				}
			}
		}
		for b, band := range infer.Bands(groups, q.Level) {
			out[b].Zones[z] = Band(band)
		}
	}
	return out
}
