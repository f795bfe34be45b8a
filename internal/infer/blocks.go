package infer

import "math/rand/v2"

// TimeAgreement is how far two coders agree on a state over time.
type TimeAgreement struct {
	Share Coefficient `json:"share"` // of the time on which both have the same state; chance plays no part (Expected is 0)
	Kappa Coefficient `json:"kappa"`
	Alpha Coefficient `json:"alpha"` // nominal; over time there are infinitely many units, in the limit of which alpha is Scott's pi
	AC1   Coefficient `json:"ac1"`
}

// OverBlocks is agreement by time: a block holds the time spent in each pair of states in one stretch of the bout. Moments close to each
// other are not independent, so bounds are bootstrap percentiles over whole blocks (Künsch 1989, Ann. Stat. 17, 1217–1241, with
// blocks that do not overlap); blocks must be long against the states' own spells. Count is the blocks. All blocks have the same codes.
func OverBlocks(blocks []Crosstab, level float64, resamples int, src rand.Source) TimeAgreement {
	all := sumOf(blocks, nil)
	if len(all) == 0 || all.Total() == 0 {
		none := coefficient(0, 0, 0, level, "block bootstrap")
		return TimeAgreement{none, none, none, none}
	}
	n := float64(len(blocks))
	point := overTime(all)
	names := [4]string{"share of time", "Cohen's kappa by time", "Krippendorff's alpha by time, nominal", "Gwet's AC1 by time"}
	var out [4]Coefficient
	var samples [4][]float64
	for i := range out {
		out[i] = coefficient(point.observed, point.expected[i], n, level, names[i]+", block bootstrap")
	}
	bootstrap(len(blocks), resamples, src, func(pick []int) (float64, bool) {
		t := sumOf(blocks, pick)
		if t.Total() == 0 {
			return 0, false
		}
		at := overTime(t)
		for i, pe := range at.expected {
			if 1-pe > 1e-12 {
				samples[i] = append(samples[i], (at.observed-pe)/(1-pe))
			}
		}
		return 0, true
	})
	for i := range out {
		if out[i].Defined {
			out[i].Apart = differing(blocks)
			out[i].percentile(samples[i], resamples)
		}
	}
	return TimeAgreement{out[0], out[1], out[2], out[3]}
}

// differing counts the blocks in which coders differ at all.
func differing(blocks []Crosstab) (n float64) {
	for _, t := range blocks {
		off := t.Total()
		for i := range t {
			off -= t[i][i]
		}
		if off > 1e-12 {
			n++
		}
	}
	return n
}

// sumOf adds up the picked blocks, or all.
func sumOf(blocks []Crosstab, pick []int) Crosstab {
	if len(blocks) == 0 {
		return nil
	}
	t := NewCrosstab(len(blocks[0]))
	if pick == nil {
		for _, b := range blocks {
			t.Add(b)
		}
	}
	for _, i := range pick {
		t.Add(blocks[i])
	}
	return t
}

// chances is observed agreement, and what each of the four coefficients takes for chance.
type chances struct {
	observed float64
	expected [4]float64
}

func overTime(t Crosstab) (c chances) {
	cells, rows, columns, _ := t.shares()
	for i := range cells {
		c.observed += cells[i][i]
		both := (rows[i] + columns[i]) / 2
		c.expected[1] += rows[i] * columns[i]
		c.expected[2] += both * both
		c.expected[3] += both * (1 - both) / float64(max(len(t)-1, 1))
	}
	if len(t) == 1 {
		c.expected[3] = 1 // one state: nothing that chance could get wrong
	}
	return c
}
