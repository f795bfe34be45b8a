package calibrate

import "gonum.org/v1/gonum/stat"

// stepTape is what one simulated tape shows of a fighter's steps.
type stepTape struct {
	moments [numMoments]float64
	spread  [numGaps]float64 // variance of a single gap, s²
}

// tapes are those simulated with one step.
type tapes []stepTape

// shownBy reads tape k, as a coder sees it who is always as late with steps.
func shownBy(m *motion, k int) (out stepTape) {
	out.moments = m.moments()
	for kind, late := range lateness(k) {
		out.moments[stepLags+kind] += late
		out.spread[kind] = m.gaps.variance(kind)
	}
	return out
}

func (t tapes) column(i int) []float64 {
	out := make([]float64, len(t))
	for k := range t {
		out[k] = t[k].moments[i]
	}
	return out
}

// gapVariance is the mean of the variances of a single gap, s².
func (t tapes) gapVariance(kind int) float64 {
	spread := make([]float64, len(t))
	for k := range t {
		spread[k] = t[k].spread[kind]
	}
	return stat.Mean(spread, nil)
}
