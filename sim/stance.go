package sim

import "whatbout/tape"

// footing is by how much red's lead foot is outside blue's, mm; negative: blue's is. Two people turn to face each other, so that it
// halves every second.
type footing struct {
	at int64
	mm int32
}

// now gives what is left of it at a moment. Looking changes nothing: what a plan looks at must not leave a trace.
func (f footing) now(at int64) int32 {
	d := at - f.at
	mm := f.mm >> min(d/1e6, 31)
	return mm - int32(int64(mm)*(d%1e6)/2e6)
}

// footOutside is how far outside the other's a lead foot is when it counts (judgement), mm.
const footOutside = 120

// leadFoot gives 1 if the fighter's lead foot is outside the other's, -1 if it is inside, 0 if neither, and always 0 when both stand the
// same way: there the lead feet are not opposite each other.
func (b *Bout) leadFoot(c int) int {
	if b.men[0].southpaw == b.men[1].southpaw {
		return 0
	}
	mm := b.feet.now(b.now)
	if c == 1 {
		mm = -mm
	}
	switch {
	case mm > footOutside:
		return 1
	case mm < -footOutside:
		return -1
	}
	return 0
}

// stepAround moves the footing by a step to a side: towards the own lead side (left for an orthodox fighter) it is outwards.
func (b *Bout) stepAround(c int, move tape.Move, mm int32) {
	if (move == tape.MoveCircleLeft) == b.men[c].southpaw {
		mm = -mm
	}
	if c == 1 {
		mm = -mm
	}
	b.feet = footing{b.now, b.feet.now(b.now) + mm}
}

// stanceLogits: against the other stance the rear hand and kick run down the open side and the lead hands are in each other's way; the
// foot outside opens that side further, and the foot inside closes it (common practice, no source).
func (b *Bout) stanceLogits(c int) int32 {
	m := &b.men[c]
	if m.southpaw == b.men[1-c].southpaw || b.mode != standing {
		return 0
	}
	if b.limbOf(c) == tape.Rear {
		return b.world.open * int32(1+b.leadFoot(c))
	}
	return -b.world.open
}
