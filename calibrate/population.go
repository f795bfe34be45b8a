package calibrate

import (
	"math"
	"sync"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// usual is what the population's own bouts look like, against which a fighter's tape is read: how often each attempt comes off,
// defended, not, or either, and how often a feint is bitten on. Because these shares are taken after all mechanics, reading tape
// against them does not take distance, timing and defence off a second time.
type usual struct {
	logit  [tape.NumMoves][numMet]float64
	bitten [fighter.NumCues]float64 // log-odds
}

// usualBouts is how many bouts of average fighters are played; the shares then have standard errors below two points wherever a
// move comes up at all often.
const usualBouts = 600

var theUsual = sync.OnceValue(func() *usual {
	rules, err := tape.RuleSetNamed("mma-3x5")
	if err != nil {
		panic("calibrate: " + err.Error())
	}
	b := sim.NewBout()
	b.Setup(rules, sim.AverageWorld())
	body := fighter.AverageBody()
	d := fighter.Population("average", body).Centre()
	for c := range b.Sides {
		if err := b.Sides[c].Load(body, d, nil, nil, rules); err != nil {
			panic("calibrate: " + err.Error())
		}
	}
	bout := &tape.Bout{Fighters: [2]tape.Fighter{{ID: "a"}, {ID: "b"}}, RuleSet: rules, LookedFor: tape.AllGroups(), Corners: [2]bool{true, false}}
	var tries, made [tape.NumMoves][numMet]float64
	shown := counts{defends: map[fighter.Figure]float64{}}
	for i := range usualBouts {
		b.Run(kernel.NewKey(0x757375616c, uint64(i)))
		s := &source{bout: bout, events: b.Events, weight: 1}
		s.lights = lights(s)
		for _, a := range attempts([]*source{s}) {
			for _, k := range []met{a.met, anyhow} {
				tries[a.move][k]++
				if a.made {
					made[a.move][k]++
				}
				if a.met == anyhow {
					break
				}
			}
		}
		shown.met(s, tape.BlueCorner)
	}
	u := &usual{}
	for m := range tries {
		for k := range tries[m] {
			u.logit[m][k] = logOdds(made[m][k], tries[m][k])
		}
	}
	for c := range shown.feints {
		u.bitten[c] = logOdds(shown.bitten[c], shown.feints[c])
	}
	return u
})

// logOdds is the empirical logit with a half added to each cell (Haldane 1956; Anscombe 1956, from memory).
func logOdds(made, tries float64) float64 { return math.Log((made + .5) / (tries - made + .5)) }
