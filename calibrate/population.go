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
// defended or not, and how often a feint is bitten on. Because these shares are taken after all mechanics, reading tape against
// them does not take distance, timing and defence off a second time.
type usual struct {
	logit  [tape.NumMoves][2]float64 // by whether a defence was coded
	bitten [fighter.NumCues]float64  // log-odds
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
	var tries, made [tape.NumMoves][2]float64
	var feints, bitten [fighter.NumCues]float64
	for i := range usualBouts {
		b.Run(kernel.NewKey(0x757375616c, uint64(i)))
		t := tallyOf([]*Tape{{IDs: [2]string{"a", "b"}, Rules: rules, Events: b.Events}}, "a")
		for _, a := range t.attempts {
			k := 0
			if a.defended {
				k = 1
			}
			tries[a.move][k]++
			if a.made {
				made[a.move][k]++
			}
		}
		for c := range t.feints {
			feints[c] += t.feints[c]
			bitten[c] += t.bitten[c]
		}
	}
	u := &usual{}
	for m := range tries {
		for k := range tries[m] {
			u.logit[m][k] = logOdds(made[m][k], tries[m][k])
		}
	}
	for c := range feints {
		u.bitten[c] = logOdds(bitten[c], feints[c])
	}
	return u
})

// logOdds is the empirical logit with a half added to each cell (Haldane 1956; Anscombe 1956, from memory).
func logOdds(made, tries float64) float64 { return math.Log((made + .5) / (tries - made + .5)) }
