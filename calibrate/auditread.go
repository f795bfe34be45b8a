package calibrate

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// stay is a stretch in which a state had one value for one fighter: a zone, or 1 for holding and 0 for not.
type stay struct {
	span
	value int
}

// roundReader reads one round of a coding, real or simulated.
type roundReader struct {
	src   *source
	light *light
	known map[stateOf][]stay // what was read before; nil: nothing
}

type stateOf struct {
	state  tape.Act
	corner tape.Corner
}

// count counts the rows of a figure that lie in spans.
func (r *roundReader) count(f *auditFigure, c tape.Corner, in *light) (n float64) {
	for i := r.light.first; i < r.light.last; i++ {
		if e := &r.src.events[i]; f.counts(e, c) && in.has(e.Clock) {
			n++
		}
	}
	return n
}

// stays gives when a figure's state was known, and what it was, in the order of time.
func (r *roundReader) stays(f *auditFigure, c tape.Corner) []stay {
	key := stateOf{f.state, c}
	out, ok := r.known[key]
	if !ok {
		out = r.readStays(f, c)
		if r.known == nil {
			r.known = map[stateOf][]stay{}
		}
		r.known[key] = out
	}
	return out
}

func (r *roundReader) readStays(f *auditFigure, c tape.Corner) (out []stay) {
	var changes []zoneAt
	if f.state == tape.StateRange {
		v := &view{light: r.light, src: r.src, corner: c}
		v.locate()
		changes = v.zones
	} else {
		changes = r.held(f.state, c)
	}
	for i, z := range changes {
		to := r.light.end
		if i+1 < len(changes) {
			to = changes[i+1].at
		}
		for _, s := range r.light.spans {
			if from, to := max(s.from, z.at), min(s.to, to); from < to && z.zone != unknown {
				out = append(out, stay{span{from, to}, int(z.zone)})
			}
		}
	}
	return out
}

// held follows who holds the centre or stands at the fence; what nobody has stated since the light came on is unknown.
func (r *roundReader) held(state tape.Act, c tape.Corner) (out []zoneAt) {
	next := 0
	lightsUp := func(until int64) {
		for ; next < len(r.light.spans) && r.light.spans[next].from <= until; next++ {
			out = append(out, zoneAt{r.light.spans[next].from, unknown})
		}
	}
	for i := r.light.first; i < r.light.last; i++ {
		e := &r.src.events[i]
		lightsUp(e.Clock)
		if e.Act != state || !r.light.has(e.Clock) {
			continue
		}
		holds := fighter.Zone(0)
		if e.Value == tape.Red+tape.Value(c) {
			holds = 1
		}
		out = append(out, zoneAt{e.Clock, holds})
	}
	lightsUp(r.light.end)
	return out
}

// timed gives the seconds of a figure's state within other stays, and how much of them was known; both in the order of time.
func (f *auditFigure) timed(stays []stay, in []stay) (seconds, known float64) {
	want := 1
	if f.state == tape.StateRange {
		want = int(f.zone)
	}
	for i, j := 0, 0; i < len(stays) && j < len(in); {
		a, b := stays[i], in[j]
		if from, to := max(a.from, b.from), min(a.to, b.to); from < to {
			known += float64(to-from) / 1e6
			if a.value == want {
				seconds += float64(to-from) / 1e6
			}
		}
		if a.to < b.to {
			i++
		} else {
			j++
		}
	}
	return seconds, known
}

// crossed counts the changes of a figure within other stays, which are in the order of time and apart from each other.
func (f *auditFigure) crossed(stays, in []stay) (n float64) {
	j := 0
	for i := 1; i < len(stays); i++ {
		at := stays[i].from
		if stays[i-1].to != at || !f.moves(fighter.Zone(stays[i-1].value), fighter.Zone(stays[i].value)) {
			continue
		}
		for j < len(in) && in[j].to <= at {
			j++
		}
		if j < len(in) && in[j].from < at {
			n++
		}
	}
	return n
}

// unbroken joins stays that follow each other without a gap, whatever their values.
func unbroken(stays []stay) (out []stay) {
	for _, s := range stays {
		if n := len(out); n > 0 && out[n-1].to == s.from {
			out[n-1].to = s.to
			continue
		}
		out = append(out, s)
	}
	return out
}
