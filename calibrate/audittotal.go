package calibrate

import (
	"cmp"
	"math"
	"slices"

	"whatbout/internal/infer"
)

// AuditTotal is a figure of one fighter over all audited rounds: a sum, of shares the mean weighted by known time.
type AuditTotal struct {
	Fighter  string         `json:"fighter"`
	Group    string         `json:"group"`
	Figure   string         `json:"figure"`
	Unit     string         `json:"unit"`
	Rounds   int            `json:"rounds"`
	Coded    float64        `json:"coded"`
	Forecast infer.Interval `json:"forecast"` // 90 %
	Fewer    float64        `json:"fewer"`
	AtMost   float64        `json:"at_most"`
	Telling  bool           `json:"telling"`

	sets []float64 // the coded one last
}

// totalsOf adds cells up by fighter and figure. What never happened, coded or drawn, is no total.
func totalsOf(cells []*cell) (out []AuditTotal) {
	type key struct{ fighter, figure string }
	at := map[key]int{}
	weights := []float64{}
	for _, c := range cells {
		k := key{c.Fighter, c.Figure}
		i, ok := at[k]
		if !ok {
			i, at[k] = len(out), len(out)
			out = append(out, AuditTotal{Fighter: c.Fighter, Group: c.Group, Figure: c.Figure, Unit: c.Unit, sets: make([]float64, len(c.draws)+1)})
			weights = append(weights, 0)
		}
		out[i].Rounds++
		weights[i] += c.weight()
		for s := range out[i].sets {
			out[i].sets[s] += c.weight() * c.set(s)
		}
	}
	for i := range out {
		out[i].finish(weights[i])
	}
	return slices.DeleteFunc(out, func(t AuditTotal) bool { return slices.Max(t.sets) == 0 })
}

func (t *AuditTotal) finish(weight float64) {
	if t.Unit == AuditShare {
		for s := range t.sets {
			t.sets[s] /= weight
		}
	}
	last := len(t.sets) - 1
	draws := t.sets[:last]
	t.Coded, t.Forecast = t.sets[last], infer.Central(draws, .9)
	t.Fewer, t.AtMost = rank(draws, t.Coded)
	t.Telling = t.Forecast.Centre/2 < t.Forecast.Low
}

// far is something outside its interval, and by how much.
type far struct {
	name string
	by   float64
}

// farthest names at most three, farthest first.
func farthest(all []far) []string {
	slices.SortStableFunc(all, func(a, b far) int { return cmp.Compare(b.by, a.by) })
	names := []string{}
	for _, f := range all[:min(len(all), 3)] {
		names = append(names, f.name)
	}
	return names
}

// worst names the totals outside their 90 % interval, those with the most standard deviations first.
func worst(totals []AuditTotal) []string {
	var all []far
	for i := range totals {
		t := &totals[i]
		if t.Forecast.Holds(t.Coded) {
			continue
		}
		side := " above"
		if t.Coded < t.Forecast.Low {
			side = " below"
		}
		by := math.Inf(1) // all draws agree
		if z, ok := standardised(t.sets); ok {
			by = math.Abs(z[len(z)-1])
		}
		all = append(all, far{t.Fighter + " " + t.Figure + side, by})
	}
	return farthest(all)
}
