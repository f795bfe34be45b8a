package calibrate

import (
	"math"

	"whatbout/tape"
)

// change is the beginning of a state; NoValue: not known.
type change struct {
	at    int64
	value tape.Value
}

// timeline lists a coder's changes within a coded stretch, the first at its beginning. A stance is that of the fighter's body until a row
// says otherwise.
func (o *overlay) timeline(coder int, corner tape.Corner, in tape.Interval) []change {
	sign := int64(1 - 2*coder)
	out := []change{{math.MinInt64, o.start(corner, in)}}
	for i := range o.codings[coder].Rows {
		r := &o.codings[coder].Rows[i]
		if r.Act == o.act && r.Round == in.Round && in.From <= r.Clock && r.Clock <= in.To && (r.Corner == corner || r.Corner == tape.NoCorner || corner == tape.NoCorner) {
			out = append(out, change{2*r.Clock + sign*o.shift, o.coarsened(r.Value)})
		}
	}
	return out
}

func (o *overlay) start(corner tape.Corner, in tape.Interval) tape.Value {
	if o.act == tape.StateStance && corner != tape.NoCorner && in.From == 0 {
		if body := o.bout.Fighters[corner].Body; body != nil {
			return body.Stance
		}
	}
	return tape.NoValue
}

func (o *overlay) coarsened(v tape.Value) tape.Value {
	if o.coarse && (v == tape.Long || v == tape.Pocket) {
		return tape.Boxing
	}
	return v
}

// stretches lists what was coded: as bout.yaml says, or every round that has a row, from bell to bell or to the end.
func (o *overlay) stretches() []tape.Interval {
	if len(o.bout.Coded) > 0 {
		return o.bout.Coded
	}
	last := uint8(0)
	for _, c := range o.codings {
		if n := len(c.Rows); n > 0 {
			last = max(last, c.Rows[n-1].Round)
		}
	}
	var out []tape.Interval
	for round := uint8(1); round <= last; round++ {
		to := int64(o.bout.RuleSet.RoundSeconds) * 1e6
		switch e := &o.bout.Ended; {
		case round == last && o.bout.End > 0:
			to = o.bout.End
		case round == e.Round && e.Clock > 0:
			to = e.Clock
		}
		out = append(out, tape.Interval{Round: round, To: to})
	}
	return out
}
