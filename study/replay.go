package study

import (
	"math"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// Replay is one bout as it was watched: its rows, what led to each, and where both stood at any clock. Watching changes nothing: rows and
// outcome are those of the bout itself. It grows with the acts of the bout, which [sim.Bound] and the rule set bound.
type Replay struct {
	Rules    *tape.RuleSet
	Reach    [2]Rings
	Southpaw [2]bool // at the first bell; rows of stance change it
	Events   []tape.Event
	Moments  []sim.Moment // of the rows, in their order
	Places   []Standing   // in the order of round and clock; the last of equal clocks holds
	Hurt     []Hurt       // in the order of round and clock
	Outcome  sim.Outcome
}

// Rings are the gaps between the two middles at which a fighter's own ranges end, mm: what a hook, a straight punch and a kick reach with
// the feet under the body.
type Rings struct{ Hook, Straight, Kick int32 }

// Standing is where both stood from this clock on. Both face each other at all times, as the engine has it.
type Standing struct {
	Round int
	Clock int64 // µs since the bell
	At    [2]sim.Place
}

// Hurt is a stretch for which a fighter counts as hurt, from the row that did it; a second one may begin within the first.
type Hurt struct {
	Round, Corner int
	From, Until   int64 // µs since the bell
}

// Replay plays the bout in memory of its own and keeps all that is needed to look at it again.
func (q *One) Replay() (*Replay, error) {
	b, w := sim.NewBout(), &replayWatch{}
	b.Watch = w
	o, err := q.Play(b)
	if err != nil {
		return nil, err
	}
	w.look(b, w.round, o.Verdict.Clock)
	for i := range w.hurt {
		w.hurt[i].From = hurtAt(b.Events, w.hurt[i])
	}
	r := &Replay{Rules: q.Rules, Events: b.Events, Places: w.places, Hurt: w.hurt, Outcome: o}
	for c, p := range [2]*fighter.Profile{q.Fighter, q.Opponent} {
		reach := p.Body.Reach()
		r.Reach[c] = Rings{Hook: wholeMM(reach.Hook), Straight: wholeMM(reach.Straight), Kick: wholeMM(reach.Kick)}
		r.Southpaw[c] = p.Body.Southpaw
	}
	for i := range r.Events {
		r.Moments = append(r.Moments, w.MomentOf(&r.Events[i]))
	}
	return r, nil
}

// wholeMM is the distance as bouts have it.
func wholeMM(metres float64) int32 { return int32(math.Round(metres * 1000)) }

// replayWatch is a [sim.Tracer] that also keeps places and who is hurt.
type replayWatch struct {
	sim.Tracer
	places []Standing
	hurt   []Hurt
	until  [2]int64 // latest seen
	round  int
}

// Chose keeps a choice; it comes after whatever hurt somebody.
func (w *replayWatch) Chose(b *sim.Bout, at tactics.Point, c int, table *kernel.Table, chosen int) {
	w.Tracer.Chose(b, at, c, table, chosen)
	_, round, clock := b.Where()
	w.look(b, round, clock)
}

// Moved keeps the places. Those of one clock are kept once, as they are when it is over.
func (w *replayWatch) Moved(b *sim.Bout) {
	at, round, clock := b.Where()
	w.look(b, round, clock)
	s := Standing{round, clock, at}
	if n := len(w.places); n > 0 {
		switch last := &w.places[n-1]; {
		case last.Round == round && last.At == at:
			return
		case last.Round == round && last.Clock == clock:
			last.At = at
			return
		}
	}
	w.places = append(w.places, s)
}

// look notes who has been hurt since the last look.
func (w *replayWatch) look(b *sim.Bout, round int, clock int64) {
	if round != w.round {
		w.round, w.until = round, [2]int64{}
	}
	for c := range w.until {
		if until := b.HurtUntil(c); until > w.until[c] {
			w.until[c] = until
			w.hurt = append(w.hurt, Hurt{Round: round, Corner: c, From: clock, Until: until})
		}
	}
}

// hurtAt is the clock of the row that hurt somebody: the latest one that did before it was seen.
func hurtAt(events []tape.Event, h Hurt) int64 {
	at := h.From
	for i := range events {
		e := &events[i]
		if int(e.Round) == h.Round && e.Clock <= h.From && int(e.Corner) == 1-h.Corner && e.Act.IsStrike() && e.Result >= tape.Hurt && e.Result <= tape.Stoppage {
			at = e.Clock
		}
	}
	return at
}
