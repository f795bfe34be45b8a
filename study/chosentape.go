package study

import (
	"context"
	"slices"

	"whatbout/internal/infer"
)

// tapePart plays tape's figures alone for the plans that could still be chosen: what tape could buy, and the ledger of the leader's gain.
func (f *field) tapePart(ctx context.Context, r *ChoiceResult, l *look) error {
	other := f.reference(r, l)
	members := []int{l.Leader}
	for _, i := range f.members(l.in) {
		if i != l.Leader && (r.Plans[i].Chance >= .01 || i == other) {
			members = append(members, i)
		}
	}
	shown := members
	if !slices.Contains(members, other) {
		shown = append(slices.Clone(members), other)
	}
	draws := tapeDraws(f.fewest(shown))
	rows, err := f.playTape(ctx, f.bank, shown, draws)
	if err != nil {
		return err
	}
	if len(members) > 1 {
		contest := infer.Contend(len(members), kept2(len(members), func(i, j int) []infer.Group { return gains(f.q.Value, rows[members[i]], rows[members[j]]) }))
		r.Tape = Buys{Gain: contest.Remaining, Error: contest.RemainingError, Resolved: contest.Resolved, Plans: len(members), Draws: draws}
	}
	all := f.gains(l.Leader, other)
	r.Ledger = ledger(r.Leader, f.q.Plans[other].Name, f.q.Value.Text, all, gains(f.q.Value, rows[l.Leader], rows[other]), 2*len(all)*f.q.Bouts)
	if !r.Ledger.Tape.Told { // there is nothing to see shrinking
		return nil
	}
	return f.twice(ctx, r, l.Leader, other, draws)
}

// reference is what the leader is told against: as usual, or if that leads the best of the others, one that may be chosen before one that may not.
func (f *field) reference(r *ChoiceResult, l *look) int {
	if l.Leader != 0 {
		return 0
	}
	best := -1
	for i := 1; i < len(r.Plans); i++ {
		if best < 0 || l.in[i] && !l.in[best] || l.in[i] == l.in[best] && r.Plans[i].Gain.Mean > r.Plans[best].Gain.Mean {
			best = i
		}
	}
	return best
}

// playTape plays draws of tape's figures alone, by plan.
func (f *field) playTape(ctx context.Context, bank *Bank, plans []int, draws int) (map[int][]Values, error) {
	var cells []Cell
	for k := range draws {
		for _, i := range plans {
			c := f.cell(i, k)
			c.Tape = true
			cells = append(cells, c)
		}
	}
	if err := bank.Play(ctx, cells); err != nil {
		return nil, err
	}
	out := map[int][]Values{}
	for n, c := range cells {
		i := plans[n%len(plans)]
		out[i] = append(out[i], bank.Values(c))
	}
	f.tape += draws * len(plans)
	return out, nil
}

// twice plays the two plans of the ledger as if twice the rounds had been coded.
func (f *field) twice(ctx context.Context, r *ChoiceResult, leader, other, draws int) error {
	bank, err := NewBank(*f.q.withTape(2), append(f.q.Plans, f.q.OpponentPlan)...)
	if err != nil {
		return err
	}
	bank.Workers, bank.Store, bank.Progress = f.q.Workers, f.q.Store, f.q.Progress
	rows, err := f.playTape(ctx, bank, []int{leader, other}, draws)
	if err != nil {
		return err
	}
	r.Ledger.played(gains(f.q.Value, rows[leader], rows[other]))
	return nil
}
