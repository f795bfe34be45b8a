package tape

// ExchangeGap says what belongs to one exchange, µs: an exchange begins with an attack after at least this long without one by
// either, and ends when this long has passed since its last attack. Begin and end share one figure, because with two an attack
// could fall between. 1.5 s is a judgement: longer than the pauses inside a combination and its answer (Settle and the usual times
// to contact stay under 1.2 s together), shorter than the time in which two fighters who are out of range come back.
const ExchangeGap = 1_500_000

// opens reports whether an exchange may begin with the act: attacks on the feet and in the clinch, not strikes on the ground.
func opens(a Act) bool { return a.IsAttack() && a != GroundStrike }

// ExchangesOf derives what a coder at the level of exchanges would have written from the events of a full coding in tape order, by
// the rule at ExchangeGap. An attack is a strike or a takedown attempt on the feet, told by its clock (the moment of contact). Of
// each exchange, from its first attack to ExchangeGap after its last: clean hits are strikes on the feet whose result is clean,
// hurt, knockdown or stoppage; a corner gave ground that stepped back, or met an attack with step_back or a feint with gave_ground;
// the takedown is the last one that succeeded. What the events leave open stays open: a count is Uncoded when one of that corner's
// strikes has no known result, Gave and Takedown are SideUncoded when a defence or result that could change them is not known.
// Without exchanges the result is empty, not nil.
func ExchangesOf(events []Event) []Exchange {
	out := []Exchange{}
	for i := 0; i < len(events); {
		if !events[i].opensExchange() {
			i++
			continue
		}
		end := exchangeEnd(events, i)
		out = append(out, exchangeOf(events[i:end]))
		i = end
	}
	return out
}

func (e *Event) opensExchange() bool { return opens(e.Act) && e.Corner != NoCorner }

// exchangeEnd gives the first row after the exchange that begins in row i.
func exchangeEnd(events []Event, i int) int {
	first, last := &events[i], events[i].Clock
	for ; i < len(events) && events[i].Round == first.Round && events[i].Clock-last < ExchangeGap; i++ {
		if events[i].opensExchange() {
			last = events[i].Clock
		}
	}
	return i
}

// exchangeOf sums up rows of which the first is the first attack.
func exchangeOf(rows []Event) Exchange {
	first := &rows[0]
	x := Exchange{Round: first.Round, Clock: first.Clock, Led: first.Corner, First: first.Act}
	var gave [2]known3
	taken := SideNone
	for i := range rows {
		e := &rows[i]
		if e.Corner == NoCorner {
			continue
		}
		if e.Act == StepBack {
			gave[e.Corner] = yes3
		}
		if e.opensExchange() || e.Act.IsFeint() {
			gave[e.Corner.Other()] = max(gave[e.Corner.Other()], gaveTo(e.Defence))
		}
		if e.Act.IsStrike() && e.Act != GroundStrike {
			x.Clean[e.Corner] = addHit(x.Clean[e.Corner], e.Result)
		}
		if e.Act.IsTakedown() {
			taken = takenDown(taken, e)
		}
	}
	x.Gave, x.Takedown = sideOf(gave), taken
	return x
}

// known3 is what may be known to be so, known not to be so, or not known; what is known to be so outweighs what is not known.
type known3 uint8

const (
	no3 known3 = iota
	unknown3
	yes3
)

func gaveTo(d Defence) known3 {
	switch d {
	case DefenceStepBack, GaveGround:
		return yes3
	case DefenceUncoded, DefenceUnknown:
		return unknown3
	}
	return no3
}

func sideOf(gave [2]known3) Side {
	switch red, blue := gave[RedCorner], gave[BlueCorner]; {
	case red == unknown3 || blue == unknown3:
		return SideUncoded
	case red == yes3 && blue == yes3:
		return SideBoth
	case red == yes3:
		return SideRed
	case blue == yes3:
		return SideBlue
	}
	return SideNone
}

func addHit(n int, r Result) int {
	switch {
	case n == Uncoded || r == ResultUncoded || r == ResultUnknown:
		return Uncoded
	case r.IsClean():
		return min(n+1, maxClean)
	}
	return n
}

func takenDown(before Side, e *Event) Side {
	switch {
	case e.Result == TakenDown && e.Corner == RedCorner:
		return SideRed
	case e.Result == TakenDown:
		return SideBlue
	case before == SideNone && e.Result != Stuffed:
		return SideUncoded
	}
	return before
}
