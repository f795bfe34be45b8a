package calibrate

import (
	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// timing is one fighter's rescaled gaps in a bout, by bin, and acts by their setting, for every set, the coded set last.
type timing struct {
	corner tape.Corner
	rates  begins
	sets   []timed
	coded  []float64 // rescaled gaps of the coded set, in full
}

type timed struct {
	gaps     [timingBins]uint32
	settings [numSettings]uint32
}

// prepareTimes reads the coded side of those who were coded with their ranges.
func (b *auditBout) prepareTimes(draws int) {
	for c, p := range []*fighter.Profile{b.pair.Red, b.pair.Blue} {
		corner := tape.Corner(c)
		if !b.src.bout.Corners[corner] || !b.src.lookedFor(tape.StateRange) {
			continue
		}
		t := &timing{corner: corner, sets: make([]timed, draws+1)}
		centre := p.Centre()
		for z := range fighter.NumZones {
			for m := range tape.NumMoves {
				if m != tape.NoMove && fighter.Possible(z, m) && b.src.may(m) {
					a := centre[fighter.Initiate(z, m)]
					if t.rates.free[z] += a; m != tape.MoveStepBack {
						t.rates.fenced[z] += a
					}
				}
			}
		}
		t.read(b.src, b.fold, draws)
		b.times[c] = t
	}
}

// read counts the rescaled gaps and the settings of a set.
func (t *timing) read(s *source, f *fold, set int) {
	var gaps []float64
	expected := 0.0
	for i := range s.lights {
		if l := &s.lights[i]; f.audited[roundKey{s.bout.ID, l.round}] {
			v := viewOf(s, l, t.corner)
			more, sum := v.gaps(v.initiated(&t.sets[set].settings), &t.rates)
			gaps, expected = append(gaps, more...), expected+sum
		}
	}
	if expected == 0 {
		return
	}
	for i := range gaps {
		gaps[i] *= float64(len(gaps)) / expected
	}
	rescaled := infer.Rescale(gaps)
	if set == len(t.sets)-1 {
		t.coded = rescaled
	}
	for _, z := range rescaled {
		t.sets[set].gaps[min(int(z*timingBins), timingBins-1)]++
	}
}

func (t *timed) add(other *timed) {
	for i, n := range other.gaps {
		t.gaps[i] += n
	}
	for i, n := range other.settings {
		t.settings[i] += n
	}
}
