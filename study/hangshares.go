package study

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"

	"whatbout/internal/infer"
	"whatbout/sim/batch"
)

// shares draws straight lines through the difference's draws in all figures at once.
func (q *HangsOn) shares(ctx context.Context, bank *Bank) (*HangsOnResult, error) {
	known := q.known()
	cell := func(k int) Cell { return Cell{Reply: q.OpponentPlan, Draw: k, Bouts: q.Bouts} }
	draws, played := q.play(ctx, bank, 0, q.Draws, func(k int) []Cell { return []Cell{cell(k)} })
	if played != nil && !interrupted(played) {
		return nil, played
	}
	if least := 2*len(known.columns) + 2; len(draws) < least {
		return nil, errors.Join(fmt.Errorf("%d draws are too few to tell %d figures apart; expected at least %d", len(draws), len(known.columns), least), played)
	}
	features, outcomes := mat.NewDense(len(draws), len(known.columns), nil), mat.NewDense(len(draws), 1, nil)
	rows, pair := make([][]float64, len(draws)), q.pair()
	if err := batch.Run(context.Background(), len(draws), bank.parallel(), func(_, row int) error {
		t := draw(pair, q.Seed, uint64(draws[row]), true)
		features.SetRow(row, known.of(&t))
		return nil
	}, nil); err != nil {
		return nil, err
	}
	for row, k := range draws {
		rows[row] = q.differences(bank, cell(k))
		for _, x := range rows[row] {
			outcomes.Set(row, 0, outcomes.At(row, 0)+x/float64(q.Bouts))
		}
	}
	fit, err := infer.Regress(features, outcomes)
	if err != nil {
		return nil, err
	}
	r := &HangsOnResult{Draws: len(draws), Bouts: q.Bouts, Total: 2 * len(draws) * q.Bouts, Difference: q.difference(rows), Explained: float64(len(known.columns)), Partial: played != nil}
	explained, se := fit.ExplainedOfFirst()
	r.SD, r.SDTold = root(explained), explained > oneSided*se
	r.Parts = q.shared(fit, known)
	return r, played
}

// shared gives every strand its share.
func (q *HangsOn) shared(fit *infer.Regression, known *knowns) (out []Hang) {
	var groups [][]float64
	for _, s := range q.strands() {
		if learned, n := known.all(func(c *column) bool { return s.holds(c) }); n > 0 {
			groups, out = append(groups, learned), append(out, Hang{Strand: *s, Figures: n})
		}
	}
	shares := fit.Shares(groups, q.Level)
	for i := range out {
		out[i].Share = &shares[i]
	}
	ordered(out, func(h *Hang) float64 { return h.Share.Value })
	return out
}

// holds reports whether a column of figures belongs to the strand.
func (s *Strand) holds(c *column) bool {
	if c.world != nil {
		return s.world && c.group == groupMechanics || s.coin && c.group == groupHow
	}
	return slices.Contains(s.figures[c.whose], c.figure)
}
