package calibrate

import (
	"math"
	"strconv"
	"sync"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// usual is what the population's own bouts look like, against which a fighter's tape is read: how often each attempt comes off,
// defended, not, or either, and how often a feint is bitten on. Because these shares are taken after all mechanics, reading tape
// against them does not take distance, timing and defence off a second time.
//
// They are shares among many. One fighter's lie around them even without any skill, since ranges, combinations and habits differ: the
// circumstances. How much, in log-odds, is a variance for each family of attempts and side, and each cue.
type usual struct {
	logit  [tape.NumMoves][numMet]float64
	bitten [fighter.NumCues]float64 // log-odds
	spread [fighter.NumFamilies][2]float64
	bites  [fighter.NumCues]float64
}

// A round robin of usualFighters whose figures are drawn from the population, but who have its skills and belief; the shares then have
// standard errors below two points wherever a move comes up at all often.
const (
	usualFighters = 60
	usualBouts    = 600
)

var theUsual = sync.OnceValue(func() *usual {
	rules, err := tape.RuleSetNamed("mma-3x5")
	if err != nil {
		panic("calibrate: " + err.Error())
	}
	b := sim.NewBout()
	b.Setup(rules, sim.AverageWorld())
	var seen usualTally
	for i := range usualBouts {
		pair := [2]int{i % usualFighters, (i + 1 + i/usualFighters) % usualFighters}
		for c, who := range pair {
			if err := b.Sides[c].Load(fighter.AverageBody(), usualDraw(who), nil, nil, rules); err != nil {
				panic("calibrate: " + err.Error())
			}
		}
		b.Run(kernel.NewKey(0x757375616c, uint64(i)))
		seen.add(rules, pair, b.Events)
	}
	return seen.usual()
})

// usualDraw is a fighter with the population's skills and belief, and habits drawn from it.
func usualDraw(who int) fighter.Draw {
	p := fighter.Population(strconv.Itoa(who), fighter.AverageBody())
	d := p.Draw(0x757375616c, 0, false)
	for f := range fighter.NumFamilies {
		d[fighter.Attack(f)], d[fighter.Defence(f)] = 0, 0
	}
	for c := range fighter.NumCues {
		d[fighter.Sense(c)], d[fighter.Bite(c)] = p.Figures[fighter.Sense(c)].A, p.Figures[fighter.Bite(c)].A
	}
	return d
}

// usualTally is what is seen of the population's own bouts.
type usualTally struct {
	tries, made   [tape.NumMoves][numMet]float64
	attempts      []attempt
	who           [][2]int // whose attempts, against whom
	shown, bitten [fighter.NumCues][usualFighters]float64
}

func (t *usualTally) add(rules *tape.RuleSet, pair [2]int, events []tape.Event) {
	bout := &tape.Bout{Fighters: [2]tape.Fighter{{ID: "red"}, {ID: "blue"}}, RuleSet: rules, LookedFor: tape.AllGroups(), Corners: [2]bool{true, true}}
	s := &source{bout: bout, events: events, weight: 1}
	s.lights = lights(s)
	for _, a := range attempts([]*source{s}) {
		with := pair
		if a.attacker == "blue" {
			with = [2]int{pair[1], pair[0]}
		}
		t.attempts, t.who = append(t.attempts, a), append(t.who, with)
		for _, k := range []met{a.met, anyhow} {
			t.tries[a.move][k]++
			if a.made {
				t.made[a.move][k]++
			}
		}
	}
	for c, who := range pair {
		saw := counts{defends: map[fighter.Figure]float64{}}
		saw.met(s, tape.Corner(c))
		for cue := range saw.feints {
			t.shown[cue][who] += saw.feints[cue]
			t.bitten[cue][who] += saw.bitten[cue]
		}
	}
}

func (t *usualTally) usual() *usual {
	u := &usual{}
	for m := range t.tries {
		for k := range t.tries[m] {
			u.logit[m][k] = logOdds(t.made[m][k], t.tries[m][k])
		}
	}
	var sides [fighter.NumFamilies][2]circumstances
	for i, a := range t.attempts {
		f, _ := fighter.FamilyOf(a.move.Act())
		for side, who := range t.who[i] {
			sides[f][side].add(who, a.made, u.logit[a.move][a.met])
		}
	}
	for f := range sides {
		for side := range sides[f] {
			u.spread[f][side] = sides[f][side].variance()
		}
	}
	for c := range t.shown {
		shown, bitten := sum(t.shown[c][:]), sum(t.bitten[c][:])
		u.bitten[c] = logOdds(bitten, shown)
		var all circumstances
		for who, n := range t.shown[c] {
			q := bitten / shown
			all.over[who], all.curve[who] = t.bitten[c][who]-n*q, n*q*(1-q)
		}
		u.bites[c] = all.variance()
	}
	return u
}

// circumstances adds up, for each fighter, how many more attempts came off than usual, and the variance that luck alone gives that.
type circumstances struct{ over, curve [usualFighters]float64 }

func (c *circumstances) add(who int, made bool, logit float64) {
	q := 1 / (1 + math.Exp(-logit))
	c.curve[who] += q * (1 - q)
	c.over[who] -= q
	if made {
		c.over[who]++
	}
}

// variance is that of the log-odds between fighters, by moments: a shift s moves the excess by s times the curvature v, so that the
// squares of the excesses have the mean v + v²·variance.
func (c *circumstances) variance() float64 {
	above, square := 0.0, 0.0
	for i, v := range c.curve {
		above += c.over[i]*c.over[i] - v
		square += v * v
	}
	if square == 0 {
		return 0
	}
	return max(above/square, 0)
}

// logOdds is the empirical logit with a half added to each cell (Haldane 1956; Anscombe 1956, from memory).
func logOdds(made, tries float64) float64 { return math.Log((made + .5) / (tries - made + .5)) }
