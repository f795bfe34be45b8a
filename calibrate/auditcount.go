package calibrate

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// auditFigure is one thing that is counted, or timed, for one fighter in one round, in the same way on coded and on simulated tape.
type auditFigure struct {
	name, group string
	unit        string                              // Counted, Share or Seconds
	coded       func(*tape.Bout, tape.Corner) bool  // whether it was looked for
	counts      func(*tape.Event, tape.Corner) bool // of Counted: whether a row counts for the fighter in a corner
	state       tape.Act                            // of the others: the state that is timed
	zone        fighter.Zone                        // of the state range
}

// Units of audited figures.
const (
	AuditCount   = "count"
	AuditShare   = "share of known time"
	AuditSeconds = "s"
)

// Groups of audited figures, each with one verdict.
const (
	AuditActs     = "acts"
	AuditClean    = "clean"
	AuditBites    = "bites"
	AuditRange    = "range"
	AuditPosition = "position"
)

// AuditGroups lists them in their order.
var AuditGroups = []string{AuditActs, AuditClean, AuditBites, AuditRange, AuditPosition}

var auditFigures = buildAuditFigures()

func buildAuditFigures() (out []auditFigure) {
	families := []struct {
		name string
		of   fighter.Family
		act  tape.Act // one of them, to ask whether they were looked for
	}{{"straights", fighter.StraightPunch, tape.Jab}, {"looping punches", fighter.LoopingPunch, tape.LeadHook}, {"low kicks", fighter.LowKicks, tape.LowKick},
		{"higher kicks", fighter.HighKicks, tape.HighKick}}
	for _, f := range families {
		out = append(out, ownActs(f.name, f.act, func(a tape.Act) bool { g, ok := fighter.FamilyOf(a); return ok && g == f.of }))
	}
	out = append(out, ownActs("takedowns tried", tape.Shoot, tape.Act.IsTakedown), ownActs("feints", tape.FeintHip, tape.Act.IsFeint),
		ownActs("steps back", tape.StepBack, func(a tape.Act) bool { return a == tape.StepBack }))
	for i, f := range families {
		out = append(out, cleanOf(f.name, out[i]))
	}
	out = append(out, bites())
	for _, z := range []fighter.Zone{fighter.Out, fighter.Kicking, fighter.Long, fighter.Pocket, fighter.Clinch, fighter.Top, fighter.Bottom} {
		out = append(out, auditFigure{name: z.String(), group: AuditRange, unit: AuditShare, state: tape.StateRange, zone: z,
			coded: func(b *tape.Bout, _ tape.Corner) bool {
				return b.LookedFor.Has(tape.StateRange) && (z < fighter.Top || b.LookedFor.Has(tape.StateTop))
			}})
	}
	for _, s := range []struct {
		name string
		act  tape.Act
	}{{"holds the centre", tape.StateCentre}, {"back on the fence", tape.StateFence}} {
		out = append(out, auditFigure{name: s.name, group: AuditPosition, unit: AuditSeconds, state: s.act,
			coded: func(b *tape.Bout, _ tape.Corner) bool { return b.LookedFor.Has(s.act) }})
	}
	return out
}

func ownActs(name string, one tape.Act, is func(tape.Act) bool) auditFigure {
	return auditFigure{name: name, group: AuditActs, unit: AuditCount,
		coded:  func(b *tape.Bout, c tape.Corner) bool { return b.Corners[c] && b.LookedFor.Has(one) },
		counts: func(e *tape.Event, c tape.Corner) bool { return e.Corner == c && is(e.Act) }}
}

// cleanOf are those of the acts that landed clean.
func cleanOf(name string, acts auditFigure) auditFigure {
	return auditFigure{name: "clean " + name, group: AuditClean, unit: AuditCount,
		coded:  func(b *tape.Bout, c tape.Corner) bool { return acts.coded(b, c) && b.LookedFor[tape.GroupResults] },
		counts: func(e *tape.Event, c tape.Corner) bool { return acts.counts(e, c) && e.Result.IsClean() }}
}

// bites are the other's feints that the fighter did something about.
func bites() auditFigure {
	return auditFigure{name: "bites", group: AuditBites, unit: AuditCount,
		coded: func(b *tape.Bout, c tape.Corner) bool {
			return b.Corners[c.Other()] && b.LookedFor.Has(tape.FeintHip) && b.LookedFor[tape.GroupDefences]
		},
		counts: func(e *tape.Event, c tape.Corner) bool {
			return e.Corner == c.Other() && e.Act.IsFeint() && e.Defence >= tape.Flinch
		}}
}

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
