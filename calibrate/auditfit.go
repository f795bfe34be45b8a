package calibrate

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"whatbout/internal/infer"
)

// Verdicts of a group.
const (
	Fits      = "fits"
	DoesNot   = "does not fit"
	TooLittle = "too little tape to tell"
)

// auditLevel is the chance that an audit calls any of its groups wrong when the model is right: .05, shared among the groups.
const auditLevel = .05

// AuditVerdict is the verdict on a group of figures. Its p value takes no approximation, whatever figures and rounds have in common: if the model is
// right, the coded tape is one more draw among the simulated ones, so that the rank of any statistic among theirs is uniform (Besag &
// Clifford 1989, Biometrika 76, 633–642). Two statistics are ranked, and then the smaller of both ranks: by how much totals over rounds,
// by fighter and figure, lie off (a squared distance by their own covariance), and how far the PIT (not randomised: Czado, Gneiting & Held 2009)
// leaves the diagonal.
//
// It is exact for profiles that know nothing of the rounds audited; where they were made from these rounds the model is called wrong
// less often than that, and with a bout held back the rank is approximate, since the forecasts of bouts then rest on each other.
//
//   - does not fit: P is at most .05 over the number of groups audited;
//   - too little tape to tell: otherwise, if less than half of the totals are telling;
//   - fits: otherwise.
//
// A total is telling if half of what the model expects would lie outside its 90 % interval.
type AuditVerdict struct {
	Group   string       `json:"group"`
	Verdict string       `json:"verdict"`
	P       float64      `json:"p"`
	Level   float64      `json:"threshold"`
	Off     float64      `json:"p_totals"`
	Shape   float64      `json:"p_pit"`
	Totals  int          `json:"totals"`
	Telling int          `json:"telling"`
	Worst   []string     `json:"worst"` // the totals farthest outside their interval, at most three, as "fighter figure above"
	PIT     []AuditPoint `json:"pit"`
}

// AuditPoint is the mean PIT of a group at U, with the band in which 90 % of the draws have theirs there.
type AuditPoint struct {
	U    float64 `json:"u"`
	PIT  float64 `json:"pit"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

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

// AuditCover is how many coded values lie inside their forecast's intervals. Expected is what the draws themselves do: more than the
// level where counts are small.
type AuditCover struct {
	Group    string         `json:"group"` // "all" of all
	Level    float64        `json:"level"`
	Expected float64        `json:"expected"`
	Share    infer.Interval `json:"share"` // Wilson 95 %, as if cells were independent, which those of one round are not
}

// judge fills verdicts, totals and coverage.
func (a *Audit) judge(cells []*cell) {
	byGroup := map[string][]*cell{}
	for _, c := range cells {
		byGroup[c.Group] = append(byGroup[c.Group], c)
	}
	for _, g := range AuditGroups {
		if len(byGroup[g]) > 0 {
			a.Verdicts = append(a.Verdicts, a.verdict(g, byGroup[g], auditLevel/float64(len(byGroup))))
			a.cover(g, byGroup[g])
		}
	}
	a.cover("all", cells)
}

func (a *Audit) verdict(group string, cells []*cell, level float64) AuditVerdict {
	totals := totalsOf(cells)
	v := AuditVerdict{Group: group, Level: level, Worst: worst(totals)}
	for i := range totals {
		v.Totals++
		if totals[i].Telling {
			v.Telling++
		}
	}
	a.Totals = append(a.Totals, totals...)
	off := tailRanks(offness(totals))
	var shapes []float64
	v.PIT, shapes = pits(cells)
	shape := tailRanks(shapes)
	both := make([]float64, len(off))
	for i := range both {
		both[i] = -min(off[i], shape[i])
	}
	last := len(both) - 1
	v.Off, v.Shape, v.P = off[last], shape[last], tailRanks(both)[last]
	switch {
	case v.P <= level:
		v.Verdict = DoesNot
	case 2*v.Telling < v.Totals:
		v.Verdict = TooLittle
	default:
		v.Verdict = Fits
	}
	return v
}

// worst names the totals outside their 90 % interval, those with the most standard deviations first.
func worst(totals []AuditTotal) []string {
	type far struct {
		name string
		by   float64
	}
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
	slices.SortStableFunc(all, func(a, b far) int { return cmp.Compare(b.by, a.by) })
	names := []string{}
	for _, f := range all[:min(len(all), 3)] {
		names = append(names, f.name)
	}
	return names
}

// totalsOf adds cells up by fighter and figure.
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
	return out
}

// set gives a draw, or the coded value as the last of them.
func (c *cell) set(s int) float64 {
	if s < len(c.draws) {
		return c.draws[s]
	}
	return c.Coded
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

// ridge is added to the correlations of totals, some of which depend on each other wholly (shares of time add up to one).
const ridge = .05

// offness gives how far off every set's totals are, as a squared distance (Mahalanobis) by the sets' own covariance: what two fighters
// have in common, such as a fast round, hides less of what tells them apart.
func offness(totals []AuditTotal) []float64 {
	sets := len(totals[0].sets)
	var rows [][]float64
	for _, t := range totals {
		if z, ok := standardised(t.sets); ok {
			rows = append(rows, z)
		}
	}
	out := make([]float64, sets)
	if len(rows) == 0 {
		return out
	}
	r := mat.NewSymDense(len(rows), nil)
	for i := range rows {
		for j := i; j < len(rows); j++ {
			r.SetSym(i, j, floats.Dot(rows[i], rows[j])/float64(sets))
		}
		r.SetSym(i, i, r.At(i, i)+ridge)
	}
	var c mat.Cholesky
	if !c.Factorize(r) {
		panic("calibrate: correlations with a ridge are not positive definite")
	}
	z, solved := mat.NewVecDense(len(rows), nil), mat.NewVecDense(len(rows), nil)
	for s := range out {
		for i := range rows {
			z.SetVec(i, rows[i][s])
		}
		if err := c.SolveVecTo(solved, z); err != nil {
			panic("calibrate: " + err.Error())
		}
		out[s] = mat.Dot(z, solved)
	}
	return out
}

// standardised gives standard scores; false if all values agree.
func standardised(x []float64) ([]float64, bool) {
	mean, square := floats.Sum(x)/float64(len(x)), 0.0
	for _, v := range x {
		square += (v - mean) * (v - mean)
	}
	sd := math.Sqrt(square / float64(len(x)))
	if sd <= 1e-9*math.Abs(mean) {
		return nil, false
	}
	z := make([]float64, len(x))
	for i, v := range x {
		z[i] = (v - mean) / sd
	}
	return z, true
}

// tailRanks gives for every set the share of sets that are at least as far off: a p value each.
func tailRanks(x []float64) []float64 {
	sorted := slices.Sorted(slices.Values(x))
	out := make([]float64, len(x))
	for i, v := range x {
		below, _ := slices.BinarySearch(sorted, v-1e-9*math.Abs(v))
		out[i] = float64(len(x)-below) / float64(len(x))
	}
	return out
}

const pitPoints = 9

// pits gives the group's mean PIT at .1 to .9 with the band of the draws', and every set's largest distance from the diagonal.
func pits(cells []*cell) ([]AuditPoint, []float64) {
	sets := len(cells[0].draws) + 1
	fewer, atMost := make([][]float64, sets), make([][]float64, sets)
	for _, c := range cells {
		sorted := slices.Clone(c.draws)
		sorted = append(sorted, c.Coded)
		slices.Sort(sorted)
		for s := range sets {
			low, _ := slices.BinarySearch(sorted, c.set(s))
			high := low
			for high < sets && sorted[high] == c.set(s) {
				high++
			}
			fewer[s], atMost[s] = append(fewer[s], float64(low)/float64(sets)), append(atMost[s], float64(high)/float64(sets))
		}
	}
	points, far := make([]AuditPoint, pitPoints), make([]float64, sets)
	for i := range points {
		p := AuditPoint{U: float64(i+1) / (pitPoints + 1)}
		at := make([]float64, sets)
		for s := range at {
			at[s] = infer.PIT(fewer[s], atMost[s], p.U)
			far[s] = max(far[s], math.Abs(at[s]-p.U))
		}
		band := infer.Central(at[:sets-1], .9)
		p.PIT, p.Low, p.High = at[sets-1], band.Low, band.High
		points[i] = p
	}
	return points, far
}

func (a *Audit) cover(group string, cells []*cell) {
	for _, level := range []float64{.5, .9} {
		inside, expected := 0.0, 0.0
		for _, c := range cells {
			i := c.Forecast
			if level == .5 {
				i = c.Half
			}
			if i.Holds(c.Coded) {
				inside++
			}
			own := 0.0
			for _, x := range c.draws {
				if i.Holds(x) {
					own++
				}
			}
			expected += own / float64(len(c.draws))
		}
		n := float64(len(cells))
		a.Coverage = append(a.Coverage, AuditCover{Group: group, Level: level, Expected: expected / n, Share: infer.Wilson(inside, n, .95)})
	}
}
