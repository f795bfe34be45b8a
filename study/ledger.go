package study

import (
	"math"

	"whatbout/internal/infer"
)

// Ledger says where the doubt about one figure comes from, and what would shrink each part by how much. The figure is what a plan changes, or has.
type Ledger struct {
	Plan       string `json:"plan"`
	Against    string `json:"against"`
	Figure     string `json:"figure"`
	Luck       Part   `json:"luck"`       // of a single bout, against the same bout under the other plan
	Tape       Part   `json:"tape"`       // of what the tape leaves possible
	Assumption Part   `json:"assumption"` // of what neither tape nor bouts show
	Simulation Part   `json:"simulation"` // of the mean that is told
	Ways       []Way  `json:"ways"`
}

// Part is one part of the doubt. Variances are of the figure in its own unit, per bout.
type Part struct {
	Variance float64 `json:"variance"`    // 0 where it comes out negative
	Error    float64 `json:"variance_se"` // standard error of the variance
	SD       float64 `json:"sd"`
	SDError  float64 `json:"sd_se"`
	Told     bool    `json:"told"`    // the variance is above none by 1.645 standard errors (one-sided 95 %)
	AtMost   float64 `json:"at_most"` // upper 95 % limit of SD
}

// Way is a way to shrink a part.
type Way struct {
	Part   string     `json:"part"`
	How    Means      `json:"how"`
	From   float64    `json:"from"` // standard deviation now
	To     [2]float64 `json:"to"`   // and then; a range where that is all that can be said
	Bouts  int        `json:"bouts,omitempty"`
	Played bool       `json:"played,omitempty"` // To comes from bouts that were played, not from a formula
}

// Means names what would shrink a part of the doubt.
type Means string

// The means.
const (
	MoreDraws Means = "four times the draws"
	MoreBouts Means = "four times the bouts a draw"
	TwiceTape Means = "twice the coded rounds"
	Nothing   Means = "neither tape nor bouts"
)

// ledger works the parts out of draws of both doubts and of tape's figures alone. played is how many bouts the draws of both doubts took.
func ledger(plan, against, figure string, all, tapeOnly []infer.Group, played int) Ledger {
	a, t := infer.Ordered(infer.Split(all), infer.Split(tapeOnly))
	l := Ledger{Plan: plan, Against: against, Figure: figure, Luck: luckOf(a), Tape: between(t), Simulation: simulationOf(a)}
	l.Assumption = rest(a, t)
	l.Ways = append(simulationWays(a, played), tapeWay(&l), Way{Part: "assumption", How: Nothing, From: l.Assumption.SD, To: [2]float64{l.Assumption.SD, l.Assumption.SD}},
		Way{Part: "luck", How: Nothing, From: l.Luck.SD, To: [2]float64{l.Luck.SD, l.Luck.SD}})
	return l
}

func part(variance, se, atMost float64) Part {
	p := Part{Variance: max(variance, 0), Error: se, Told: variance > oneSided*se, AtMost: atMost}
	if p.SD = math.Sqrt(p.Variance); p.SD > 0 {
		p.SDError = se / (2 * p.SD)
	}
	return p
}

// oneSided is the normal's 95 % point.
const oneSided = 1.645

// luckOf is the variance within draws, good to √(2/degrees of freedom).
func luckOf(c infer.Components) Part {
	df := c.Total - float64(c.K)
	return part(c.MSW, c.MSW*math.Sqrt(2/df), math.Sqrt(c.MSW*(1+oneSided*math.Sqrt(2/df))))
}

func between(c infer.Components) Part {
	return part(c.Between, c.BetweenSE(), c.AtMost(.95))
}

// simulationOf is the variance of the mean over draws.
func simulationOf(c infer.Components) Part {
	v := c.SE() * c.SE()
	se := v * math.Sqrt(2/float64(c.K-1))
	return part(v, se, math.Sqrt(v+oneSided*se))
}

// rest is what all doubt has beyond tape's.
func rest(all, tapeOnly infer.Components) Part {
	v := all.Between - max(tapeOnly.Between, 0)
	se := math.Hypot(all.BetweenSE(), tapeOnly.BetweenSE())
	return part(v, se, math.Sqrt(max(v+oneSided*se, 0)))
}

// simulationWays are two of the same price. More draws are the cheaper: they halve the error, while more bouts a draw leave the draws' own
// differences in it.
func simulationWays(c infer.Components, played int) []Way {
	within := moreBouts(c, 4)
	return []Way{{Part: "simulation", How: MoreDraws, From: c.SE(), To: [2]float64{c.SE() / 2, c.SE() / 2}, Bouts: 3 * played},
		{Part: "simulation", How: MoreBouts, From: c.SE(), To: [2]float64{within, within}, Bouts: 3 * played}}
}

// moreBouts is the standard error with so many times the bouts a draw.
func moreBouts(c infer.Components, times float64) float64 {
	return math.Sqrt((max(c.Between, 0) + c.MSW/(times*c.N)) / float64(c.K))
}

// tapeWay says what can be said without playing: where a figure rests on tape alone, twice the tape halves its variance; where the population
// carries it too, less.
func tapeWay(l *Ledger) Way {
	return Way{Part: "tape", How: TwiceTape, From: l.Tape.SD, To: [2]float64{l.Tape.SD / math.Sqrt2, l.Tape.SD}}
}

// played puts what the draws with twice the tape found in place of the range.
func (l *Ledger) played(twice []infer.Group) {
	sd := infer.Split(twice).SD()
	for i := range l.Ways {
		if l.Ways[i].How == TwiceTape {
			l.Ways[i].To, l.Ways[i].Played = [2]float64{sd, sd}, true
		}
	}
}
