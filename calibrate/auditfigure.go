package calibrate

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// auditFigure is one thing that is counted, or timed, for one fighter in one round, in the same way on coded and on simulated tape.
type auditFigure struct {
	name, group string
	unit        string
	coded       func(*tape.Bout, tape.Corner) bool  // whether it was looked for
	counts      func(*tape.Event, tape.Corner) bool // of acts: whether a row counts for the fighter in a corner
	moves       func(from, to fighter.Zone) bool    // of changes of range: whether one counts
	state       tape.Act                            // of what is timed or changes
	zone        fighter.Zone                        // of a range that is timed
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
	AuditMoves    = "transitions"
	AuditPosition = "position"
	AuditTiming   = "times"
	AuditChances  = "landing"
)

// AuditGroups lists them in their order.
var AuditGroups = []string{AuditActs, AuditClean, AuditBites, AuditRange, AuditMoves, AuditPosition, AuditTiming, AuditChances}

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
	out = append(out, transitions()...)
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

// transitions are changes of the fighter's own range. Standing, one counts for every border that it crosses, since a coder may not
// write down a range that is passed in a moment.
func transitions() (out []auditFigure) {
	add := func(name string, moves func(from, to fighter.Zone) bool) {
		out = append(out, auditFigure{name: name, group: AuditMoves, unit: AuditCount, state: tape.StateRange, moves: moves,
			coded: func(b *tape.Bout, _ tape.Corner) bool { return b.LookedFor.Has(tape.StateRange) }})
	}
	for near := fighter.Kicking; near <= fighter.Pocket; near++ {
		far := near - 1
		crosses := func(a, b fighter.Zone) bool { return a <= far && near <= b && b <= fighter.Pocket }
		add(far.String()+" to "+near.String(), crosses)
		add(near.String()+" to "+far.String(), func(from, to fighter.Zone) bool { return crosses(to, from) })
	}
	add("into the clinch", func(from, to fighter.Zone) bool { return from < fighter.Clinch && to == fighter.Clinch })
	add("out of the clinch", func(from, to fighter.Zone) bool { return from == fighter.Clinch && to < fighter.Clinch })
	add("to the ground", func(from, to fighter.Zone) bool { return from <= fighter.Clinch && to >= fighter.Top })
	add("back to the feet", func(from, to fighter.Zone) bool { return from >= fighter.Top && to <= fighter.Clinch })
	return out
}
