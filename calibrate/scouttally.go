package calibrate

import (
	"slices"

	"whatbout/fighter"
	"whatbout/tape"
)

// stateWindow is how long after a range is entered, or a back is put on the fence, an act still counts as what was done there (a
// judgement; most fighters begin something every second).
const stateWindow = 2_000_000

// Clip is where to look: the moment at which a situation began.
type Clip struct {
	Bout  string // the tape's name
	Round uint8
	Clock int64 // µs since the bell
}

// scoutCount is how often an option was taken in a situation. Of a rate, of is minutes on the feet and rounds holds each round's count and
// minutes.
type scoutCount struct {
	did, of        float64
	rounds, during []float64
	clips          []Clip
}

// scoutTally counts every option in every situation.
type scoutTally struct {
	counts [situations][mostOptions]scoutCount
	clips  bool // whether to keep them
}

// add tallies a fighter's tape from one corner.
func (t *scoutTally) add(s *ScoutTape, corner tape.Corner) {
	own, their := s.Bout.Corners[corner], s.Bout.Corners[corner.Other()]
	for _, r := range scoutRounds(s, corner) {
		for i := range r.events {
			switch e := &r.events[i]; {
			case !r.standing(i) && e.Act != tape.StateRange:
			case e.Corner == corner && own && !e.Act.IsState():
				t.afterOwn(r, i)
			case e.Corner == corner.Other() && their && !e.Act.IsState():
				t.theirs(r, i, own)
			case e.Act.IsState() && own:
				t.state(r, i)
			}
		}
		if own {
			t.rates(r)
		}
	}
}

func (t *scoutTally) afterOwn(r *scoutRound, i int) {
	e := &r.events[i]
	if at, ok := ownStrike(e); ok && r.seen(e.Clock, e.Clock+e.ContinueEnds()) {
		t.act(at, r, e, r.continued(i))
	}
}

// theirs tallies what the other's act was met with: a bite or a defence stands in its own row, an answer in a later one.
func (t *scoutTally) theirs(r *scoutRound, i int, own bool) {
	e := &r.events[i]
	if e.Act.IsFeint() && r.seen(e.Clock, e.Clock) {
		t.defence(atFeint+int(e.Act-tape.FeintHand), r, e)
	}
	if attack, ok := attackMet(e); ok && r.seen(e.Clock, e.Clock) {
		t.defence(againstAct+attack, r, e)
	}
	if at, ok := theirAttack(e); ok && own && e.AnswerEnds() > 0 && r.seen(e.Clock, e.Clock+e.AnswerEnds()) && !r.busy(i) {
		t.act(at, r, e, r.answered(i))
	}
}

// state tallies the first act begun once the back is on the fence or a range is entered, while that lasts.
func (t *scoutTally) state(r *scoutRound, i int) {
	e := &r.events[i]
	at, ok := onFence, e.Act == tape.StateFence && e.Value == tape.Red+tape.Value(r.corner) && e.Clock > 0
	if e.Act == tape.StateRange && e.Clock > 0 {
		at, ok = entered(r.zones[i], r.zoneAfter(e, r.zones[i]))
	}
	if !ok {
		return
	}
	until := min(e.Clock+stateWindow, r.lasts(i))
	if r.seen(e.Clock, until) {
		t.act(at, r, e, r.begun(i, e.Clock-1, until))
	}
}

// act counts a next act, or nil for none, under every option that was looked for.
func (t *scoutTally) act(at int, r *scoutRound, e, next *tape.Event) {
	for k := range actOptions {
		o := &actOptions[k]
		if is, known := o.holds(next); known && o.looked(r.tape.Bout.LookedFor) {
			t.count(at, k, r, e, is)
		}
	}
}

// defence counts what a row says that was done about it, unless that is not known.
func (t *scoutTally) defence(at int, r *scoutRound, e *tape.Event) {
	if e.Defence <= tape.DefenceUnknown {
		return
	}
	for k, o := range scoutTable[at].kind.options() {
		t.count(at, k, r, e, slices.Contains(o.was, e.Defence))
	}
}

func (t *scoutTally) count(at, option int, r *scoutRound, e *tape.Event, is bool) {
	c := &t.counts[at][option]
	c.of++
	if is {
		c.did++
		t.clip(c, r, e)
	}
}

func (t *scoutTally) clip(c *scoutCount, r *scoutRound, e *tape.Event) {
	if t.clips {
		c.clips = append(c.clips, Clip{r.tape.Name, r.number, e.Clock})
	}
}

// rates adds a round's acts and minutes on the feet to the early or late rounds.
func (t *scoutTally) rates(r *scoutRound) {
	at, ok := period(r.number, r.tape.Bout.RuleSet.Rounds)
	minutes := r.minutesStanding()
	if !ok || minutes == 0 {
		return
	}
	for k, o := range perMinute.options() {
		if !o.looked(r.tape.Bout.LookedFor) {
			continue
		}
		c := &t.counts[at][k]
		n := 0.0
		for i := range r.events {
			e := &r.events[i]
			if is, known := o.holds(e); is && known && r.ownAct(e) && r.standing(i) && r.seen(e.Clock, e.Clock) {
				n++
				t.clip(c, r, e)
			}
		}
		c.did, c.of = c.did+n, c.of+minutes
		c.rounds, c.during = append(c.rounds, n), append(c.during, minutes)
	}
}

// minutesStanding is the time on the feet, coded and in sight.
func (r *scoutRound) minutesStanding() float64 {
	total, from := int64(0), int64(0)
	for i := range r.events {
		if r.standing(i) {
			total += r.visible(from, r.events[i].Clock)
		}
		from = r.events[i].Clock
	}
	if n := len(r.events); n > 0 && r.zoneAfter(&r.events[n-1], r.zones[n-1]) <= fighter.Pocket {
		total += r.visible(from, r.end)
	}
	return float64(total) / 60e6
}
