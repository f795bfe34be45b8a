// Package sim plays one bout: two fighters in a fighting area, each always in one phase, the next event the earliest on a small
// calendar. What a fighter chooses comes from their tables as re-weighted by their plan; what then happens comes from distance,
// timing, skill and luck. The package touches no file, clock, goroutine or global random source: the same key gives the same bout.
//
// Order of reading: technique (what a body does in how long), space, side (one fighter's figures), bout (the loop), choose (the
// choice points), act (an act begins), react (the other sees it), land (it arrives), grapple, referee, judge, outcome.
package sim

import (
	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// phase is what a fighter is busy with.
type phase uint8

const (
	free phase = iota
	committed
	recovering // an act is over; half of the retraction is still to come when it may be continued
	regaining  // after a lunge that nothing followed: not back to guard, neither an act nor a defence can begin
	settling   // back to guard, nothing can begin
	defending
	legCaught
	down
)

// mode is what the pair is doing.
type mode uint8

const (
	standing mode = iota
	clinched
	grounded
)

// The calendar's slots: for each corner the end of its phase, its reaction, its next decision tick; then the referee and the
// bell. Ties go to the lower slot.
const (
	slotPhase   = 0
	slotReact   = 2
	slotTick    = 4
	slotReferee = 6
	slotBell    = 7
	numSlots    = 8
)

// luck is the random numbers of one act, each for one purpose, so that an unused one moves no other.
type luck [7]uint64

const (
	luckBody   = iota // time | place
	luckLand          // lands | how not
	luckImpact        // impact (all 64 bits)
	luckSee           // anticipation | reaction time
	luckDefend        // perception | response
	luckCoin          // adherence at belief | at defence
	luckFoul          // deliberate | whether there is one
)

func high(u uint64) uint32 { return uint32(u >> 32) }
func low(u uint64) uint32  { return uint32(u) }

// man is one fighter's state in a bout.
type man struct {
	at       point
	phase    phase
	zone     fighter.Zone
	southpaw bool

	move   tape.Move // the act under way
	point  choicePoint
	row    int          // its event, -1 while there is none
	bitten tape.Defence // what the other did about a feint whose row is still to come
	begun  int64
	how    tape.How
	luck   luck

	seen     pending
	response fighter.Response // the defence under way
	against  int              // event it is against
	began    int64
	ready    int64

	measured, denied, hurt, squared, drawnUntil, armsBusy, engaged, knee, caught, balanced int64 // until, µs
	drawnTo                                                                                tape.Value

	lastContact int64 // of an own act
	lastAct     lastAct
	lastResult  lastResult

	real, empty [fighter.NumCues]int32
	stamina     int32 // of fullTank
	restedAt    int64
	head, trunk int32 // accumulated impact
	legs        int32
	score       int64 // impact of the round under way
	attacks     int32 // made in the round under way
	control     int64 // µs of the round under way in the middle or on top
	unanswered  int32 // clean strikes taken since last doing anything while hurt
	out         bool  // cannot go on
	taken       bool  // the kick under way has been caught
	beaten      bool  // a clean strike came first while the strike under way was on its way
	rounds      int8  // rounds the fighter thinks they have won, less those lost
	knockdowns  int8  // suffered in this round

	ticks   tickers
	draw    uint64     // of the latest tick
	luckKey kernel.Key // of the round, for what is drawn because of a choice
	beat    uint64     // the latest choice's
	ordinal uint64     // choices in that beat
}

// pending is an onset that the other will react to.
type pending struct {
	row    int
	real   bool
	open   bool // what it was is not known yet
	met    bool // by a strike thrown into it
	act    tape.Act
	threat fighter.Threat
	arrive int64
}

const fullTank = 1 << 20

// Bout plays bouts one after the other in memory that it keeps. It is not safe for concurrent use: one a worker.
type Bout struct {
	Sides  [2]Side
	World  World
	Rules  *tape.RuleSet
	Events []tape.Event // of the bout just played; overwritten by the next

	Script *Script // records or forces choices; nil: neither
	Watch  Watcher // is told what each choice was made from; nil: nobody
	NoStop bool    // play on whatever happens, for measuring rates
	NoCues bool    // switch anticipation off, for the ablation

	area  area
	logit [tape.NumMoves]int32
	world struct{ measured, denied, lunging, busy, drawn, squared, open int32 }
	chin  int32

	men      [2]man
	cal      kernel.Calendar
	now      int64
	round    int
	mode     mode
	top      int
	idle     int64 // since when nothing has been done in the clinch or on the ground
	key      kernel.Key
	over     bool
	verdict  Verdict
	cards    [3][2]int
	rounds   []roundScore
	centre   tape.Value
	booked   int64 // until when control has been booked
	fence    tape.Value
	feet     footing
	catching bool // a kick has been caught in this moment; both choose what to do about it
}

// NewBout gives a bout to be set up.
func NewBout() *Bout { return &Bout{cal: kernel.NewCalendar(numSlots)} }

// Setup fixes what the next bouts have in common. Load the sides with the same rule set first.
func (b *Bout) Setup(rules *tape.RuleSet, world World) {
	b.Rules, b.World = rules, world
	b.area = newArea(rules.Area)
	b.world.measured, b.world.denied, b.world.lunging = logit(world.Measured), logit(world.Denied), logit(world.Lunging)
	b.world.busy, b.world.drawn, b.world.squared, b.world.open = logit(world.Busy), logit(world.Drawn), logit(world.Squared), logit(world.Open)
	for m := range b.logit {
		b.logit[m] = logit(world.Intercepts[m])
	}
	b.chin = int32(scale(1, world.Chin))
}

// Run plays the bout of that key (seed, draw, bout) and returns its outcome.
func (b *Bout) Run(key kernel.Key) Outcome {
	b.key = key
	b.Events = b.Events[:0]
	b.over, b.verdict, b.cards, b.rounds = false, Verdict{}, [3][2]int{}, b.rounds[:0]
	for c := range b.men {
		b.men[c] = man{southpaw: b.Sides[c].Body.Southpaw, stamina: fullTank}
	}
	for b.round = 1; b.round <= b.Rules.Rounds && !b.over; b.round++ {
		b.playRound()
	}
	if !b.over {
		b.decide()
	}
	return b.outcome()
}

// playRound plays from bell to bell.
func (b *Bout) playRound() {
	b.startRound()
	for !b.over {
		slot, at := b.cal.Next()
		b.now = at
		switch slot {
		case slotPhase, slotPhase + 1:
			b.phaseEnds(slot - slotPhase)
		case slotReact, slotReact + 1:
			b.react(slot - slotReact)
		case slotTick, slotTick + 1:
			b.tick(slot - slotTick)
		case slotReferee:
			b.referee()
		case slotBell:
			b.endRound()
			return
		}
	}
}

// startRound sends the two to their places, two metres apart in the middle.
func (b *Bout) startRound() {
	b.cal.Reset()
	b.feet = footing{}
	b.booked = 0
	b.now, b.mode, b.centre, b.fence = 0, standing, tape.NoValue, tape.NoValue
	roundKey := b.key.With(uint64(b.round))
	for c := range b.men {
		m := &b.men[c]
		m.at = point{int32(2*c-1) * 1000, 0}
		m.phase, m.lastContact, m.seen, m.score, m.unanswered, m.knockdowns = free, -1e9, pending{row: -1}, 0, 0, 0
		m.taken, m.attacks, m.control = false, 0, 0
		m.against = -1
		m.measured, m.denied, m.hurt, m.squared, m.drawnUntil, m.armsBusy, m.engaged, m.knee, m.caught, m.balanced = 0, 0, 0, 0, 0, 0, 0, 0, 0, 0
		m.lastAct, m.lastResult, m.restedAt = lastNone, resultNone, 0
		m.zone = fighter.NumZones
		m.ticks = newTickers(roundKey.With(uint64(c)), b.Script.ticksFor(c, b.Sides[c].quick))
		m.luckKey, m.beat, m.ordinal = roundKey.With(uint64(c)+2), 0, 0
		b.cal.Schedule(slotTick+c, m.ticks.at())
	}
	b.cal.Schedule(slotBell, int64(b.Rules.RoundSeconds)*1e6)
	b.locate()
}

// beatLength is how long choices are counted before two bouts that have parted meet the same luck again, µs. Shorter, and what is done a
// little earlier or later under a plan meets other luck; longer, and one choice more or less shifts all that follow. Correlation of
// winning for five plans of the demo (bench/bouts) by beat: at every tick .12 .13 .18 .09 .12; 0.125 s .28 .19 .15 .15 .10; 0.5 s .31
// .24 .16 .16 .10; 1 s .33 .22 .20 .18 .08; 5 s .28 .22 .21 .17 .07; 30 s .20 .15 .15 .13 .04; each ± .02.
const beatLength = 1_000_000

// fate gives the stream of the fighter's next choice and act: by the beat of the round, and counted in it.
func (b *Bout) fate(c int) kernel.Stream {
	m := &b.men[c]
	if beat := uint64(b.now) / beatLength; beat != m.beat {
		m.beat, m.ordinal = beat, 0
	}
	s := m.luckKey.With(m.beat).With(m.ordinal).Stream()
	m.ordinal++
	return s
}

// luckOf draws the numbers of an act; a moment at which nothing is chosen never needs them.
func luckOf(s *kernel.Stream) (l luck) {
	for i := range l {
		l[i] = s.Uint64()
	}
	return l
}

// emit writes an event down and returns its place.
func (b *Bout) emit(e tape.Event) int {
	e.Clock, e.Round = b.now, uint8(b.round)
	b.Events = append(b.Events, e)
	return len(b.Events) - 1
}

// locate works out both zones, the centre and the fence after somebody has moved, and writes down what changed.
func (b *Bout) locate() {
	b.tellMoved()
	d := gap(b.men[0].at, b.men[1].at)
	for c := range b.men {
		m, s := &b.men[c], &b.Sides[c]
		zone := fighter.Out
		switch {
		case b.mode == clinched:
			zone = fighter.Clinch
		case b.mode == grounded && b.top == c:
			zone = fighter.Top
		case b.mode == grounded:
			zone = fighter.Bottom
		case d <= s.pocket:
			zone = fighter.Pocket
		case d <= s.long:
			zone = fighter.Long
		case d <= s.kick:
			zone = fighter.Kicking
		}
		if zone != m.zone {
			m.zone = zone
			b.emit(tape.Event{Corner: tape.Corner(c), Act: tape.StateRange, Value: zoneValues[zone]})
		}
	}
	b.locateCentre()
}

var zoneValues = [fighter.NumZones]tape.Value{tape.Out, tape.Kicking, tape.Long, tape.Pocket, tape.Clinch, tape.Ground, tape.Ground}

// Centre margin and fence distance, mm: a coder calls the centre held when one is clearly nearer to it, and a back on the fence
// when there is no room for a step (judgements).
const (
	centreMargin = 400
	fenceRoom    = 600
)

func (b *Bout) locateCentre() {
	red, blue := root(square(b.men[0].at)), root(square(b.men[1].at))
	b.bookControl()
	centre := tape.Even
	if red+centreMargin < blue {
		centre = tape.Red
	} else if blue+centreMargin < red {
		centre = tape.Blue
	}
	if centre != b.centre {
		b.centre = centre
		b.emit(tape.Event{Corner: tape.NoCorner, Act: tape.StateCentre, Value: centre})
	}
	fence := tape.None
	if !b.area.hasRoom(b.men[0].at, fenceRoom) || !b.area.hasRoom(b.men[1].at, fenceRoom) {
		fence = tape.Red
		if b.area.room(b.men[1].at) < b.area.room(b.men[0].at) {
			fence = tape.Blue
		}
	}
	if fence != b.fence {
		b.fence = fence
		b.emit(tape.Event{Corner: tape.NoCorner, Act: tape.StateFence, Value: fence})
	}
}

// bookControl books the time since the last move to whoever was on top or held the middle.
func (b *Bout) bookControl() {
	d := b.now - b.booked
	b.booked = b.now
	switch {
	case b.mode == grounded:
		b.men[b.top].control += d
	case b.centre == tape.Red:
		b.men[0].control += d
	case b.centre == tape.Blue:
		b.men[1].control += d
	}
}
