package calibrate

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"whatbout/fighter"
	"whatbout/tape"
)

// library is the tape that is audited.
type library struct {
	codings []*tape.Coding // all that profiles may be made from
	sources []*source      // one a bout, in the order of time
	rounds  []roundKey     // of the sources, in their order
	coded   []*cell        // of the sources, without draws
	given   *profileSet    // nil: profiles are made from the tape
}

// gather takes one coding a bout and says what was left out; it settles the day from which old tape is weighed.
func (a *Audit) gather(codings []*tape.Coding, o *AuditOptions) (*library, error) {
	known, err := bodies(boutsOf(codings, nil), func(b *tape.Bout) string { return b.ID })
	if err != nil {
		return nil, err
	}
	for id, p := range o.Profiles {
		known[id] = p.Body
	}
	taken, leftOut := usualOnly(codings, o.All)
	a.Notes = append([]string{}, leftOut...)
	l := &library{codings: codings, sources: a.oneEach(taken, known)}
	if err := a.aged(l.sources, o); err != nil {
		return nil, err
	}
	for _, s := range l.sources {
		cells := codedCells(s)
		if len(cells) == 0 {
			a.Notes = append(a.Notes, s.bout.ID+": left out, since nothing that is audited was looked for and in sight")
		}
		l.coded = append(l.coded, cells...)
		for i := range s.lights {
			if s.lights[i].seconds() > 0 && len(cells) > 0 {
				l.rounds = append(l.rounds, roundKey{s.bout.ID, s.lights[i].round})
			}
		}
	}
	if len(l.rounds) == 0 {
		return nil, errors.Join(errors.New("no bout can be audited; expected tape of a bout as usual, with time that was coded and seen"), noted(a.Notes))
	}
	if len(o.Profiles) > 0 {
		l.given = &profileSet{profiles: o.Profiles, joint: o.Joint}
	}
	return l, nil
}

// aged sets the day from which profiles weigh old tape.
func (a *Audit) aged(sources []*source, o *AuditOptions) error {
	weighed := make([]*source, len(sources)) // the tape that is audited weighs nothing itself
	for i, s := range sources {
		is := *s
		weighed[i] = &is
	}
	if err := o.Age.weigh(weighed); err != nil {
		return err
	}
	o.Age.AsOf = o.Age.from(weighed)
	for _, note := range o.Age.notes(weighed) {
		a.Notes = append(a.Notes, "in the profiles "+note)
	}
	return nil
}

// oneEach takes the first coding of each bout by name, and puts bouts in the order of their dates, those without one first, and of
// their ids.
func (a *Audit) oneEach(taken []*tape.Coding, known map[string]fighter.Body) (out []*source) {
	first, several := map[*tape.Bout]string{}, map[*tape.Bout]int{}
	for _, c := range taken {
		several[c.Bout]++
		if name, ok := first[c.Bout]; !ok || c.Name < name {
			first[c.Bout] = c.Name
		}
	}
	one := slices.DeleteFunc(slices.Clone(taken), func(c *tape.Coding) bool { return c.Name != first[c.Bout] })
	out = sourcesOf(one, known)
	slices.SortStableFunc(out, func(x, y *source) int { return cmp.Compare(x.bout.Date, y.bout.Date) })
	for _, s := range out {
		if n := several[s.bout]; n > 1 {
			a.Notes = append(a.Notes, fmt.Sprintf("%s: coded %d times; the coding %q is audited (the first by name), all of them stand behind profiles", s.bout.ID, n, first[s.bout]))
		}
	}
	return out
}

func noted(notes []string) error {
	var out []error
	for _, n := range notes {
		out = append(out, errors.New(n))
	}
	return errors.Join(out...)
}

// profileSet is profiles by id with what they share.
type profileSet struct {
	profiles map[string]*fighter.Profile
	joint    *fighter.Joint
}

func profilesFrom(codings []*tape.Coding, o AuditOptions) (*profileSet, error) {
	r, err := Calibrate(codings, Options{All: o.All, Population: o.Population, Age: o.Age, Coder: o.Coder})
	if err != nil {
		return nil, err
	}
	joint, err := r.Joint()
	return &profileSet{r.Profiles, joint}, err
}

func (p *profileSet) restOnTape() bool {
	for _, one := range p.profiles {
		if slices.Contains(one.Sources, fighter.FromTape) {
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
