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

// coarseUsual is what the coarse codings of the population's own bouts look like beside what was played: fighters whose figures are drawn
// from the population meet, their bouts are coarsened (tape.SamplesOf, tape.ExchangesOf), and the shares below are counted over all of
// them. Bias of the coarse level goes into the shares, what differs from fighter to fighter around them is a variance and becomes
// doubt.
type coarseUsual struct {
	seenAs      [onFeet][numLooks]float64     // share of openings begun in a zone whose nearest sample shows another
	share       [onFeet][numOpeners]float64   // initiated openings for each act that rate and sampled seconds let expect
	spread      [onFeet]float64               // variance of the logarithm of that share between fighters
	other       [onFeet][tape.NumActs]float64 // a second: openings that were no initiated acts, such as the jab after a step
	otherSpread float64                       // variance of the logarithm of such a rate between fighters
	looks       float64                       // variance of sampled seconds over that of as many independent looks
	gave        gaveUsual
	clean       cleanUsual
}

// opener is the kind of act that an exchange is opened with.
type opener uint8

const (
	byHands opener = iota
	byLegs
	byClose
	byTakedown
	numOpeners
)

func openerOf(a tape.Act) opener {
	switch {
	case a.IsTakedown():
		return byTakedown
	case a == tape.Knee || a == tape.Elbow:
		return byClose
	case a >= tape.FrontKick && a <= tape.HighKick:
		return byLegs
	}
	return byHands
}

// Every fighter has coarseBouts*2/coarseFighters bouts: enough rounds that the spread between fighters stands out of luck.
const (
	coarseFighters = 240
	coarseBouts    = 1440
	coarseSeed     = 0x636f61727365
)

// theCoarseUsual is that of the embedded population, played once.
var theCoarseUsual = sync.OnceValue(func() *coarseUsual { return watched(fighter.Shipped()).usual() })

// coarseUsualOf plays the bouts of a population.
func coarseUsualOf(population *fighter.PopulationFile) *coarseUsual {
	if population.ID.SHA256 == fighter.Shipped().ID.SHA256 {
		return theCoarseUsual()
	}
	return watched(population).usual()
}

// watched plays a round robin of fighters drawn from the population.
func watched(population *fighter.PopulationFile) *coarseWatch {
	rules, err := tape.RuleSetNamed("mma-3x5")
	if err != nil {
		panic("calibrate: " + err.Error())
	}
	w := coarseWatch{population: population}
	b := sim.NewBout()
	b.Setup(rules, sim.AverageWorld())
	for i := range coarseBouts {
		pair := [2]int{i % coarseFighters, (i + 1 + i/coarseFighters) % coarseFighters}
		for c, who := range pair {
			if w.truths[who] == nil {
				w.truths[who] = population.Profile(strconv.Itoa(who), fighter.AverageBody()).Draw(coarseSeed, 0, false)
			}
			if err := b.Sides[c].Load(fighter.AverageBody(), w.truths[who], nil, nil, rules); err != nil {
				panic("calibrate: " + err.Error())
			}
		}
		b.Run(kernel.NewKey(coarseSeed, uint64(i)))
		w.add(rules, pair, b.Events)
	}
	return &w
}

// coarseWatch counts over the bouts what was played beside what the coarse coding shows of it.
type coarseWatch struct {
	population *fighter.PopulationFile

	truths    [coarseFighters]fighter.Draw
	seen      [coarseFighters]*coarseCounts
	initiated [coarseFighters][onFeet][tape.NumActs]float64 // openings, by the zone they were begun in
	other     [coarseFighters][onFeet][tape.NumActs]float64
	seenAs    [onFeet][numLooks]float64
	missed    float64                      // squared difference of sampled and true seconds
	luck      float64                      // what it would be with independent looks
	gaveBy    [coarseFighters][][2]float64 // by bout
	hits      [tape.NumMoves]float64       // clean hits on the feet
}

func (w *coarseWatch) add(rules *tape.RuleSet, pair [2]int, events []tape.Event) {
	b := &tape.Bout{Fighters: [2]tape.Fighter{{ID: strconv.Itoa(pair[0])}, {ID: strconv.Itoa(pair[1])}}, RuleSet: rules, LookedFor: tape.AllGroups(), Corners: [2]bool{true, true},
		Ended: tape.Ended{Winner: tape.NoCorner}}
	full := &source{bout: b, events: events, weight: 1}
	full.lights = lights(full)
	s := &coarseSource{&source{bout: b, weight: 1, age: 1}, &tape.Coarse{Bout: b, Samples: tape.SamplesOf(b, events), Exchanges: tape.ExchangesOf(events)}}
	for i := range events {
		if e := &events[i]; e.Act.IsStrike() && e.Act != tape.GroundStrike && e.Result.IsClean() {
			w.hits[tape.MoveOf(e.Act, e.Value)]++
		}
	}
	for c, who := range pair {
		if w.seen[who] == nil {
			w.seen[who] = newCoarseCounts()
		}
		w.seen[who].sampled(s, tape.Corner(c), nil)
		before := w.seen[who].gave
		w.seen[who].exchanged(s, tape.Corner(c), nil)
		w.gaveBy[who] = append(w.gaveBy[who], [2]float64{w.seen[who].gave[0] - before[0], w.seen[who].gave[1] - before[1]})
		for i := range full.lights {
			w.openings(s, who, viewOf(full, &full.lights[i], tape.Corner(c)))
		}
	}
}

// openings books a round's openings by where and at which choice point they were begun.
func (w *coarseWatch) openings(s *coarseSource, who int, v *view) {
	for i := range s.coarse.Exchanges {
		x := &s.coarse.Exchanges[i]
		if x.Led != v.corner || x.Round != v.round {
			continue
		}
		row := v.first
		for ; v.src.events[row].Clock != x.Clock || v.src.events[row].Act != x.First || v.src.events[row].Corner != x.Led; row++ {
		}
		e := &v.src.events[row]
		z := v.begun(e)
		if int(z) >= onFeet {
			continue
		}
		if i, at := s.lookAt(x.Round, e.Onset(), v.corner); i >= 0 {
			w.seenAs[z][at]++
		}
		if p, _ := tape.Origin(v.src.events, row); p == tape.Initiate {
			w.initiated[who][z][e.Act]++
		} else {
			w.other[who][z][e.Act]++
		}
	}
	w.held(s, v)
}

// held compares sampled with true seconds of a round.
func (w *coarseWatch) held(s *coarseSource, v *view) {
	var is, sampled [numLooks]float64
	for i, z := range v.zones {
		to := v.end
		if i+1 < len(v.zones) {
			to = v.zones[i+1].at
		}
		if z.zone != unknown {
			is[min(int(z.zone), onFeet)] += float64(to-z.at) / 1e6
		}
	}
	all := 0.0
	for i := range s.coarse.Samples {
		if x := &s.coarse.Samples[i]; x.Round == v.round {
			if z, ok := s.lookOf(x, v.corner); ok {
				sampled[z] += s.stands(i)
				all += s.stands(i)
			}
		}
	}
	n := all * 1e6 / tape.SamplePeriod
	for z := range is {
		if p := is[z] / all; p > 0 && p < 1 {
			w.missed += math.Pow(sampled[z]-is[z], 2)
			w.luck += all * all * p * (1 - p) / n
		}
	}
}

func (w *coarseWatch) usual() *coarseUsual {
	u := &coarseUsual{looks: w.missed / w.luck}
	for z := range onFeet {
		n := sum(w.seenAs[z][:])
		for k := range numLooks {
			u.seenAs[z][k] = w.seenAs[z][k] / n
		}
		u.spread[z] = w.shares(u, z)
	}
	w.others(u)
	u.gave, u.clean = w.gave(), w.clean()
	return u
}

// seconds are those sampled in a zone.
func (w *coarseWatch) seconds(who, z int) float64 {
	for _, o := range w.seen[who].openings {
		return o.seconds[z]
	}
	return 0
}

// expected is how many acts of a fighter the true rate and the sampled seconds let expect in a zone.
func (w *coarseWatch) expected(who, z int, a tape.Act) (n float64) {
	for m := range tape.NumMoves {
		if m != tape.NoMove && m.Act() == a {
			n += w.truths[who][fighter.Initiate(fighter.Zone(z), m)]
		}
	}
	return n * w.seconds(who, z)
}

// shares sets a zone's shares and gives their variance between fighters, by moments: of counts with the means m·X the squares
// (n-m)² have the mean m + m²·Var(X).
func (w *coarseWatch) shares(u *coarseUsual, z int) float64 {
	var opened, could [numOpeners]float64
	for who := range w.truths {
		for a := range tape.NumActs {
			if a.IsAttack() {
				opened[openerOf(a)] += w.initiated[who][z][a]
				could[openerOf(a)] += w.expected(who, z, a)
			}
		}
	}
	above, square := 0.0, 0.0
	for k := range numOpeners {
		if could[k] == 0 {
			continue
		}
		u.share[z][k] = opened[k] / could[k]
		for who := range w.truths {
			n, m := 0.0, 0.0
			for a := range tape.NumActs {
				if openerOf(a) == k && a.IsAttack() {
					n, m = n+w.initiated[who][z][a], m+u.share[z][k]*w.expected(who, z, a)
				}
			}
			above, square = above+(n-m)*(n-m)-m, square+m*m
		}
	}
	return math.Max(above/square, 0)
}

// others sets the rates of openings that were no initiated acts.
func (w *coarseWatch) others(u *coarseUsual) {
	above, square := 0.0, 0.0
	for z := range onFeet {
		seconds := 0.0
		for who := range w.truths {
			seconds += w.seconds(who, z)
		}
		for a := range tape.NumActs {
			n := 0.0
			for who := range w.truths {
				n += w.other[who][z][a]
			}
			u.other[z][a] = n / seconds
			for who := range w.truths {
				m := u.other[z][a] * w.seconds(who, z)
				above, square = above+math.Pow(w.other[who][z][a]-m, 2)-m, square+m*m
			}
		}
	}
	u.otherSpread = math.Max(above/square, 0)
}
