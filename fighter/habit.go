package fighter

import "whatbout/tape"

// Place is what besides the own range changes how often acts are begun on the feet. Several may hold at once; their multiples multiply.
type Place uint8

// The places. A stance match-up is one, too: who stands in the other stance is met from elsewhere.
const (
	OwnFence   Place = iota // the own back on the fence
	TheirFence              // the other's
	OwnCentre               // nearer the centre than the other by a margin
	TheirCentre
	OpenStance // the lead feet on the same side of the area
	NumPlaces
)

var placeNames = [NumPlaces]string{"own_fence", "their_fence", "own_centre", "their_centre", "open_stance"}

func (p Place) String() string { return placeNames[p] }

// Sort groups the acts that a place makes more or less frequent together, so that a few rounds of tape can tell something of them.
type Sort uint8

// The sorts.
const (
	Forward  Sort = iota // steps in and cutting off
	Back                 // steps back; of those with the own back on the fence tape tells nothing
	Circling             // to either side
	HandWork             // measuring, hand-fighting, a long guard, a raised knee
	Feints
	Punches // elbows too
	Kicks   // knees too
	Grapples
	NumSorts
)

var sortNames = [NumSorts]string{"forward", "back", "circle", "hand_work", "feint", "punch", "kick", "grapple"}

func (s Sort) String() string { return sortNames[s] }

// SortOf gives the sort of a move that is begun on the feet; a switch of stance, and what belongs to clinch and ground alone, has none.
func SortOf(m tape.Move) (Sort, bool) {
	a := m.Act()
	switch {
	case m == tape.NoMove || a == tape.GroundStrike:
		return 0, false
	case a == tape.StepIn || a == tape.CutOff:
		return Forward, true
	case a == tape.StepBack:
		return Back, true
	case a == tape.Circle:
		return Circling, true
	case a == tape.Measure || a == tape.HandFight || a == tape.LongGuard || a == tape.RaiseKnee:
		return HandWork, true
	case a.IsFeint():
		return Feints, true
	case a >= tape.FrontKick && a <= tape.Knee:
		return Kicks, true
	case a.IsStrike():
		return Punches, true
	case a == tape.Shoot || a == tape.TieUp:
		return Grapples, true
	}
	return 0, false
}

// After is what somebody has just done, as far as it changes how often it is followed: by themselves at the continue point, by the other at
// the answer point. A punch is what others are held against.
type After uint8

// What was just done. Knees count as kicks, elbows and takedowns as punches, a raised knee and a switch of stance as steps.
const (
	AfterPunch After = iota
	AfterStep
	AfterHandWork
	AfterFeint
	AfterKick
	NumAfters
)

var afterNames = [NumAfters]string{"punch", "step", "hand_work", "feint", "kick"}

func (a After) String() string { return afterNames[a] }

// AfterOf gives what an act counts as once it is over.
func AfterOf(a tape.Act) After {
	switch {
	case a.IsFeint():
		return AfterFeint
	case a >= tape.FrontKick && a <= tape.Knee:
		return AfterKick
	case a.IsAttack():
		return AfterPunch
	case a == tape.Measure || a == tape.HandFight || a == tape.LongGuard || a == tape.TieUp:
		return AfterHandWork
	}
	return AfterStep
}

// Placed gives the multiple on how often acts of a sort are begun there, against elsewhere at the same range.
func Placed(p Place, s Sort) Figure { return placeBase + Figure(p)*Figure(NumSorts) + Figure(s) }

// Follows gives the multiple on the odds of doing something at the continue point rather than nothing, after an own act of that kind instead
// of a punch. It panics for AfterPunch, which has none.
func Follows(a After) Figure { return afterFigure(ownBase, a) }

// Replies gives the multiple on the odds of doing something at the answer point rather than nothing, after a feint or a kick of the other's
// instead of a punch; only these have one.
func Replies(a After) Figure {
	if a < AfterFeint {
		panic("fighter: no multiple for what is answered")
	}
	return theirBase + Figure(a-AfterFeint)
}

func afterFigure(base Figure, a After) Figure {
	if a == AfterPunch || a >= NumAfters {
		panic("fighter: no multiple after a punch")
	}
	return base + Figure(a-1)
}
