package calibrate

import (
	"slices"

	"whatbout/fighter"
	"whatbout/tape"
)

// gaps gives the expected acts between one initiated act and the next, or the moment from which the fighter was seen, and those expected in
// all. acts are when acts began, in order.
func (v *view) gaps(acts []int64, rates *begins) (gaps []float64, expected float64) {
	clock := 0 // in acts
	for _, s := range v.spans {
		since := 0.0
		for _, p := range v.free(s, rates) {
			for ; clock < len(acts) && acts[clock] < p.from; clock++ {
				gaps, since = append(gaps, since), 0
			}
			at := p.from
			for ; clock < len(acts) && acts[clock] < p.to; clock++ {
				gaps, since = append(gaps, since+p.rate*float64(acts[clock]-at)/1e6), 0
				at = acts[clock]
			}
			since += p.rate * float64(p.to-at) / 1e6
			expected += p.rate * float64(p.to-p.from) / 1e6
		}
		for ; clock < len(acts) && acts[clock] <= s.to; clock++ {
			gaps, since = append(gaps, since), 0
		}
	}
	return gaps, expected
}

// initiated gives when initiated acts began, or came into the light, in order: those that are counted for rates. settings takes every act
// that was begun standing.
func (v *view) initiated(settings *[numSettings]uint32) (out []int64) {
	bites := v.struck()
	for i := v.first; i < v.last; i++ {
		e := &v.src.events[i]
		if e.Corner != v.corner || !v.src.isAct(i) || isStruck(e, bites) || tape.Meets(v.src.events, i) >= 0 {
			continue
		}
		z := v.begun(e)
		if p, about := tape.Origin(v.src.events, i); p != tape.Initiate {
			if after := v.zoneOfChoice(&v.src.events[about]); after <= fighter.Pocket || after == unknown {
				settings[settingOf(e, p, z)]++
				continue
			}
		}
		if _, ok := v.rateOf(e); !ok {
			continue
		}
		if z <= fighter.Pocket {
			settings[settingOf(e, tape.Initiate, z)]++
		}
		out = append(out, max(e.Onset(), v.spanOf(e.Clock).from))
	}
	slices.Sort(out)
	return out
}

// struck gives the clocks of the feints of the other's that were bitten on with a strike.
func (v *view) struck() (out []int64) {
	for i := v.first; i < v.last; i++ {
		if f := &v.src.events[i]; f.Corner == v.corner.Other() && f.Defence == tape.Struck {
			out = append(out, f.Clock)
		}
	}
	return out
}

// isStruck is what view.isBite tells, for many acts of a round at once.
func isStruck(e *tape.Event, bites []int64) bool {
	return e.Act.IsStrike() && slices.ContainsFunc(bites, func(at int64) bool {
		since := e.Onset() - at
		return since > -biteUntil && since < biteUntil
	})
}

// settings of acts: strikes and others, from each range out of nothing, in answer, and in continuation.
const (
	upright     = int(fighter.Pocket) + 1
	numSettings = 2 * (upright + 2)
)

func settingOf(e *tape.Event, p tape.Point, z fighter.Zone) int {
	at := int(z)
	switch p {
	case tape.Answer:
		at = upright
	case tape.Continue:
		at = upright + 1
	}
	if e.Act.IsStrike() {
		return at
	}
	return upright + 2 + at
}

func settingName(i int) string {
	kind := "strikes"
	if i >= numSettings/2 {
		kind, i = "other acts", i-numSettings/2
	}
	switch i {
	case upright:
		return kind + " in answer"
	case upright + 1:
		return kind + " in continuation"
	case int(fighter.Out):
		return kind + " from out of range"
	}
	return kind + " from " + fighter.Zone(i).String() + " range"
}

// begins is how many acts a second are begun in each zone, of all moves together: freely, and with the back on the fence.
type begins struct{ free, fenced [fighter.NumZones]float64 }

// piece is free time at one rate of acts a second.
type piece struct {
	span
	rate float64
}

// free gives a span's free time at known range, in order.
func (v *view) free(in span, rates *begins) (out []piece) {
	gaps, next := joined(v.busy), 0
	for i, z := range v.zones {
		at, to := max(z.at, in.from), min(in.to, v.end)
		if i+1 < len(v.zones) {
			to = min(to, v.zones[i+1].at)
		}
		if z.zone == unknown {
			continue
		}
		for ; next < len(gaps) && gaps[next].to <= at; next++ {
		}
		for k := next; at < to; k++ {
			if k == len(gaps) || gaps[k].from >= to {
				out = v.pieces(out, span{at, to}, rates, z.zone)
				break
			}
			if gaps[k].from > at {
				out = v.pieces(out, span{at, gaps[k].from}, rates, z.zone)
			}
			at = gaps[k].to
		}
	}
	return out
}

// pieces adds free time in a zone, with the back on the fence and without.
func (v *view) pieces(out []piece, s span, rates *begins, z fighter.Zone) []piece {
	for _, f := range v.fenced {
		if f.to <= s.from || f.from >= s.to {
			continue
		}
		if f.from > s.from {
			out = append(out, piece{span{s.from, f.from}, rates.free[z]})
		}
		out = append(out, piece{span{max(f.from, s.from), min(f.to, s.to)}, rates.fenced[z]})
		s.from = f.to
	}
	if s.from < s.to {
		out = append(out, piece{s, rates.free[z]})
	}
	return out
}

// joined makes one of spans that meet; they are in the order of their beginnings.
func joined(spans []span) (out []span) {
	for _, s := range spans {
		if n := len(out); n > 0 && s.from <= out[n-1].to {
			out[n-1].to = max(out[n-1].to, s.to)
			continue
		}
		out = append(out, s)
	}
	return out
}
