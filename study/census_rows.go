package study

import (
	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/tape"
)

// mmaBout is what the census keeps of one bout under mixed rules.
type mmaBout struct {
	quiet                      []float64 // by full round
	headClean, headLanded      [2]float64
	jabs, power, all           [2]float64 // landed, thrown
	method                     sim.Method
	round                      int
	clock                      float64 // s
	afterSeconds, afterStrikes []float64
	before                     []float64 // strikes taken in the 30 s before a TKO
}

func (c *census) mma(bouts int) {
	all := play(c, setting{rules: "mma-3x5"}, bouts, func(b *sim.Bout, o *sim.Outcome) (m mmaBout) {
		m.quiet = lowIntensity(o, b.Events)
		m.method, m.round, m.clock = o.Verdict.Method, int(o.Verdict.Round), float64(o.Verdict.Clock)/1e6
		for i := range o.Sides {
			s := &o.Sides[i]
			m.headClean[i] = float64(s.HeadClean) * 60e6 / float64(o.Time)
			m.headLanded[i] = float64(s.HeadLanded) * 60e6 / float64(o.Time)
			m.jabs[0] += float64(s.JabLanded)
			m.jabs[1] += float64(s.JabThrown)
			for f := range fighter.Takedown {
				m.all[0] += float64(s.Landed[f])
				m.all[1] += float64(s.Thrown[f])
			}
			for _, f := range []fighter.Family{fighter.StraightPunch, fighter.LoopingPunch} {
				m.power[0] += float64(s.Landed[f])
				m.power[1] += float64(s.Thrown[f])
			}
			m.power[0] -= float64(s.JabLanded)
			m.power[1] -= float64(s.JabThrown)
		}
		switch m.method {
		case sim.ByKO:
			m.afterSeconds, m.afterStrikes = afterTheBlow(o, b.Events)
		case sim.ByTKO:
			m.before = []float64{beforeTheStop(o, b.Events)}
		}
		return m
	})
	if c.err != nil {
		return
	}
	c.timeRows(all)
	c.strikeRows(all)
	c.endingRows(all)
}

func (c *census) timeRows(all []mmaBout) {
	var quiet []float64
	for i := range all {
		quiet = append(quiet, all[i].quiet...)
	}
	const source = "Miarka 2016"
	c.quantile("fit", "1 standing low-intensity share of full rounds, median", source, .40, .62, .5, quiet)
	c.quantile("fit", "1 the same, lower quartile", source, .15, .40, .25, quiet)
	c.quantile("fit", "1 the same, upper quartile", source, .62, .90, .75, quiet)
}

func (c *census) strikeRows(all []mmaBout) {
	var jabs, power, strikes [][2]float64
	var clean, landed []float64
	for i := range all {
		m := &all[i]
		jabs, power, strikes = append(jabs, m.jabs), append(power, m.power), append(strikes, m.all)
		clean, landed = append(clean, m.headClean[0], m.headClean[1]), append(landed, m.headLanded[0], m.headLanded[1])
	}
	const source = "Thomson & Lamb 2016, as quoted second-hand"
	c.ratio("fit", "5 jabs landed, share", source, .20, .36, jabs)
	c.ratio("fit", "5 other punches landed, share", source, .25, .50, power)
	c.ratio("fit", "5 all strikes landed, share", "Rydzik 2021", .25, .55, strikes)
	c.mean("test", "6 clean head strikes received per minute", "Mańka-Malara 2022", 1.8, 3.0, clean)
	c.mean("test", "6 head contacts received per minute", "Mańka-Malara 2022", 4.5, 8.0, landed)
}

func (c *census) endingRows(all []mmaBout) {
	byStrikes, decided, submitted := make([]float64, len(all)), make([]float64, len(all)), make([]float64, len(all))
	var early, seconds, strikes, before, firstRound, lastRound []float64
	for i := range all {
		m := &all[i]
		stopped := m.method == sim.ByKO || m.method == sim.ByTKO
		byStrikes[i], decided[i], submitted[i] = is(stopped), is(m.method == sim.ByDecision), is(m.method == sim.BySubmission)
		if stopped {
			early = append(early, is(m.clock < 60))
		}
		firstRound = append(firstRound, is(stopped && m.round == 1))
		if m.round >= 3 {
			lastRound = append(lastRound, is(stopped))
		}
		seconds, strikes, before = append(seconds, m.afterSeconds...), append(strikes, m.afterStrikes...), append(before, m.before...)
	}
	c.mean("fit", "7 bouts ended by strikes", "Mańka-Malara 2022, Hutchison 2014", .26, .38, byStrikes)
	c.mean("fit", "19 bouts ended by decision", "conference abstract, 107,227 bouts", .36, .52, decided)
	c.mean("fit", "19 bouts ended by submission", "the same", .14, .30, submitted)
	c.mean("test", "10 knockout blow to stop, s", "Hutchison 2014, second-hand", 2.5, 5, seconds)
	c.mean("test", "10 strikes landed in between", "Hutchison 2014, second-hand", 1.5, 4, strikes)
	c.mean("test", "times: stoppages by strikes in a round's first minute", "Hutchison 2013: KOs, 1 in 5", .13, .27, early)
	c.mean("fit", "times: strikes taken in the 30 s before a TKO", "Hutchison 2014, from memory: 18.5 (5 to 46)", 9, 28, before)
	c.mean("fit", "times: first rounds ended by strikes", "Hutchison 2014 (direction): above the row below", .08, .25, firstRound)
	c.mean("fit", "times: third rounds ended by strikes", "Hutchison 2014 (direction)", .02, .20, lastRound)
}

// lowIntensity gives, for every round that went its length, the share of it spent standing with no strike or takedown attempt by either
// within a second.
func lowIntensity(o *sim.Outcome, events []tape.Event) []float64 {
	full := int(o.Verdict.Round) - 1
	if o.Verdict.Method == sim.ByDecision && o.Verdict.Clock == 300e6 {
		full++
	}
	const length = int64(300e6)
	quiet := make([]float64, full)
	from, round, standing := int64(0), uint8(0), true
	book := func(to int64) {
		if standing && round >= 1 && int(round) <= full && to > from {
			quiet[round-1] += float64(to-from) / float64(length)
		}
	}
	for i := range events {
		e := &events[i]
		if e.Round != round {
			book(length)
			from, round, standing = 0, e.Round, true
		}
		switch {
		case e.Act == tape.StateRange && e.Corner == tape.RedCorner:
			book(e.Clock)
			from = max(from, e.Clock)
			standing = e.Value != tape.Ground
		case e.Act.IsAttack():
			book(e.Clock - 1e6)
			from = max(from, e.Clock+1e6)
		}
	}
	book(length)
	return quiet
}

// afterTheBlow gives the time and the strikes landed between the blow that put somebody out, the last knockdown, and the stop.
func afterTheBlow(o *sim.Outcome, events []tape.Event) (seconds, strikes []float64) {
	landed := 0.0
	for i := len(events) - 1; i >= 0; i-- {
		e := &events[i]
		if e.Round != o.Verdict.Round {
			break
		}
		if e.Result == tape.Knockdown || e.Result == tape.Stoppage {
			return []float64{float64(o.Verdict.Clock-e.Clock) / 1e6}, []float64{landed}
		}
		if int(e.Corner) == int(o.Verdict.Winner) && e.Act.IsStrike() && e.Result.IsLanded() {
			landed++
		}
	}
	return nil, nil
}

// beforeTheStop counts the strikes that landed on the loser in the last 30 s.
func beforeTheStop(o *sim.Outcome, events []tape.Event) (n float64) {
	for i := len(events) - 1; i >= 0 && events[i].Round == o.Verdict.Round && events[i].Clock > o.Verdict.Clock-30e6; i-- {
		if e := &events[i]; int(e.Corner) == int(o.Verdict.Winner) && e.Act.IsStrike() && e.Result.IsLanded() {
			n++
		}
	}
	return n
}

func (c *census) kickboxing(bouts int) {
	shares := play(c, setting{rules: "kickboxing-3x3"}, bouts, func(b *sim.Bout, o *sim.Outcome) float64 { return burstShare(o, b.Events) })
	c.mean("test", "2 kickboxing: share of time in exchanges", "Calabrese 2024, Del Vecchio (Muay Thai)", .25, .70, shares)
}

// burstShare merges strikes, each from its onset to its contact, that are less than a second apart into bursts.
func burstShare(o *sim.Outcome, events []tape.Event) float64 {
	busy, from, to, round := int64(0), int64(0), int64(0), uint8(0)
	for i := range events {
		e := &events[i]
		if !e.Act.IsStrike() {
			continue
		}
		onset := max(e.Onset(), 0)
		if e.Round != round || onset-to >= 1e6 {
			busy += to - from
			from, to, round = onset, e.Clock, e.Round
		}
		to = max(to, e.Clock)
	}
	return float64(busy+to-from) / float64(max(o.Time, 1))
}

func (c *census) boxing(bouts int) {
	perMinute := play(c, setting{rules: "boxing-3x3"}, bouts, func(_ *sim.Bout, o *sim.Outcome) float64 {
		n := int64(0)
		for i := range o.Sides {
			n += o.Sides[i].Thrown[fighter.StraightPunch] + o.Sides[i].Thrown[fighter.LoopingPunch]
		}
		return float64(n) * 30e6 / float64(max(o.Time, 1))
	})
	c.mean("fit", "3 boxing: punches per boxer per minute", "Davis 2015, 2018; Thomson & Lamb 2016", 17, 25, perMinute)
}

// anticipation switches cues before the onset off and compares how often a jab is met by an active defence and does not land.
func (c *census) anticipation(bouts int) {
	evaded := func(noCues bool, skill float64) [][2]float64 {
		s := setting{rules: "mma-3x5", adjust: func(b *sim.Bout) { b.NoCues = noCues },
			edit: func(d fighter.Draw) { d[fighter.Alone(fighter.Anticipation)] *= skill }}
		return play(c, s, bouts, func(b *sim.Bout, _ *sim.Outcome) (n [2]float64) {
			for i := range b.Events {
				if e := &b.Events[i]; e.Act == tape.Jab {
					n[1]++
					if e.Defence > tape.DefenceNone && !e.Result.IsLanded() {
						n[0]++
					}
				}
			}
			return n
		})
	}
	const source = "reaction arithmetic on Stanley 2018 and Cojocariu 2011"
	c.ratio("test", "13 jabs evaded or stopped by reaction alone, share", source, .10, .40, evaded(true, 1))
	off := c.last()
	c.ratio("test", "13 the same with cues, average anticipation", "Rosalie & Müller 2013 (ordering)", off, 1, evaded(false, 1))
	on := c.last()
	c.ratio("test", "13 the same, expert (anticipation x2.5)", "at least 1.5 times reaction alone; above average", max(1.5*off, on), 1, evaded(false, 2.5))
}

func (c *census) last() float64 {
	if len(c.rows) == 0 {
		return 0
	}
	return c.rows[len(c.rows)-1].Value
}

// crowd compares the cards with the crowd behind red and without, over the same bouts.
func (c *census) crowd(bouts int) {
	margin := func(home float64) []float64 {
		s := setting{rules: "mma-5x5", adjust: func(b *sim.Bout) {
			w := sim.AverageWorld()
			w.Home = home
			b.Setup(b.Rules, w)
		}}
		return play(c, s, bouts, func(_ *sim.Bout, o *sim.Outcome) float64 { return margin(o, 0) })
	}
	off, on := margin(0), margin(sim.HomeCrowd)
	for i := range on {
		on[i] -= off[i]
	}
	c.mean("test", "16 no crowd: red's margin on the cards, points", "none expected", -.05, .05, off)
	c.mean("fit", "16 crowd behind red: change of the margin, points", "Myers & Balmer 2012", .3, .8, on)
}
