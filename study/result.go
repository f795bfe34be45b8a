package study

import (
	"errors"

	"whatbout/internal/infer"
)

// Doubts is a figure with the three kinds of doubt.
type Doubts struct {
	Mean       float64         `json:"mean"`
	Simulation infer.Interval  `json:"simulation"`
	Tape       infer.Spreading `json:"tape"`
	AllDoubt   infer.Spreading `json:"all_doubt"`
}

func doubts(all, tapeOnly []infer.Group, level float64) Doubts {
	c := infer.Split(all)
	d := Doubts{Mean: c.Mean, Simulation: c.Simulation(level)}
	d.AllDoubt, d.Tape = infer.SpreadBoth(all, tapeOnly, level)
	return d
}

// PlanResult is every measure under one plan.
type PlanResult struct {
	Name       string            `json:"name"`
	Intent     string            `json:"intent,omitempty"`
	Outcomes   map[string]Doubts `json:"outcomes"`
	Reweighted []Reweighted      `json:"reweighted,omitempty"`
}

// Result answers a comparison.
type Result struct {
	Draws, TapeDraws int
	Bouts            int // a draw and plan
	Played           int // bouts in all
	Plans            []PlanResult
	Differences      []Difference // by plan, then measure
	Full             []FullAdherence
	Within           *Stopping // nil: the number of draws was given
	PriorOnly        []PriorOnly
	Ledgers          []Ledger // of bouts won, a plan each but the baseline
	Partial          bool     // interrupted; what was finished is what is here
}

// reduce turns draws into estimates, in draw order.
func (q *Comparison) reduce(n *nest, stop *stopping, err error) (*Result, error) {
	all, tapeOnly := finished(n.all), finished(n.tape)
	if len(all) < 2 || len(tapeOnly) < 2 {
		return nil, errors.Join(errors.New("too few draws were finished to say anything"), err)
	}
	r := &Result{Draws: len(all), TapeDraws: len(tapeOnly), Bouts: q.Bouts, Partial: err != nil, Within: stop.report()}
	r.Played = (len(all)+len(tapeOnly))*q.Bouts*len(q.Plans) + len(all)*fullBouts(q.Bouts)*(len(q.Plans)-1)
	for p, plan := range q.Plans {
		pr := PlanResult{Name: plan.Name, Intent: plan.Intent, Outcomes: map[string]Doubts{}}
		for m := range Measures {
			pr.Outcomes[Measures[m].Name] = doubts(groups(all, p, m), groups(tapeOnly, p, m), q.Level)
			if p > 0 && m == winMeasure {
				r.Ledgers = append(r.Ledgers, ledger(plan.Name, q.Plans[0].Name, "win", differences(all, p, m), differences(tapeOnly, p, m), 2*len(all)*q.Bouts))
			}
			if p > 0 {
				r.Differences = append(r.Differences, q.difference(all, tapeOnly, p, m))
			}
		}
		r.Plans = append(r.Plans, pr)
	}
	r.Full = q.fullAdherence(all)
	if r.Within != nil && stop.stopped {
		for p, report := range stop.reports {
			r.Find(q.Plans[p+1].Name, "win").Simulation = report
		}
	}
	return r, errors.Join(q.tellReweighted(r), err)
}

// groups is a plan's column of a measure, a group a draw.
func groups(slots []slot, p, m int) []infer.Group {
	out := make([]infer.Group, len(slots))
	for i := range slots {
		out[i] = slots[i].group(p, m)
	}
	return out
}

// Find gives the difference of a plan in a measure.
func (r *Result) Find(plan, outcome string) *Difference {
	for i := range r.Differences {
		if d := &r.Differences[i]; d.Plan == plan && d.Outcome == outcome {
			return d
		}
	}
	return nil
}
