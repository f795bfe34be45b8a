package study

import (
	"slices"

	"whatbout/sim"
	"whatbout/tactics"
	"whatbout/tape"
)

// Parting is one bout played under two plans on the same luck, and the first moment at which the two part: until then they are the same
// bout to the microsecond.
type Parting struct {
	Parts  bool         // false: no choice differs, and neither does anything else
	Moment sim.Decision // the first choice that differs: round, clock (µs since the bell), corner, choice point; Chosen does not count
	// Row is the first row of the tape that is not the same in both; the length of the shorter tape if all its rows are. It may stand before the
	// moment by the clock: what is answered stands there already when it is answered.
	Row   int
	Bouts [2]PartedBout
}

// PartedBout is the bout under one of the plans.
type PartedBout struct {
	Plan    *tactics.Plan // nil: as usual
	Outcome sim.Outcome
	Events  []tape.Event
	Choice  *sim.Choice // what stood behind the moment; nil where the bouts do not part, or where this one had nothing to decide there
	Act     int         // row of Events of what was chosen, or was defended or believed; -1: none
}

// Did is the word of what was chosen at the moment, "" for nothing.
func (b *PartedBout) Did() string {
	if b.Choice == nil {
		return ""
	}
	return b.Choice.Name()
}

// Part plays the bout under q.Plan and again under the fighter's other plan (nil: as usual) on the same luck, and finds where they part. It
// plays each twice; watching changes nothing in them.
func (q *One) Part(other *tactics.Plan) (*Parting, error) {
	second := *q
	second.Plan = other
	p, took := &Parting{}, [2]sim.Decisions{}
	asked := [2]*One{q, &second}
	for i, one := range asked {
		b := sim.NewBout()
		b.Watch = &took[i]
		o, err := one.Play(b)
		if err != nil {
			return nil, err
		}
		p.Bouts[i] = PartedBout{Plan: one.Plan, Outcome: o, Events: b.Events, Act: -1}
	}
	p.Row = firstOther(p.Bouts[0].Events, p.Bouts[1].Events)
	if p.Moment, p.Parts = took[0].Part(took[1]); !p.Parts {
		return p, nil
	}
	for i, one := range asked {
		glance := &sim.Glance{Moment: p.Moment}
		b := sim.NewBout()
		b.Watch = glance
		if _, err := one.Play(b); err != nil {
			return nil, err
		}
		if p.Bouts[i].Choice = glance.Choice; glance.Choice != nil {
			p.Bouts[i].Act = glance.Choice.Row(p.Bouts[i].Events)
		}
	}
	return p, nil
}

// firstOther is the first row at which two tapes differ.
func firstOther(a, b []tape.Event) int {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return i
		}
	}
	return min(len(a), len(b))
}

// Same reports whether the two tapes are the same to the last row.
func (p *Parting) Same() bool { return slices.Equal(p.Bouts[0].Events, p.Bouts[1].Events) }

// Turned finds the first bout from q.Bout on, of at most so many, whose winner is another under the fighter's other plan; -1 if there is none.
func (q *One) Turned(other *tactics.Plan, most int) (int, error) {
	first, second := *q, *q
	second.Plan = other
	b := sim.NewBout()
	for i := range most {
		first.Bout, second.Bout = q.Bout+i, q.Bout+i
		under, err := first.Play(b)
		if err != nil {
			return -1, err
		}
		then, err := second.Play(b)
		if err != nil {
			return -1, err
		}
		if under.Verdict.Winner != then.Verdict.Winner {
			return first.Bout, nil
		}
	}
	return -1, nil
}
