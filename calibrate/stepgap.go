package calibrate

import (
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// What a step came after.
const (
	afterStep = iota // it continued another step of the fighter's
	afterAct         // it continued any other own act
	inAnswer         // it answered an attack or a feint
	numGaps
)

// gaps adds up how late a fighter's steps end: the time from the clock of the row that a step is about to the clock of the step, beyond
// what usual fighters need for it. A step that continues another is the same to the coder at both ends, so that a coder who sees feet a
// little late is late twice and nothing is left of it.
type gaps struct{ n, sum, square [numGaps]float64 }

// add reads a round of a corner.
func (g *gaps) add(r *roundReader, c tape.Corner) {
	for i := r.light.first; i < r.light.last; i++ {
		e := &r.src.events[i]
		if e.Corner != c || !onFoot(e.Act) {
			continue
		}
		point, row := tape.Origin(r.src.events, i)
		if row < 0 {
			continue
		}
		about := &r.src.events[row]
		late := e.Clock - about.Clock - tape.MoveOf(e.Act, e.Value).UsualTime()
		switch {
		case point == tape.Answer:
			g.see(inAnswer, late-about.AnswerAt())
		case onFoot(about.Act):
			g.see(afterStep, late-about.Continues())
		default:
			g.see(afterAct, late-about.Continues())
		}
	}
}

// onFoot reports whether an act is one of the feet alone, which fighter.StepTime is about.
func onFoot(a tape.Act) bool {
	return a == tape.StepIn || a == tape.StepBack || a == tape.Circle || a == tape.CutOff
}

func (g *gaps) see(kind int, late int64) {
	s := float64(late) / 1e6
	g.n[kind]++
	g.sum[kind] += s
	g.square[kind] += s * s
}

func (g *gaps) total() float64 { return g.n[afterStep] + g.n[afterAct] + g.n[inAnswer] }

// mean is in seconds; of nothing 0.
func (g *gaps) mean(kind int) float64 {
	if g.n[kind] == 0 {
		return 0
	}
	return g.sum[kind] / g.n[kind]
}

// variance is that of a single gap, s²; of fewer than two 0.
func (g *gaps) variance(kind int) float64 {
	n := g.n[kind]
	if n < 2 {
		return 0
	}
	return max(g.square[kind]-g.sum[kind]*g.mean(kind), 0) / (n - 1)
}

// stepLate is the standard deviation, in seconds, of how late a coder writes down steps less how late everything else: a frame or two of
// video (judgement; nothing is published on it). The end of a step has no contact to look for.
const stepLate = .05

// lateness gives how late the coder of tape k is with steps, by what they came after.
func lateness(k int) (out [numGaps]float64) {
	key := kernel.NewKey(stepSeed, uint64(k)).With(0x6c617465).Stream()
	late := stepLate * float64(kernel.Normal(key.Uint32())) / kernel.NormalUnit
	return [numGaps]float64{afterAct: late, inAnswer: late}
}
