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

// usual is what the population's own bouts look like, against which a fighter's tape is read: how often each attempt comes off in each
// state of things (see stateShares), and how often a feint is bitten on. Because these shares are taken after all mechanics, reading tape
// against them does not take distance, timing and defence off a second time.
//
// They are shares among many. One fighter's lie around them even without any skill, since what the tape does not show of ranges,
// combinations and habits differs: the circumstances. How much, in log-odds, is a variance for each family of attempts and side, and each
// cue.
type usual struct {
	seen   *usualTally
	mu     sync.Mutex
	shares map[reading]*stateShares

	heeded [fighter.NumCues]float64 // share of feints at which there was a choice to bite: not hidden, and not while busy
	bitten [fighter.NumCues]float64 // log-odds of biting then
	bites  [fighter.NumCues]float64
}

// A round robin of usualFighters whose figures are drawn from the population, but who have its skills and belief; the shares then have
// standard errors below two points wherever a move comes up at all often.
const (
	usualFighters  = 60
	usualBouts     = 600
	credulousBouts = 120
	credulousBite  = 20 // log-odds
)

// shippedUsual is that of the embedded population, played once.
var shippedUsual = sync.OnceValue(func() *usual { return playedUsual(fighter.Shipped()) })

// usualOf gives what the bouts of a population look like.
func usualOf(population *fighter.PopulationFile) *usual {
	if population.ID.SHA256 == fighter.Shipped().ID.SHA256 {
		return shippedUsual()
	}
	return playedOnce(population)
}

// lately keeps what was played last, since the same population is asked for again: of other tape, for the same bouts, or at the other level.
var lately struct {
	sync.Mutex
	hash  string
	usual *usual
}

func playedOnce(population *fighter.PopulationFile) *usual {
	if population.ID.SHA256 == "" { // it may be changed
		return playedUsual(population)
	}
	lately.Lock()
	defer lately.Unlock()
	if lately.hash != population.ID.SHA256 {
		lately.hash, lately.usual = population.ID.SHA256, playedUsual(population)
	}
	return lately.usual
}

func playedUsual(population *fighter.PopulationFile) *usual {
	rules, err := tape.RuleSetNamed("mma-3x5")
	if err != nil {
		panic("calibrate: " + err.Error())
	}
	all, credulous := playUsual(population, rules, usualBouts, false), playUsual(population, rules, credulousBouts, true)
	u := &usual{seen: all, shares: map[reading]*stateShares{}}
	all.bites(u, credulous)
	return u
}

// playUsual plays the round robin; the credulous bite whenever they can.
func playUsual(population *fighter.PopulationFile, rules *tape.RuleSet, bouts int, credulous bool) *usualTally {
	b := sim.NewBout()
	b.Setup(rules, sim.AverageWorld())
	var seen usualTally
	for i := range bouts {
		pair := [2]int{i % usualFighters, (i + 1 + i/usualFighters) % usualFighters}
		for c, who := range pair {
			if err := b.Sides[c].Load(fighter.AverageBody(), usualDraw(population, who, credulous), nil, nil, rules); err != nil {
				panic("calibrate: " + err.Error())
			}
		}
		b.Run(kernel.NewKey(0x757375616c, uint64(i)))
		seen.add(rules, pair, b.Events)
	}
	return &seen
}

// usualDraw is a fighter with the population's skills and belief, and habits drawn from it.
func usualDraw(population *fighter.PopulationFile, who int, credulous bool) fighter.Draw {
	p := population.Profile(strconv.Itoa(who), fighter.AverageBody())
	d := p.Draw(0x757375616c, 0, false)
	for f := range fighter.NumFamilies {
		d[fighter.Attack(f)], d[fighter.Defence(f)] = 0, 0
	}
	for c := range fighter.NumCues {
		d[fighter.Sense(c)], d[fighter.Bite(c)] = p.Figures[fighter.Sense(c)].A, p.Figures[fighter.Bite(c)].A
		if credulous {
			d[fighter.Bite(c)] = credulousBite
		}
	}
	return d
}

// usualTally is what is seen of the population's own bouts.
type usualTally struct {
	attempts      []attempt
	who           [][2]int // whose attempts, against whom
	shown, bitten [fighter.NumCues][usualFighters]float64
}

func (t *usualTally) add(rules *tape.RuleSet, pair [2]int, events []tape.Event) {
	bout := &tape.Bout{Fighters: [2]tape.Fighter{{ID: "red"}, {ID: "blue"}}, RuleSet: rules, LookedFor: tape.AllGroups(), Corners: [2]bool{true, true}}
	s := &source{bout: bout, events: events, weight: 1, age: 1}
	s.lights = lights(s)
	for _, a := range attempts([]*source{s}, nil) {
		with := pair
		if a.attacker == "blue" {
			with = [2]int{pair[1], pair[0]}
		}
		t.attempts, t.who = append(t.attempts, a), append(t.who, with)
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

func (t *usualTally) bites(u *usual, credulous *usualTally) {
	for c := range t.shown {
		u.heeded[c] = sum(credulous.bitten[c][:]) / sum(credulous.shown[c][:])
		shown, bitten := sum(t.shown[c][:]), sum(t.bitten[c][:])
		u.bitten[c] = logOdds(bitten, shown*u.heeded[c])
		q := bitten / shown
		var all circumstances
		for who, n := range t.shown[c] {
			all.over[who], all.luck[who], all.slope[who] = t.bitten[c][who]-n*q, n*q*(1-q), n*q*(1-q/u.heeded[c])
		}
		u.bites[c] = all.variance()
	}
}

// circumstances adds up, for each fighter, how many more attempts came off than usual, the variance that luck alone gives that, and by how
// much a shift of the log-odds moves it.
type circumstances struct{ over, luck, slope [usualFighters]float64 }

func (c *circumstances) add(who int, made bool, logit float64) {
	q := 1 / (1 + math.Exp(-logit))
	c.luck[who] += q * (1 - q)
	c.slope[who] += q * (1 - q)
	c.over[who] -= q
	if made {
		c.over[who]++
	}
}

// variance is that of the log-odds between fighters, by moments: the squares of the excesses have the mean luck + slope²·variance.
func (c *circumstances) variance() float64 {
	above, square := 0.0, 0.0
	for i, v := range c.luck {
		above += c.over[i]*c.over[i] - v
		square += c.slope[i] * c.slope[i]
	}
	if square == 0 {
		return 0
	}
	return max(above/square, 0)
}

// shares gives how often each move comes off among the population, whatever the state, with a half added to each cell.
func (t *usualTally) shares() (out [tape.NumMoves]float64) {
	var made, tries [tape.NumMoves]float64
	for i := range t.attempts {
		a := &t.attempts[i]
		tries[a.move]++
		if a.made {
			made[a.move]++
		}
	}
	for m := range out {
		out[m] = (made[m] + .5) / (tries[m] + 1)
	}
	return out
}

// logOdds is the empirical logit with a half added to each cell (Haldane 1956; Anscombe 1956, from memory).
func logOdds(made, tries float64) float64 { return math.Log((made + .5) / (tries - made + .5)) }
