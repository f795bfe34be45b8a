package cmd

import (
	"context"

	"whatbout/demo"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/study"
	"whatbout/tactics"
)

// truthBouts gives the truth of a win share a standard error below 0.8 points.
const truthBouts = 4000

// truth plays the invented fighters as they really are, at the centre of every assumption.
func truth(ctx context.Context, q *study.Comparison) (map[string]float64, error) {
	out := map[string]float64{}
	b := sim.NewBout()
	b.Setup(q.Rules, sim.AverageWorld())
	if err := b.Sides[1].Load(q.Opponent.Body, demo.Truth(q.Opponent.ID), nil, nil, q.Rules); err != nil {
		return nil, err
	}
	for _, p := range q.Plans {
		plan, err := tactics.Compile(p)
		if err != nil {
			return nil, err
		}
		if err := b.Sides[0].Load(q.Fighter.Body, demo.Truth(q.Fighter.ID), plan, plan.Shares(0), q.Rules); err != nil {
			return nil, err
		}
		for i := range truthBouts {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			o := b.Run(kernel.NewKey(q.Seed, 1<<40, uint64(i)))
			out[p.Name] += float64(o.Chances.Red) / (1 << 32) / truthBouts
		}
	}
	return out, nil
}
