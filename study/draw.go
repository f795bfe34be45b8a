package study

import (
	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
)

// possible is one possible truth: the figures of both fighters and of the mechanics, and how well plans are followed in it. It is the
// same for every study with that seed.
type possible struct {
	red, blue fighter.Draw
	world     sim.World
	follow    func(*tactics.Compiled) float64 // share of decisions at which a plan is followed
}

// draw gives truth k, with assumptions drawn or at their centres.
func draw(red, blue *fighter.Profile, seed, k uint64, assumptions bool) possible {
	p := possible{red: red.Draw(seed, k, assumptions), blue: blue.Draw(seed, k, assumptions), world: sim.AverageWorld()}
	if assumptions {
		p.world = sim.DrawWorld(seed, k)
	}
	p.follow = adherence(seed, k, assumptions)
	return p
}

// adherence gives how well plans are followed in draw k: one coin for all plans, so that they differ in nothing else.
func adherence(seed, k uint64, assumptions bool) func(*tactics.Compiled) float64 {
	z := kernel.NewKey(seed, k, 0x61646865).Stream()
	coin := float64(kernel.Normal(z.Uint32())) / kernel.NormalUnit
	return func(c *tactics.Compiled) float64 {
		if c == nil {
			return 1
		}
		a := c.Plan.Adherence
		if !assumptions {
			return a.Share
		}
		return min(max(a.Share+float64(a.SD*coin), 0), 1)
	}
}
