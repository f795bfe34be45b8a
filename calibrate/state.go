package calibrate

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// flag is one thing that held when an attempt came, and that makes it easier or harder in the engine, whoever is at it.
type flag uint8

const (
	busy      flag = iota // the other was in an own act, or not yet half back from it; after a lunge not yet back
	hurtOther             // the other was hurt
	lunging
	wide
	beaten   // a clean strike of the other's came while this one was on its way
	measured // the attacker had measured
	denied   // the attacker's lead hand had been taken away or was held off
	engaged  // the attacker's lead hand was in a fight for the hands
	reaching // the other's hand was
	knee     // the other's knee was up
	squared  // the other had squared up over a raised or attacked leg
	drawn    // the other's guard had been drawn to another height
	fenced   // the other's back was on the fence
	numFlags
)

// How long each holds after the row that says so, µs, as in the engine.
const (
	measuredLasts = 1_300_000
	deniedLasts   = 2_000_000
	longGuarded   = 500_000
	engagedLasts  = 1_000_000
	reachLasts    = 600_000
	measureReach  = 400_000
	guardReach    = 300_000
	kneeLasts     = 700_000
	squaredLasts  = 700_000
	drawnLasts    = 700_000
)

// remembered is how far back states begin, foreseen how far ahead the rows of acts lie that have begun: all but those on the ground.
const (
	remembered = hurtLasts
	foreseen   = 1_600_000
)

type flags uint16

func (f flags) has(k flag) bool { return f>>k&1 == 1 }

func (f *flags) put(k flag, holds bool) {
	if holds {
		*f |= 1 << k
	}
}

// standing is what the tape shows of the circumstances of an attempt. What was not looked for is unknown and not "no".
type standing struct {
	zone    fighter.Zone // the attacker's as it began, or unknown: by the time it comes, who fell in has another
	defence tape.Defence // what the other did, or DefenceUncoded
	holds   flags
	known   flags
	opens   int8 // the rear (1) or lead side (-1) against the other stance; 0 against the same and where it is not known
}

// lookFor gives the flags that a coding can tell of an attacker's corner: the rest nobody looked for.
func (s *source) lookFor(c tape.Corner) (known flags) {
	l, both := &s.bout.LookedFor, s.bout.Corners[c.Other()]
	known.put(busy, both && l[tape.GroupStrikes] && l[tape.GroupSteps])
	known.put(hurtOther, l[tape.GroupResults])
	known.put(beaten, both && l[tape.GroupResults])
	known.put(measured, l[tape.GroupSetups])
	known.put(denied, both && l[tape.GroupHandFights])
	known.put(engaged, l[tape.GroupHandFights])
	known.put(reaching, both && l[tape.GroupHandFights])
	known.put(knee, both && l[tape.GroupSetups])
	known.put(squared, both && l[tape.GroupSetups] && l[tape.GroupDefences])
	known.put(drawn, l[tape.GroupDefences])
	known.put(fenced, l[tape.GroupFence])
	return known
}

// setting is what a row leaves as it is.
type setting struct {
	opposite bool       // the two stand the other way round from each other; false where one's stance is not known
	fence    tape.Value // whose back is on the fence
}

// settings follows stances, from bout.yaml's on, and the fence through a coding.
func (s *source) settings() []setting {
	out := make([]setting, len(s.events))
	known := s.bodies[0] != nil && s.bodies[1] != nil
	var southpaw [2]bool
	for c, b := range s.bodies {
		southpaw[c] = b != nil && b.Southpaw
	}
	round, fence := uint8(0), tape.None
	for i := range s.events {
		e := &s.events[i]
		if e.Round != round {
			round, fence = e.Round, tape.None
		}
		switch {
		case e.Act == tape.StateFence:
			fence = e.Value
		case e.Act == tape.StateStance && e.Corner != tape.NoCorner:
			southpaw[e.Corner] = e.Value == tape.Southpaw
		}
		out[i] = setting{known && southpaw[0] != southpaw[1], fence}
	}
	return out
}

// stateOf reads the circumstances of the attempt in row i, which a light holds; v is the attacker's view of its round.
func (s *source) stateOf(i int, v *view, in setting) standing {
	e := &s.events[i]
	st := standing{zone: v.begun(e), known: s.lookFor(e.Corner)}
	if s.bout.LookedFor[tape.GroupDefences] && e.Defence != tape.DefenceUnknown {
		if st.defence = e.Defence; st.defence == tape.StrikeFirst { // which protects from nothing; what it does is that the other is busy
			st.defence = tape.DefenceNone
		}
	}
	if s.bout.LookedFor[tape.GroupHow] && e.How != tape.HowUncoded {
		st.known |= 1<<lunging | 1<<wide
		st.holds.put(lunging, e.How == tape.Lunging)
		st.holds.put(wide, e.How == tape.Wide)
	}
	st.holds.put(fenced, in.fence == tape.Red+tape.Value(e.Corner.Other()))
	if in.opposite && e.Act.IsStrike() && st.zone <= fighter.Pocket {
		st.opens = side(e.Limb)
	}
	for j := i - 1; j >= v.first && e.Clock-s.events[j].Clock < remembered; j-- {
		st.before(e, &s.events[j])
	}
	for j := i + 1; j < v.last && s.events[j].Clock-e.Clock < foreseen; j++ {
		o := &s.events[j]
		st.holds.put(busy, o.Corner == e.Corner.Other() && o.IsAct() && o.Onset() <= e.Clock)
	}
	st.holds &= st.known
	return st
}

// before takes in an earlier row of the round.
func (st *standing) before(e, o *tape.Event) {
	ago := e.Clock - o.Clock
	switch {
	case o.Corner == e.Corner:
		st.own(e, o, ago)
	case o.Corner != tape.NoCorner && o.IsAct():
		st.other(e, o, ago)
	}
}

// own takes in what the attacker did before, and what the other did about it.
func (st *standing) own(e, o *tape.Event, ago int64) {
	st.holds.put(hurtOther, o.Act.IsStrike() && o.Result >= tape.Hurt && o.Result <= tape.Stoppage)
	st.holds.put(measured, o.Act == tape.Measure && ago < measuredLasts)
	st.holds.put(engaged, o.Act == tape.HandFight && ago < engagedLasts)
	height, squares := guarded(o)
	st.holds.put(drawn, height != tape.NoValue && height != e.Value && ago < drawnLasts)
	st.holds.put(squared, squares && ago < squaredLasts)
}

// other takes in what the other did before.
func (st *standing) other(e, o *tape.Event, ago int64) {
	st.holds.put(busy, ago < o.Takes())
	st.holds.put(beaten, o.Act.IsStrike() && o.Result.IsClean() && o.Clock > e.Onset())
	switch o.Act {
	case tape.HandFight:
		st.holds.put(denied, o.Result == tape.Made && ago < deniedLasts)
		st.holds.put(reaching, ago < reachLasts)
	case tape.LongGuard:
		st.holds.put(denied, ago < longGuarded)
		st.holds.put(reaching, ago < guardReach)
	case tape.Measure:
		st.holds.put(reaching, ago < measureReach)
	case tape.RaiseKnee:
		st.holds.put(knee, ago < kneeLasts)
		st.holds.put(squared, ago < squaredLasts)
	}
}

// guarded says to which height a defence drew the guard, if to any, and whether it was made on one leg.
func guarded(o *tape.Event) (height tape.Value, squares bool) {
	switch o.Defence {
	case tape.Guard, tape.BrushDown, tape.Parry, tape.DefenceLongGuard:
		height = tape.Head
	case tape.Catch, tape.Sprawl, tape.Smother:
		height = tape.Body
	case tape.DefenceUncoded, tape.DefenceUnknown, tape.DefenceNone, tape.StrikeFirst:
		return tape.NoValue, false
	}
	switch fighter.ThreatOf(o.Act) {
	case fighter.LowKick, fighter.FrontKick, fighter.BodyKick:
		squares = o.Defence != tape.Flinch && o.Defence != tape.Struck
	}
	return height, squares
}

// whereabouts is a view with the fighter's zones alone.
func whereabouts(s *source, l *light, corner tape.Corner) *view {
	v := &view{light: l, src: s, corner: corner}
	v.locate()
	return v
}

// side says whether a strike against the other stance comes down the open side.
func side(l tape.Limb) int8 {
	switch l {
	case tape.Rear:
		return 1
	case tape.Lead:
		return -1
	}
	return 0
}
