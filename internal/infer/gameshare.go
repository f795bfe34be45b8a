package infer

import "math/rand/v2"

// ShareDoubt says how far one plan's part in the best mixture hangs on which draws were played.
type ShareDoubt struct {
	Share Interval `json:"share"` // bootstrap percentile interval (Efron & Tibshirani 1993, chapter 13); Count is the draws
	Used  float64  `json:"used"`  // share of resamples whose best mixture has it
	Alone float64  `json:"alone"` // share of resamples in which it is the best mixture
}

// Shares solves the game again on samples of the draws with replacement. A share has no standard error worth the name: mixtures jump from
// one set of plans to another, which percentiles show and a normal interval does not.
func (d *DrawnGame) Shares(level float64, resamples int, src rand.Source) (rows, columns []ShareDoubt) {
	at := [2][][]float64{make([][]float64, len(d.Row)), make([][]float64, len(d.Column))}
	solved := bootstrap(len(d.draws), resamples, src, func(pick []int) (float64, bool) {
		g, err := SolveGame(meanPayoffs(d.draws, pick))
		if err != nil {
			return 0, false
		}
		note(at[0], g.Row)
		note(at[1], g.Column)
		return g.Value, true
	})
	return d.shareDoubts(d.Row, at[0], level, len(solved)), d.shareDoubts(d.Column, at[1], level, len(solved))
}

func note(at [][]float64, mix []float64) {
	for i, w := range mix {
		at[i] = append(at[i], w)
	}
}

func (d *DrawnGame) shareDoubts(mix []float64, at [][]float64, level float64, solved int) (out []ShareDoubt) {
	for i, w := range mix {
		s := ShareDoubt{Share: Interval{Level: level, Low: w, High: w, Centre: w, Kind: Confidence, Method: "bootstrap percentile over draws",
			Count: float64(len(d.draws))}}
		if solved < 2 {
			s.Share.warn("no resample could be solved: the bounds say nothing")
			out = append(out, s)
			continue
		}
		c := Central(at[i], level)
		s.Share.Low, s.Share.High = c.Low, c.High
		s.Used, s.Alone = Parts(at[i])
		out = append(out, s)
	}
	return out
}

// Parts counts how often a share is above none, and how often it is all.
func Parts(shares []float64) (used, alone float64) {
	for _, x := range shares {
		used += is(x > 0)
		alone += is(x == 1)
	}
	return used / float64(len(shares)), alone / float64(len(shares))
}

func is(x bool) float64 {
	if x {
		return 1
	}
	return 0
}
