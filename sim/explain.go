package sim

import (
	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// Explanations come from running a bout again with a watcher. Everything here is a slow twin of what the bout does anyway: it is run
// only when somebody watches, draws no number and changes nothing.

// Reason says what speaks for or against a clean hit.
type Reason uint8

// The reasons, in the order in which a landing lists them.
const (
	ByTechnique    Reason = iota // the technique alone, against a fighter who does nothing about it
	ByAttackSkill                // the attacker's skill with it
	ByDefenceSkill               // the other's skill against it
	ByDefence                    // the defence under way, as far as it had come
	ByBusy                       // the other was busy with something else
	ByMeasured                   // the distance had been measured with the lead hand
	BySquared                    // the other stood squared up
	ByDenied                     // the attacker's lead hand was taken away
	ByLunging                    // thrown from too far
	ByDrawn                      // the guard was drawn elsewhere
	ByArms                       // the other's arms were busy
	ByKnee                       // the other's knee was up
	ByEngaged                    // the attacker's lead hand was in a fight for the hands
	ByStance                     // open stance: the open side, or lead hands in each other's way
	ByTired                      // the attacker was tired
	ByHurt                       // the other was hurt
	ByBeaten                     // the other's strike came first, and clean
	NumReasons
)

// Part is one contribution to the log-odds of a clean hit, in units of 1/[kernel.LogitUnit].
type Part struct {
	Reason Reason
	Logits int32
}

// Landing is a strike at the moment it came.
type Landing struct {
	Round    uint8
	Clock    int64 // µs
	Corner   int
	Move     tape.Move
	How      tape.How
	Short    int32            // mm that were missing, the body's fall counted; above 0 it never got there and nothing was contested
	Response fighter.Response // of the other, if InTime is not negative
	InTime   int32            // how far the defence had come, 0 to 128; -1: there was none against this
	Parts    []Part           // in the order of the reasons; their sum is Logits
	Logits   int32
	Chance   float64 // of landing clean, 0 to 1
	Drawn    float64 // 0 to 1; below Chance it lands clean
}

// Clean reports whether the strike landed clean.
func (l *Landing) Clean() bool { return l.Short <= 0 && l.Drawn < l.Chance }

// tellStrike tells the watcher why a strike lands or not.
func (b *Bout) tellStrike(c int, inTime, logits int32) {
	if b.Watch != nil {
		l := b.landing(c, inTime)
		l.Logits, l.Chance = logits, float64(kernel.Logistic(logits))/float64(kernel.Certain)
		l.Parts = b.strikeParts(c, inTime)
		b.Watch.Landed(b, &l)
	}
}

// tellShort tells the watcher of a strike that did not get there.
func (b *Bout) tellShort(c int, inTime int32) {
	if b.Watch != nil {
		l := b.landing(c, inTime)
		m := &b.men[c]
		l.Short = gap(m.at, b.men[1-c].at) - b.Sides[c].reach[m.move] - techniques[m.move].lunge
		b.Watch.Landed(b, &l)
	}
}

func (b *Bout) landing(c int, inTime int32) Landing {
	m, o := &b.men[c], &b.men[1-c]
	return Landing{Round: uint8(b.round), Clock: b.now, Corner: c, Move: m.move, How: m.how, Response: o.response, InTime: inTime,
		Drawn: float64(high(m.luck[luckLand])) / float64(kernel.Certain)}
}

// strikeParts is the twin of strikeLogits that keeps what it adds up.
func (b *Bout) strikeParts(c int, inTime int32) (parts []Part) {
	m, o := &b.men[c], &b.men[1-c]
	add := func(r Reason, x int32) {
		if x != 0 {
			parts = append(parts, Part{r, x})
		}
	}
	when := func(holds bool, r Reason, x int32) {
		if holds {
			add(r, x)
		}
	}
	family, _ := fighter.FamilyOf(m.move.Act())
	t := &techniques[m.move]
	straight := t.limb == straightLimb
	add(ByTechnique, b.logit[m.move])
	add(ByAttackSkill, b.Sides[c].attack[family])
	add(ByDefenceSkill, -b.Sides[1-c].defence[family])
	if inTime >= 0 {
		add(ByDefence, -(protects[fighter.ThreatOf(m.move.Act())][o.response] * inTime / 128))
	} else {
		when(o.phase != free && o.phase != settling, ByBusy, b.world.busy)
	}
	when(straight && b.now < m.measured, ByMeasured, b.world.measured)
	when(straight && b.now < o.squared, BySquared, b.world.squared)
	when(t.limb != kickLimb && b.handsDenied(c), ByDenied, -b.world.denied)
	when(m.how == tape.Lunging, ByLunging, -b.world.lunging)
	when(b.now < o.drawnUntil && o.drawnTo != m.move.Value(), ByDrawn, b.world.drawn)
	when(b.now < o.armsBusy && m.move.Value() != tape.Leg, ByArms, b.world.drawn)
	when(b.now < o.knee && (m.move.Act() == tape.LowKick || m.move == tape.MoveBodyKick), ByKnee, -130)
	when(b.now < m.engaged && (m.move.Act() == tape.Jab || m.move.Act() == tape.LeadHook), ByEngaged, -b.world.denied)
	add(ByStance, b.stanceLogits(c))
	when(b.isTired(c), ByTired, -16)
	when(b.isHurt(1-c), ByHurt, 90)
	when(m.beaten, ByBeaten, -b.world.lunging)
	return parts
}

// Known is a fact that a fighter could know at a choice: an index into the fact's values.
type Known struct {
	Fact  tactics.Fact
	Value int
}

// Option is one alternative of a choice: its share from 0 to 1 of the moment (at initiate: of a decision tick, of which there are
// [Bound] a second, so that share times Bound is the rate a second).
type Option struct {
	Name    string
	Usual   float64 // without the plan
	Planned float64 // with every rule that holds
	Now     float64 // in the table that was drawn from
}

// Belief is what a believe point weighed, in logit units: believed if the sum is above 0.
type Belief struct {
	Cue                 fighter.Cue
	Percept             int32 // how real it looked, luck included
	Readiness           int32 // the fighter's own
	Learned             int32 // what this bout has taught about the cue
	Plan                int32 // the rules followed
	Real                bool  // what the fighter cannot see: whether the onset was real
	SeenReal, SeenEmpty int32 // onsets of the cue in this bout so far
}

// Choice is one choice of a bout with what stood behind it.
type Choice struct {
	Round   uint8
	Clock   int64 // µs
	Corner  int
	At      tactics.Point
	Gap     float64 // m
	Known   []Known
	Rules   []int    // of the plan, those at this point that hold
	Follows float64  // share of such moments at which the rule that is followed most is followed
	Options []Option // by index of the alternative; none at believe
	Belief  *Belief  // at believe
	Chosen  int      // the alternative; at believe 1 real, 0 not
	Drawn   float64  // 0 to 1, read off along the options in their order; at believe 0
}

// Followed reports whether the rules that hold were followed at this choice, as far as they change anything.
func (c *Choice) Followed() bool {
	if c.Belief != nil {
		return c.Belief.Plan != 0
	}
	for _, o := range c.Options {
		if o.Now != o.Planned {
			return false
		}
	}
	return true
}

// Name gives the word of what was chosen, "" for nothing at a decision tick.
func (c *Choice) Name() string {
	if c.At == tactics.Believe {
		return [2]string{"not real", "real"}[c.Chosen]
	}
	if c.Chosen >= len(c.Options) {
		return ""
	}
	return c.Options[c.Chosen].Name
}

// choice works out what stood behind a choice that is being made.
func (b *Bout) choice(at tactics.Point, c int, table *kernel.Table, chosen int) Choice {
	out := Choice{Round: uint8(b.round), Clock: b.now, Corner: c, At: at, Chosen: chosen, Follows: float64(b.Sides[c].mostly*b.composure(c)/10) / float64(kernel.Certain),
		Gap: float64(gap(b.men[0].at, b.men[1].at)) / 1000}
	var threat *fighter.Threat
	if at == tactics.Believe || at == tactics.Defend {
		threat = &b.men[c].seen.threat
	}
	facts := b.facts(c, threat)
	out.Known = known(&facts)
	holding := uint32(0)
	if plan := b.Sides[c].Plan; plan != nil {
		holding = plan.Active(at, &facts)
	}
	for i := range 32 {
		if holding>>i&1 == 1 {
			out.Rules = append(out.Rules, i)
		}
	}
	if at == tactics.Believe {
		out.Belief = b.belief(c)
		return out
	}
	out.Drawn = float64(low(b.drawn(at, c))) / float64(kernel.Certain)
	row, state := b.tableKey(at, c)
	usual, planned := b.Sides[c].table(at, row, state, 0), b.Sides[c].table(at, row, state, holding)
	for i, name := range tactics.Alternatives(at) {
		out.Options = append(out.Options, Option{name, usual.Share(i), planned.Share(i), table.Share(i)})
	}
	return out
}

// known lists the facts that are set, in their order.
func known(f *tactics.Facts) (out []Known) {
	for fact := range tactics.NumFacts {
		for v := range fact.Values() {
			if bit := fact.Offset() + v; f[bit>>6]>>(bit&63)&1 == 1 {
				out = append(out, Known{fact, v})
			}
		}
	}
	return out
}

// tableKey is the twin of what the choice points pass to table: row and state.
func (b *Bout) tableKey(at tactics.Point, c int) (row int, state uint8) {
	m := &b.men[c]
	switch at {
	case tactics.Initiate:
		if b.isHurt(1 - c) {
			return initiateRow(m.zone, b.spot(c)), surging
		}
		return initiateRow(m.zone, b.spot(c)), asIs
	case tactics.Answer, tactics.Continue:
		if b.catching {
			return 0, isHolding
		}
		if at == tactics.Answer {
			return exchangeRow(m.zone.Exchange(), b.theirs(c)), b.behind(c)
		}
		return exchangeRow(m.zone.Exchange(), fighter.AfterOf(m.move.Act())), b.behind(c)
	case tactics.Defend:
		return int(m.seen.threat), b.behind(c)
	}
	switch {
	case b.catching:
		return 0, isCaught
	case b.mode == grounded:
		return 0, isDown
	}
	return 0, asIs
}

// drawn gives the number from which the choice being made is drawn: the upper half is the coin of adherence, the lower the choice.
func (b *Bout) drawn(at tactics.Point, c int) uint64 {
	m := &b.men[c]
	switch at {
	case tactics.Defend:
		return b.men[1-c].luck[luckDefend]
	case tactics.Initiate:
		return m.draw
	}
	s := m.luckKey.With(m.beat).With(m.ordinal - 1).Stream()
	return s.Uint64()
}

// belief is the twin of believes that keeps what it adds up.
func (b *Bout) belief(c int) *Belief {
	m, s := &b.men[c], &b.Sides[c]
	cue := m.seen.threat.Cue()
	out := &Belief{Cue: cue, Percept: b.perceive(c), Readiness: s.bite[cue], Real: m.seen.real, SeenReal: m.real[cue], SeenEmpty: m.empty[cue]}
	out.Learned = s.learning * (lnCount(m.real[cue]+seenBefore) - lnCount(m.empty[cue]+seenBefore)) / 1024
	if mask := b.rulesNow(tactics.Believe, c, high(b.men[1-c].luck[luckCoin]), &m.seen.threat); mask != 0 {
		out.Plan = s.odds(mask)
	}
	return out
}
