package sim

import (
	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// Tracer is a watcher that keeps every choice at which something was chosen and every strike that came. It holds some megabytes a
// bout: one bout at a time.
type Tracer struct {
	Choices  []Choice
	Landings []Landing
}

// Chose keeps a choice; of decision ticks only those at which something was begun.
func (t *Tracer) Chose(b *Bout, at tactics.Point, c int, table *kernel.Table, chosen int) {
	if at == tactics.Initiate && chosen >= int(tape.NumMoves) {
		return
	}
	t.Choices = append(t.Choices, b.choice(at, c, table, chosen))
}

// Landed keeps a strike.
func (t *Tracer) Landed(_ *Bout, l *Landing) { t.Landings = append(t.Landings, *l) }

// Moment is one row of a bout with what led to it. What does not apply is nil.
type Moment struct {
	Event    *tape.Event
	Begun    *Choice // how it was chosen; nil: nobody chose it (what follows a caught kick)
	Believed *Choice // whether the other took it for real
	Defended *Choice // what the other then did
	Landing  *Landing
}

// clockStep is how clocks are shown, µs: a moment is found by the clock it was shown with.
const clockStep = 100_000

// Moment finds the last act of the round whose clock, cut to tenths of a second, is not past the one given (µs). events are those of
// the bout that was traced. It reports false if nothing had happened yet.
func (t *Tracer) Moment(events []tape.Event, round int, clock int64) (Moment, bool) {
	at := -1
	for i := range events {
		e := &events[i]
		if int(e.Round) == round && e.Clock/clockStep <= clock/clockStep && e.Corner != tape.NoCorner && (!e.Act.IsState() || e.Act == tape.StateStance) {
			at = i
		}
	}
	if at < 0 {
		return Moment{}, false
	}
	return t.MomentOf(&events[at]), true
}

// MomentOf finds what led to a row of the bout that was traced. What nobody did has no choice behind it.
func (t *Tracer) MomentOf(e *tape.Event) Moment {
	m := Moment{Event: e}
	if e.Corner == tape.NoCorner || e.Act.IsState() && e.Act != tape.StateStance {
		return m
	}
	m.Begun = t.begun(e)
	from, to := e.Clock-1_000_000, e.Clock
	if m.Begun != nil {
		from = m.Begun.Clock
	}
	if e.Act.IsFeint() {
		to += 1_000_000 // a bite may come after the feint's peak
	}
	for i := range t.Choices {
		c := &t.Choices[i]
		if c.Round != e.Round || c.Clock <= from || c.Clock > to {
			continue
		}
		if c.Corner == int(e.Corner) {
			if e.Act.IsFeint() && c.Clock > e.Clock {
				break // something new began, which the other sees instead
			}
			continue
		}
		switch c.At {
		case tactics.Believe:
			m.Believed = c
		case tactics.Defend:
			m.Defended = c
		}
	}
	for i := range t.Landings {
		if l := &t.Landings[i]; l.Round == e.Round && l.Clock == e.Clock && l.Corner == int(e.Corner) && e.Act.IsStrike() {
			m.Landing = l
		}
	}
	return m
}

// begun gives the choice that began an act: the fighter's last one before it, if that is what it began.
func (t *Tracer) begun(e *tape.Event) *Choice {
	var last *Choice
	for i := range t.Choices {
		c := &t.Choices[i]
		if c.Corner == int(e.Corner) && c.Round == e.Round && c.At != tactics.Believe && c.Clock < e.Clock {
			last = c
		}
	}
	if last != nil && last.begins(e.Act) {
		return last
	}
	return nil
}

// begins reports whether the choice can have begun the act.
func (c *Choice) begins(a tape.Act) bool {
	switch c.At {
	case tactics.Defend:
		return fighter.Response(c.Chosen) == fighter.StrikeFirst && a.IsStrike()
	case tactics.Survive:
		begins := map[fighter.Survival]tape.Act{fighter.SurviveTieUp: tape.TieUp, fighter.SurviveSwingBack: tape.Cross,
			fighter.SurviveMoveAway: tape.StepBack, fighter.SurviveGetUp: tape.GetUp}
		return begins[fighter.Survival(c.Chosen)] == a && a != tape.NoAct
	}
	return tape.Move(c.Chosen).Act() == a
}
