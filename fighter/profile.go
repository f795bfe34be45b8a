package fighter

import (
	"math"
	"slices"

	"whatbout/sim/kernel"
	"whatbout/tape"
)

// Source says where a figure's posterior comes from.
type Source uint8

// The sources.
const (
	FromPopulation Source = iota
	FromTape
	FromAssumption
)

var sourceNames = [3]string{"population", "tape", "assumption"}

func (s Source) String() string { return sourceNames[s] }

// Body is a fighter's build. Lengths in metres, weight in kilograms.
type Body struct {
	Stature, Span, Leg, Weight float64
	Southpaw                   bool
}

// Profile is what is known of one fighter.
type Profile struct {
	ID       string
	Body     Body
	Figures  []Posterior // by Figure
	Sources  []Source    // by Figure
	Seen     []float64   // by Figure: how many times the tape shows it
	Invented bool
	// JointFile is the file with the joint part of the skills (see [Joint]), slash-separated and relative to the profile's own file; "" if
	// they depend on nobody else's. Reading a profile does not open it.
	JointFile string
	// Population is that against which the tape was read: the zero value for the embedded one.
	Population PopulationID
	stands     *PopulationFile // that of Population, once it was given; see StandOn
	MadeFrom   MadeFrom
}

// Clone gives a copy whose figures may be changed.
func (p *Profile) Clone() *Profile {
	out := *p
	out.Figures, out.Sources, out.Seen = slices.Clone(p.Figures), slices.Clone(p.Sources), slices.Clone(p.Seen)
	return &out
}

// Draw gives draw k of the figures: everything drawn, or with assumptions at their centre (tape doubt alone; a figure that is an
// assumption until tape shows it, such as the step, is tape once its source says so). The key is
// (seed, k, fighter, figure): the same whatever the plan, the opponent and the number of workers.
func (p *Profile) Draw(seed, k uint64, assumptions bool) Draw {
	d := make(Draw, len(p.Figures))
	key := kernel.NewKey(seed, k, figureHash(p.ID))
	for f, post := range p.Figures {
		def := definitions[f]
		if def.Doubt == Assumption && p.Sources[f] != FromTape && !assumptions {
			d[f] = post.Mean(def.Law)
			continue
		}
		if def.Law != Skill && post.A == 0 {
			continue
		}
		src := key.With(figureKeys[f]).Stream()
		d[f] = round(post.draw(def.Law, &src))
	}
	return d
}

// Centre gives every figure at its centre.
func (p *Profile) Centre() Draw {
	d := make(Draw, len(p.Figures))
	for f, post := range p.Figures {
		d[f] = post.Mean(definitions[f].Law)
	}
	return d
}

// Reach is how far a fighter's limbs carry, between the two fighters' centres, in metres: the distances at which a shot with
// the feet under the body still arrives.
type Reach struct{ Hook, Straight, Kick float64 }

// Body parts behind the reach. Shoulder to fist is 0.38 and hip to heel 0.53 of stature (Winter, after Drillis and Contini, from
// memory); arms scale with the span, whose ratio to stature is 1.024 in the population (Kirk 2016). What trunk rotation, lean and
// the other's own depth add is a judgement.
const (
	armOfSpan   = 0.38 / 1.024
	trunkAdds   = 0.36
	hookShare   = 0.66
	kickAddsLeg = 0.42
)

// Reach gives the fighter's reach.
func (b Body) Reach() Reach {
	straight := float64(armOfSpan*b.Span) + trunkAdds
	return Reach{
		Hook:     float64(hookShare * straight),
		Straight: straight,
		Kick:     b.Leg + kickAddsLeg,
	}
}

// Check reports what is wrong with a body; an empty string means nothing.
func (b Body) Check() string {
	for _, x := range []float64{b.Stature, b.Span, b.Leg, b.Weight} {
		if math.IsNaN(x) || x <= 0 {
			return "stature, span and leg (m) and weight (kg) must all be positive"
		}
	}
	return ""
}

// Possible reports whether a move can be made at all in a zone.
func Possible(z Zone, m tape.Move) bool {
	switch z {
	case Clinch:
		switch m {
		case tape.MoveBreak, tape.MoveElbow, tape.MoveKnee, tape.MovePush, tape.MoveTrip, tape.MoveSweep, tape.MoveUppercut,
			tape.MoveLeadHook, tape.MoveRearHook, tape.MoveLeadHookBody, tape.MoveRearHookBody:
			return true
		}
		return false
	case Top:
		return m == tape.MoveGroundStrike || m == tape.MoveSubmission || m == tape.MoveGetUp
	case Bottom:
		return m == tape.MoveGroundStrike || m == tape.MoveSubmission || m == tape.MoveGetUp
	}
	switch m {
	case tape.MoveBreak, tape.MoveGetUp, tape.MoveGroundStrike, tape.MoveSubmission, tape.MovePush, tape.MoveTrip, tape.MoveSweep:
		return false
	}
	return true
}
