package study

import (
	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
)

// truth is one possible truth: the figures of both fighters and of the mechanics, and how well plans are followed in it. It is the
// same for every study with that seed.
type truth struct {
	red, blue fighter.Draw
	world     sim.World
	coin      float64 // standard deviations from the centre of adherence: one for all plans, so that they differ in nothing else
}

// draw gives truth k, with assumptions drawn or at their centres.
func draw(pair *fighter.Pair, seed, k uint64, assumptions bool) truth {
	p := truth{world: sim.AverageWorld()}
	p.red, p.blue = pair.Draw(seed, k, assumptions)
	if assumptions {
		p.world, p.coin = sim.DrawWorld(seed, k), followCoin(seed, k)
	}
	return p
}

func followCoin(seed, k uint64) float64 {
	z := kernel.NewKey(seed, k, 0x61646865).Stream()
	return float64(kernel.Normal(z.Uint32())) / kernel.NormalUnit
}

// shares gives how often each rule of a plan is followed; no plan is always followed.
func (p *truth) shares(plan *tactics.Compiled) []float64 {
	if plan == nil {
		return nil
	}
	return plan.Shares(p.coin)
}
