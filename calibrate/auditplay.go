package calibrate

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/batch"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// auditBout is a coded bout with the two who fought it.
type auditBout struct {
	src    *source
	pair   *fighter.Pair
	cells  []*cell
	ranges rangeCoding
}

// matchUp finds the profiles of every bout and says what the audit rests on.
func (a *Audit) matchUp(codings []*tape.Coding, o AuditOptions) ([]*auditBout, error) {
	known, err := bodies(boutsOf(codings, nil), func(b *tape.Bout) string { return b.ID })
	if err != nil {
		return nil, err
	}
	for id, p := range o.Profiles {
		known[id] = p.Body
	}
	taken, leftOut := usualOnly(codings, o.All)
	a.Notes = append([]string{}, leftOut...)
	all := &profileSet{profiles: o.Profiles, joint: o.Joint}
	switch {
	case len(o.Profiles) > 0:
		a.InSample = all.restOnTape()
		if a.InSample {
			a.Notes = append(a.Notes, "in-sample: the profiles rest on tape, maybe on these very rounds; figures then fit better than they forecast (--hold-back bout, without profiles, tells).")
		}
	case !o.HoldBack:
		if all, err = profilesFrom(codings, o.All); err != nil {
			return nil, err
		}
		a.InSample = true
		a.Notes = append(a.Notes, "in-sample: the profiles were made from these very rounds; figures then fit better than they forecast (--hold-back bout tells).")
	}
	var out []*auditBout
	var last *tape.Bout
	for _, s := range sourcesOf(taken, known) {
		if s.bout == last {
			a.Notes = append(a.Notes, s.bout.ID+": coded several times; the first coding by name is audited")
			continue
		}
		last = s.bout
		set := all
		if o.HoldBack {
			if set, err = profilesFrom(otherBouts(codings, s.bout), o.All); err != nil {
				return nil, err
			}
		}
		pair, why := set.pair(s)
		if pair == nil {
			a.Notes = append(a.Notes, fmt.Sprintf("%s: left out, since there is no profile of %s", s.bout.ID, why))
			continue
		}
		b := &auditBout{src: s, pair: pair, cells: codedCells(s), ranges: rangesOf(s.events)}
		if len(b.cells) == 0 {
			a.Notes = append(a.Notes, s.bout.ID+": left out, since nothing that is audited was looked for and in sight")
			continue
		}
		out = append(out, b)
	}
	for _, id := range slices.Sorted(maps.Keys(o.Profiles)) {
		if !slices.ContainsFunc(out, func(b *auditBout) bool { return b.pair.Red.ID == id || b.pair.Blue.ID == id }) {
			a.Notes = append(a.Notes, "the profile of "+id+" is in none of the bouts audited")
		}
	}
	if len(out) == 0 {
		return nil, errors.Join(errors.New("no bout can be audited; expected profiles of both fighters of a bout, or bodies and other tape of both"), noted(a.Notes))
	}
	return out, nil
}

func noted(notes []string) error {
	var out []error
	for _, n := range notes {
		out = append(out, errors.New(n))
	}
	return errors.Join(out...)
}

func otherBouts(codings []*tape.Coding, b *tape.Bout) []*tape.Coding {
	return slices.DeleteFunc(slices.Clone(codings), func(c *tape.Coding) bool { return c.Bout == b })
}

// profileSet is profiles by id with what they share.
type profileSet struct {
	profiles map[string]*fighter.Profile
	joint    *fighter.Joint
}

func profilesFrom(codings []*tape.Coding, all bool) (*profileSet, error) {
	r, err := Calibrate(codings, Options{All: all})
	if err != nil {
		return nil, err
	}
	joint, err := r.Joint()
	return &profileSet{r.Profiles, joint}, err
}

func (p *profileSet) restOnTape() bool {
	for id := range maps.Keys(p.profiles) {
		if slices.Contains(p.profiles[id].Sources, fighter.FromTape) {
			return true
		}
	}
	return false
}

// pair gives the two of a bout, or who is missing.
func (p *profileSet) pair(s *source) (pair *fighter.Pair, missing string) {
	for _, f := range s.bout.Fighters {
		if p.profiles[f.ID] == nil {
			return nil, f.ID
		}
	}
	return &fighter.Pair{Red: p.profiles[s.id(tape.RedCorner)], Blue: p.profiles[s.id(tape.BlueCorner)], Joint: p.joint}, ""
}

// codedCells reads the coded side.
func codedCells(s *source) (out []*cell) {
	for i := range s.lights {
		r := &roundReader{src: s, light: &s.lights[i]}
		for c := tape.RedCorner; c <= tape.BlueCorner; c++ {
			for f := range auditFigures {
				if x := r.cell(&auditFigures[f], c); x != nil {
					out = append(out, x)
				}
			}
		}
	}
	return out
}

// cell reads one figure, or gives nil where it was not looked for or was never known.
func (r *roundReader) cell(f *auditFigure, c tape.Corner) *cell {
	if !f.coded(r.src.bout, c) || r.light.seconds() == 0 {
		return nil
	}
	x := &cell{figure: f, corner: c, AuditCell: AuditCell{Bout: r.src.bout.ID, Round: r.light.round, Corner: c.String(), Fighter: r.src.id(c),
		Group: f.group, Figure: f.name, Unit: f.unit, Seconds: r.light.seconds()}}
	if f.unit == AuditCount {
		x.Coded = r.count(f, c, r.light)
		return x
	}
	x.known = r.stays(f, c)
	x.Coded, x.Seconds = f.timed(x.known, []stay{{span: span{0, r.light.end}}})
	if x.Seconds == 0 {
		return nil
	}
	if f.unit == AuditShare {
		x.Coded /= x.Seconds
	}
	return x
}

// playAudit fills the cells' draws: job k of a bout plays its draw k.
func playAudit(ctx context.Context, bouts []*auditBout, o AuditOptions) error {
	for _, b := range bouts {
		for _, c := range b.cells {
			c.draws = make([]float64, o.Draws)
		}
	}
	jobs := len(bouts) * o.Draws
	workers := make([]*sim.Bout, batch.Workers(o.Workers, jobs))
	return batch.Run(ctx, jobs, len(workers), func(w, job int) error {
		if workers[w] == nil {
			workers[w] = sim.NewBout()
			workers[w].NoStop = true
		}
		return bouts[job/o.Draws].play(workers[w], o.Seed, job%o.Draws, job/o.Draws)
	}, nil)
}

func (b *auditBout) play(s *sim.Bout, seed uint64, k, number int) error {
	red, blue := b.pair.Draw(seed, uint64(k), true)
	rules := b.src.bout.RuleSet
	s.Setup(rules, sim.DrawWorld(seed, uint64(k)))
	if err := errors.Join(s.Sides[0].Load(b.pair.Red.Body, red, nil, nil, rules), s.Sides[1].Load(b.pair.Blue.Body, blue, nil, nil, rules)); err != nil {
		return err
	}
	s.Run(kernel.NewKey(seed, uint64(k), uint64(number)))
	if err := errors.Join(s.Sides[0].Fault(), s.Sides[1].Fault()); err != nil {
		return err
	}
	b.read(s.Events, k)
	return nil
}

// read counts a simulated bout where the coded one was coded. Its own light is the whole round, since a simulated state is known
// from the bell on.
func (b *auditBout) read(events []tape.Event, k int) {
	whole := &source{bout: b.src.bout, events: b.ranges.as(events), weight: 1, bodies: b.src.bodies}
	rounds := map[uint8]*roundReader{}
	for i := range events {
		r := rounds[events[i].Round]
		if r == nil {
			end := int64(whole.bout.RuleSet.RoundSeconds) * 1e6
			r = &roundReader{src: whole, light: &light{round: events[i].Round, first: i, end: end, spans: []span{{0, end}}}}
			rounds[events[i].Round] = r
		}
		r.light.last = i + 1
	}
	for _, c := range b.cells {
		r := rounds[c.Round]
		if r == nil { // nobody did anything in that round
			continue
		}
		if c.Unit == AuditCount {
			c.draws[k] = r.count(c.figure, c.corner, b.src.light(c.Round))
			continue
		}
		seconds, known := c.figure.timed(r.stays(c.figure, c.corner), c.known)
		if c.Unit == AuditShare && known > 0 {
			seconds /= known
		}
		c.draws[k] = seconds
	}
}
