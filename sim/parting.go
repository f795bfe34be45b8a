package sim

import (
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// Two bouts on the same luck are the same bout until somebody chooses differently: plans touch choices only, and moments at which nothing
// is begun leave no trace. So the first choice that differs is where they part.

// Decision is a choice at which something was chosen, with no word of what stood behind it; see [Choice].
type Decision struct {
	Round  uint8
	Clock  int64 // µs
	Corner int
	At     tactics.Point
	Chosen int
}

// Decisions is a watcher that keeps every decision of a bout in its order; of decision ticks only those at which something was begun.
type Decisions []Decision

// Chose keeps a decision.
func (d *Decisions) Chose(b *Bout, at tactics.Point, c int, _ *kernel.Table, chosen int) {
	if at != tactics.Initiate || chosen < int(tape.NumMoves) {
		*d = append(*d, Decision{uint8(b.round), b.now, c, at, chosen})
	}
}

// Landed does nothing.
func (d *Decisions) Landed(*Bout, *Landing) {}

// Part finds the first decision that is not the same in two bouts on the same luck, and reports false if there is none. Where only one of the
// two chose something at that moment, it is that one's.
func (d Decisions) Part(other Decisions) (Decision, bool) {
	i := 0
	for i < len(d) && i < len(other) && d[i] == other[i] {
		i++
	}
	switch {
	case i == len(d) && i == len(other):
		return Decision{}, false
	case i == len(d):
		return other[i], true
	case i == len(other) || !other[i].before(d[i]):
		return d[i], true
	}
	return other[i], true
}

// before orders decisions as bouts come to them: of one microsecond, decision ticks come last.
func (d Decision) before(e Decision) bool {
	switch {
	case d.Round != e.Round:
		return d.Round < e.Round
	case d.Clock != e.Clock:
		return d.Clock < e.Clock
	case (d.At == tactics.Initiate) != (e.At == tactics.Initiate):
		return e.At == tactics.Initiate
	}
	return d.Corner < e.Corner
}

// Glance is a watcher that keeps what stood behind the choice of one moment, also where nothing was begun. Choice stays nil if the bout never
// came to it: a plan that makes somebody busier looks at moments that nobody else needs to look at.
type Glance struct {
	Moment Decision // Chosen does not count
	Choice *Choice
}

// Chose keeps the choice if it is of that moment.
func (g *Glance) Chose(b *Bout, at tactics.Point, c int, table *kernel.Table, chosen int) {
	if m := &g.Moment; g.Choice == nil && at == m.At && c == m.Corner && b.now == m.Clock && b.round == int(m.Round) {
		choice := b.choice(at, c, table, chosen)
		g.Choice = &choice
	}
}

// Landed does nothing.
func (g *Glance) Landed(*Bout, *Landing) {}

// shows is how long after a choice its act is on the tape at the latest, µs (the slowest act takes less).
const shows = 2_000_000

// Row gives the place on the tape of the act that a choice began, or, of a belief or a defence, of the act that it was about; -1 if there is
// none: nothing was begun, or it was cut off.
func (c *Choice) Row(events []tape.Event) int {
	for i := range events {
		e := &events[i]
		if e.Round != c.Round || e.Clock < c.Clock || e.Clock > c.Clock+shows || e.Corner == tape.NoCorner {
			continue
		}
		own := int(e.Corner) == c.Corner
		if c.At == tactics.Believe || c.At == tactics.Defend {
			if !own && (e.Act.IsAttack() || e.Act.IsFeint()) {
				return i
			}
		} else if own && c.Name() != "" && c.begins(e.Act) {
			return i
		}
	}
	return -1
}
