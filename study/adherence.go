package study

import (
	"context"

	"whatbout/internal/infer"
)

// FullAdherence is what a plan would change if it were followed at every decision of a fresh fighter. It is played over the first few
// bouts of every draw, so its interval is wider than that of the plan as followed.
type FullAdherence struct {
	Plan       string         `json:"plan"`
	Baseline   string         `json:"baseline"`
	Outcome    string         `json:"outcome"`
	Mean       float64        `json:"mean"`
	Simulation infer.Interval `json:"simulation"`
	Pairs      int            `json:"pairs"`
}

// fullMeasures are the measures that full adherence is told for.
var fullMeasures = []int{MeasureNamed("win"), MeasureNamed("score_margin")}

// fullBouts is how many of a draw's bouts are played again at full adherence: a third, which adds a seventh to the work.
func fullBouts(bouts int) int { return max(2, bouts/3) }

func (w *worker) playInFull(ctx context.Context, s *slot, base Values, k int) error {
	s.full = grid[infer.Group](len(w.q.Plans)-1, len(fullMeasures))
	for p, plan := range w.q.Plans[1:] {
		v, err := w.cell(ctx, Cell{Plan: plan, Reply: w.q.OpponentPlan, Draw: k, Bouts: fullBouts(w.q.Bouts), InFull: true, Set: w.q.set(p + 1)})
		if err != nil {
			return err
		}
		for i := range v.Bouts() {
			for j, m := range fullMeasures {
				s.full[p][j].Add(v.At(i, m) - base.At(i, m))
			}
		}
	}
	return nil
}

// fullAdherence sums it up.
func (q *Comparison) fullAdherence(all []slot) (out []FullAdherence) {
	for p, plan := range q.Plans[1:] {
		for j, m := range fullMeasures {
			groups := make([]infer.Group, len(all))
			for i := range all {
				groups[i] = all[i].full[p][j]
			}
			c := infer.Split(groups)
			out = append(out, FullAdherence{plan.Name, q.Plans[0].Name, Measures[m].Name, c.Mean, c.Simulation(q.Level), int(c.Total)})
		}
	}
	return out
}
