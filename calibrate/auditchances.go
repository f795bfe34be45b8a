package calibrate

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// chances are how many strikes of each kind each corner of a bout tried, and how many of them landed clean, by set, the coded set last.
type chances struct {
	sets [][2][tape.NumMoves]tries
}

type tries struct{ tried, landed uint16 }

// prepareChances reads the coded side where results were looked for.
func (b *auditBout) prepareChances(draws int) {
	if !b.src.bout.LookedFor[tape.GroupResults] {
		return
	}
	b.chances = &chances{make([][2][tape.NumMoves]tries, draws+1)}
	b.chances.read(b.src, b.fold, draws)
}

// read counts the strikes of a set of which the result was seen.
func (c *chances) read(s *source, f *fold, set int) {
	for i := range s.events {
		e := &s.events[i]
		if !e.Act.IsStrike() || e.Result == tape.ResultUnknown || e.Result == tape.ResultUncoded || !f.audited[roundKey{s.bout.ID, e.Round}] || !s.isAct(i) {
			continue
		}
		t := &c.sets[set][e.Corner][tape.MoveOf(e.Act, e.Value)]
		t.tried++
		if e.Result.IsClean() {
			t.landed++
		}
	}
}

// worthFamily is how many strikes the share of a move's family counts for, where the move itself is rare.
const worthFamily = 10

// forecast gives the chance of each corner's moves to land: their share over all sets, the coded one being one of them.
func (c *chances) forecast() (out [2][tape.NumMoves]float64) {
	for corner := range out {
		var moves [tape.NumMoves][2]float64
		var families [fighter.NumFamilies][2]float64
		for s := range c.sets {
			for m, t := range c.sets[s][corner] {
				moves[m][0], moves[m][1] = moves[m][0]+float64(t.tried), moves[m][1]+float64(t.landed)
			}
		}
		for m := range moves {
			if f, ok := fighter.FamilyOf(tape.Move(m).Act()); ok {
				families[f][0], families[f][1] = families[f][0]+moves[m][0], families[f][1]+moves[m][1]
			}
		}
		for m := range moves {
			if f, ok := fighter.FamilyOf(tape.Move(m).Act()); ok && families[f][0] > 0 {
				share := families[f][1] / families[f][0]
				out[corner][m] = (moves[m][1] + worthFamily*share) / (moves[m][0] + worthFamily)
			}
		}
	}
	return out
}

// stated lists a set's strikes, each with its forecast and whether it landed.
func (c *chances) stated(forecast *[2][tape.NumMoves]float64, set int, chance []float64, landed []bool) ([]float64, []bool) {
	for corner := range forecast {
		for m, t := range c.sets[set][corner] {
			for i := range t.tried {
				chance, landed = append(chance, forecast[corner][m]), append(landed, i < t.landed)
			}
		}
	}
	return chance, landed
}
