package calibrate

import (
	"cmp"

	"whatbout/internal/infer"
)

// Rivals of the model. Both are forecasts of a count from a rate: negative binomial, since the rate is known from few acts (a Jeffreys prior
// adds half an act; the mean count goes with the coded time).
const (
	RivalRates = "pooled rates" // the fighter's own rate over all rounds that are not held back
	RivalLast  = "last round"   // the fighter's rate in the latest round before that is not held back
)

// sums are what a fighter did of a figure, in how long.
type sums struct{ acts, seconds float64 }

// forecast is that of a further stretch of the same.
func (s sums) forecast(seconds float64) infer.NegativeBinomial {
	return infer.Gamma{Shape: s.acts + .5, Rate: s.seconds}.Predictive(seconds)
}

// who names what is summed.
type who struct{ fighter, figure string }

// elsewhere is what rivals know: the coded counts outside a fold, or outside one round where nothing is held back.
type elsewhere struct {
	order  map[string]int // of bouts, in time
	counts map[who][]*cell
}

func (l *library) elsewhere() *elsewhere {
	e := &elsewhere{order: map[string]int{}, counts: map[who][]*cell{}}
	for i, s := range l.sources {
		e.order[s.bout.ID] = i
	}
	for _, c := range l.coded {
		if k := (who{c.Fighter, c.Figure}); c.Unit == AuditCount {
			e.counts[k] = append(e.counts[k], c)
		}
	}
	return e
}

// before orders rounds in time.
func (e *elsewhere) before(a, b roundKey) bool {
	return cmp.Or(cmp.Compare(e.order[a.bout], e.order[b.bout]), cmp.Compare(a.round, b.round)) < 0
}

// knows gives what each rival knows for a count in a round of a fold; without seconds it knows nothing.
func (e *elsewhere) knows(c *cell, f *fold) map[string]sums {
	var all, last sums
	var when roundKey
	for _, o := range e.counts[who{c.Fighter, c.Figure}] {
		at := o.at()
		if at == c.at() || !f.trains(at) {
			continue
		}
		all = sums{all.acts + o.Coded, all.seconds + o.Seconds}
		if e.before(at, c.at()) && (last.seconds == 0 || e.before(when, at)) {
			last, when = sums{o.Coded, o.Seconds}, at
		}
	}
	return map[string]sums{RivalRates: all, RivalLast: last}
}
