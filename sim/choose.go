package sim

import (
	"math/bits"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// choicePoint is the point an act came from.
type choicePoint = tactics.Point

// Script holds the choices of a bout in their order. A bout with a recording script appends to it; with a forcing one it takes
// every choice from it, whatever its plans say. Forced choices under no plan give the same bout, which is the proof that plans touch
// choices only.
type Script struct {
	Force   bool
	Choices []uint8
	next    int
	quick   [2]bool // who had quick ticks, at which something could be chosen
}

// ticksFor records or forces whether a fighter has quick ticks.
func (s *Script) ticksFor(c int, quick bool) bool {
	if s == nil {
		return quick
	}
	if !s.Force {
		s.quick[c] = quick
	}
	return s.quick[c]
}

// Rewind starts a script again from its first choice.
func (s *Script) Rewind() { s.next = 0 }

// Watcher is told of every choice: the point, the corner, the table it was made from and what was chosen; and of every strike that
// comes, just before it is settled. The hot path pays one comparison for it.
type Watcher interface {
	Chose(b *Bout, at tactics.Point, corner int, table *kernel.Table, chosen int)
	Landed(b *Bout, l *Landing)
}

// settle passes a choice through script and watcher.
func (b *Bout) settle(at tactics.Point, c int, t *kernel.Table, chosen int) int {
	if s := b.Script; s != nil {
		if !s.Force {
			s.Choices = append(s.Choices, uint8(chosen))
		} else if s.next < len(s.Choices) {
			chosen = int(s.Choices[s.next])
			s.next++
		} else {
			panic("sim: the script is shorter than the bout")
		}
	}
	if b.Watch != nil {
		b.Watch.Chose(b, at, c, t, chosen)
	}
	return chosen
}

// What besides the plan changes a table: the other is hurt (more attacks), or there is no room behind (no step back).
const (
	asIs uint8 = iota
	surging
	cornered
	isDown
	isCaught  // the own leg
	isHolding // the other's leg
	numStates
)

// choose picks an alternative at a point. u's upper half is the coin of adherence, its lower half the choice.
func (b *Bout) choose(at tactics.Point, c, row int, state uint8, u uint64) int {
	mask := b.rulesNow(at, c, high(u), nil)
	t := b.Sides[c].table(at, row, state, mask)
	if nothing, yes := t.Beyond(low(u)); yes {
		return b.settle(at, c, t, nothing) // most ticks
	}
	return b.settle(at, c, t, t.Pick(low(u)))
}

// rulesNow gives the rules of the fighter's plan that hold at this point and that the fighter manages to follow this time.
func (b *Bout) rulesNow(at tactics.Point, c int, coin uint32, threat *fighter.Threat) uint32 {
	s := &b.Sides[c]
	if s.Plan == nil || s.Plan.Rules(at) == 0 {
		return 0
	}
	tenths := b.composure(c)
	if uint64(coin) >= s.mostly*tenths/10 {
		return 0
	}
	facts := b.facts(c, threat)
	mask := s.Plan.Active(at, &facts)
	for rest := mask; rest != 0; rest &= rest - 1 {
		if rule := bits.TrailingZeros32(rest); uint64(coin) >= s.follow[rule]*tenths/10 {
			mask &^= 1 << rule
		}
	}
	return mask
}

// composure is how much of their adherence a fighter keeps, in tenths: nine when tired, six when hurt (judgements).
func (b *Bout) composure(c int) uint64 {
	switch {
	case b.isHurt(c):
		return 6
	case b.isTired(c):
		return 9
	}
	return 10
}

// choices keeps the tables that a side has needed under one draw.
type choices struct {
	plain  [][numStates]*kernel.Table // without rules, by row of all points
	index  map[uint64]int
	tables []*kernel.Table
	used   int
}

func (t *choices) reset() {
	if t.index == nil {
		t.index = map[uint64]int{}
	}
	if t.plain == nil {
		t.plain = make([][numStates]*kernel.Table, numRows)
	}
	clear(t.index)
	clear(t.plain)
	t.used = 0
}

// table gives the choice table of a point and row under the rules of mask, making it when first needed.
func (s *Side) table(at tactics.Point, row int, state uint8, mask uint32) *kernel.Table {
	if mask == 0 {
		if t := s.tables.plain[firstRow[at]+row][state]; t != nil {
			return t
		}
	}
	key := uint64(mask)<<16 | uint64(at)<<12 | uint64(state)<<8 | uint64(row)
	if i, ok := s.tables.index[key]; ok {
		return s.tables.tables[i]
	}
	if s.tables.used == len(s.tables.tables) {
		s.tables.tables = append(s.tables.tables, new(kernel.Table))
	}
	i := s.tables.used
	s.tables.used++
	s.tables.index[key] = i
	t := s.tables.tables[i]
	s.make(t, at, row, state, mask)
	if mask == 0 {
		s.tables.plain[firstRow[at]+row][state] = t
	}
	return t
}

func (s *Side) make(t *kernel.Table, at tactics.Point, row int, state uint8, mask uint32) {
	var weights [tape.NumMoves]float64
	w := s.Weights(weights[:], at, row, state)
	s.reweigh(w, at, mask)
	if state == surging || at == tactics.Initiate && row>>zoneBits > 0 {
		holdTo(w, Bound)
	}
	s.fill(t, at, w)
}

// holdTo scales rates down to a total: nobody begins more, however much the other is hurt and wherever they are.
func holdTo(w []float64, most float64) {
	total := 0.0
	for _, x := range w {
		total += x
	}
	if total <= most {
		return
	}
	for i := range w {
		w[i] *= most / total * (1 - 1e-12)
	}
}

// fill stores the weights; what a plan leaves nothing of means doing nothing (or, in defence, taking it).
func (s *Side) fill(t *kernel.Table, at tactics.Point, w []float64) {
	var err error
	if at == tactics.Initiate {
		err = t.SetRates(w, Bound)
	} else if err = t.Set(w); err == kernel.ErrNoWeight {
		nothing := make([]float64, len(w))
		nothing[nothingAt(at)] = 1
		err = t.Set(nothing)
	}
	if err != nil && s.err == nil {
		s.err = err
	}
}

func nothingAt(at tactics.Point) int {
	switch at {
	case tactics.Defend:
		return int(fighter.Absorb)
	case tactics.Survive:
		return int(fighter.SurviveShell)
	}
	return int(tape.NoMove)
}

// Weights copies a table's weights as usual, without any plan, into out and returns the part used. Rows are as in habit.go.
func (s *Side) Weights(out []float64, at tactics.Point, row int, state uint8) []float64 {
	switch at {
	case tactics.Initiate:
		w, z := out[:tape.NumMoves], fighter.Zone(row&(1<<zoneBits-1))
		copy(w, s.rates[z][:])
		s.put(w, z, row>>zoneBits)
		if state == surging {
			by := s.surgeIn(w)
			for m := range w {
				if tape.Move(m).IsStrike() {
					w[m] *= by
				}
			}
		}
		return w
	case tactics.Answer, tactics.Continue:
		w := out[:tape.NumMoves]
		if state == isHolding {
			clear(w)
			for h, x := range s.holds {
				w[holdMoves[h]] = x
			}
			return w
		}
		exchange, after := row&(1<<exchangeBits-1), row>>exchangeBits
		by := s.follows[after]
		if at == tactics.Answer {
			copy(w, s.answers[exchange][:])
			by = s.replies[after]
		} else {
			copy(w, s.carries[exchange][:])
		}
		for m := range w {
			if tape.Move(m) != tape.NoMove {
				w[m] *= by
			}
		}
		if state == cornered {
			w[tape.MoveStepBack] = 0
		}
		return w
	case tactics.Defend:
		w := out[:fighter.NumResponses]
		copy(w, s.defends[row][:])
		if state == cornered {
			w[fighter.StepBack] = 0
		}
		return w
	case tactics.Survive:
		w := out[:fighter.NumSurvivals]
		for v, x := range s.survives {
			w[v] = 0
			if survivesIn(fighter.Survival(v), state) {
				w[v] = x
			}
		}
		return w
	}
	panic("sim: no table at this choice point")
}

// surgeIn is how much more often a fighter strikes at an opponent who is hurt: as much as they surge, but not beyond what slow ticks can
// carry, since a body begins no more than about three acts a second.
func (s *Side) surgeIn(w []float64) float64 {
	strikes, rest := 0.0, 0.0
	for m, r := range w {
		if tape.Move(m).IsStrike() {
			strikes += r
		} else {
			rest += r
		}
	}
	return s.surgeOver(strikes, rest)
}

func (s *Side) surgeOver(strikes, rest float64) float64 {
	if strikes == 0 {
		return 1
	}
	return max(min(s.surge, (slow-rest)/strikes), 1)
}

// survivesIn reports whether a way to survive is open to somebody hurt on their feet, on the floor, or with a leg caught.
func survivesIn(v fighter.Survival, state uint8) bool {
	switch v {
	case fighter.SurviveFrame, fighter.SurviveHop, fighter.SurvivePullFree:
		return state == isCaught
	case fighter.SurviveSwingBack, fighter.SurviveTieUp:
		return state != isDown
	case fighter.SurviveMoveAway, fighter.SurviveFence:
		return state == asIs
	case fighter.SurviveGetUp, fighter.SurviveStayDown:
		return state == isDown
	}
	return state != isCaught // shell
}

// holdMoves are the moves that holding a leg is told in: a drive is a push, letting go is nothing.
var holdMoves = [fighter.NumHolds]tape.Move{
	fighter.HoldDrive: tape.MovePush, fighter.HoldLetGo: tape.NoMove, fighter.HoldPunch: tape.MoveCross, fighter.HoldSweep: tape.MoveSweep,
}
