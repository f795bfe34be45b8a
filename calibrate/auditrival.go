package calibrate

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/internal/infer"
)

// AuditRival holds the model against a plain rival on the counts of one group: a Poisson forecast with the fighter's own rate in the
// other audited rounds (with a bout held back: in other bouts). The score is the CRPS (Gneiting & Raftery 2007, J. Am. Stat. Assoc. 102,
// 359–378), in acts a figure and round. Less is the rival's less the model's: above 0 the model is better.
type AuditRival struct {
	Group   string         `json:"group"`
	Rounds  int            `json:"rounds"`
	Model   float64        `json:"model"`
	Rival   float64        `json:"rival"`
	Less    infer.Interval `json:"less"` // 95 %, by Student's t over rounds
	Verdict string         `json:"verdict"`
}

// roundKey names a coded round.
type roundKey struct {
	bout  string
	round uint8
}

// sums are what a fighter did of a figure, in how long.
type sums struct{ acts, seconds float64 }

// sumKey names what is summed: over all rounds, or with a bout over its rounds.
type sumKey struct {
	fighter, figure, bout string
}

// sumUp adds counts up by fighter and figure, over all and by bout.
func sumUp(cells []*cell) map[sumKey]sums {
	out := map[sumKey]sums{}
	for _, c := range cells {
		for _, bout := range []string{"", c.Bout} {
			k := sumKey{c.Fighter, c.Figure, bout}
			out[k] = sums{out[k].acts + c.Coded, out[k].seconds + c.Seconds}
		}
	}
	return out
}

// against compares by group; both fighters of a round are one observation, since what they do depends on each other.
func (a *Audit) against(cells []*cell, otherBouts bool) {
	all := sumUp(cells)
	for _, group := range []string{AuditActs, AuditClean, AuditBites} {
		var order []roundKey
		scores := map[roundKey]*infer.Pairs{}
		for _, c := range cells {
			if c.Group != group {
				continue
			}
			rate, ok := rateElsewhere(c, all, otherBouts)
			if !ok {
				continue
			}
			k := roundKey{c.Bout, c.Round}
			if scores[k] == nil {
				scores[k], order = &infer.Pairs{}, append(order, k)
			}
			scores[k].Add(crpsPoisson(rate*c.Seconds, c.Coded), c.CRPS)
		}
		if len(order) > 0 {
			a.Against = append(a.Against, rivalry(group, order, scores))
		}
	}
}

// rateElsewhere is the same fighter's rate a second in the other rounds, with half an act added, so that what never happened there is not
// forecast as impossible (the mean of the Jeffreys posterior of a rate).
func rateElsewhere(c *cell, all map[sumKey]sums, otherBouts bool) (rate float64, ok bool) {
	total, own := all[sumKey{c.Fighter, c.Figure, ""}], sums{c.Coded, c.Seconds}
	if otherBouts {
		own = all[sumKey{c.Fighter, c.Figure, c.Bout}]
	}
	const least = 1 // s: what is left over from subtracting is no round
	if total.seconds-own.seconds < least {
		return 0, false
	}
	return (total.acts - own.acts + .5) / (total.seconds - own.seconds), true
}

// crpsPoisson is the sum over counts of (F(k) - 1{k>=y})², to where both are one.
func crpsPoisson(mean, y float64) (sum float64) {
	p := distuv.Poisson{Lambda: mean}
	most := math.Max(y, mean+10*math.Sqrt(mean)+20)
	below := 0.0
	for k := 0.0; k <= most; k++ {
		below += p.Prob(k)
		d := below
		if k >= y {
			d--
		}
		sum += d * d
	}
	return sum
}

func rivalry(group string, order []roundKey, scores map[roundKey]*infer.Pairs) AuditRival {
	r := AuditRival{Group: group, Rounds: len(order)}
	var less infer.Group
	for _, k := range order {
		s := scores[k]
		r.Rival += s.X / s.N / float64(len(order))
		r.Model += s.Y / s.N / float64(len(order))
		less.Add((s.X - s.Y) / s.N)
	}
	r.Less = overRounds(less)
	switch {
	case r.Less.Count < 2:
		r.Verdict = TooLittle
	case r.Less.Low > 0:
		r.Verdict = "the model beats the rates"
	case r.Less.High < 0:
		r.Verdict = "the rates beat the model"
	default:
		r.Verdict = "neither beats the other"
	}
	return r
}

// overRounds is the mean with its interval by Student's t; of one round there is none.
func overRounds(g infer.Group) infer.Interval {
	mean := g.Sum / g.N
	i := infer.Interval{Level: .95, Low: mean, High: mean, Centre: mean, Kind: infer.Confidence, Method: "Student's t over rounds", Count: g.N}
	if g.N < 2 {
		i.Warnings = []string{"one round: no interval"}
		return i
	}
	se := math.Sqrt(max(g.SumSq-g.N*mean*mean, 0) / (g.N - 1) / g.N)
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: g.N - 1}.Quantile(.975) * se
	i.Low, i.High = mean-half, mean+half
	if g.N < 6 {
		i.Warnings = []string{fmt.Sprintf("%g rounds: rough", g.N)}
	}
	return i
}
