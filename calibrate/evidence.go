package calibrate

import (
	"cmp"
	"fmt"
	"slices"

	"whatbout/fighter"
	"whatbout/tape"
)

// witness is told of every row when calibration counts it for a figure: the row of the act, or -1 where it is that nothing was done or that it
// stands in the row it is about; and the row that it is about, or -1.
type witness func(s *source, corner tape.Corner, f fighter.Figure, row, about int)

func (w witness) see(s *source, corner tape.Corner, f fighter.Figure, row, about int) {
	if w != nil {
		w(s, corner, f, row, about)
	}
}

// Sighting is one thing on tape that was counted for a figure.
type Sighting struct {
	Bout   *tape.Bout
	Coding string
	Round  uint8
	Clock  int64     // µs since the bell
	Act    *tape.Row // what the fighter did; nil where it was nothing, or where it stands in About
	About  *tape.Row // what it was about: an own act continued, an act of the other's answered, defended, bitten on or met; nil if nothing
	Hit    bool      // counts above the line: of bites the feint was bitten on, of skills the attempt came off, of multiples by last act something was done; else always
	Weight float64   // 1, less for a bout coded several times or, if asked for, an old one
}

// FigureRows is the tape behind one figure of one fighter, as calibration counts it.
type FigureRows struct {
	Fighter   string
	Figure    fighter.Figure
	Sightings []Sighting // in the order of bouts, codings and clocks
	Others    []Sighting // of a choice: those times at which something else of its table was chosen; in the same order
	Stretches []Stretch  // of a rate: the free time that it stands against, by bout and round
	Count     float64    // weights added up: with Coarse.Count what the profile says was seen, but of skills, which it states as information
	Hits      float64    // of these, weights of those that are hits
	Exposure  Exposure
	Coarse    *CoarseRows // what tape coded by exchanges says
	Notes     []string    // what was left out of the tape, or what it leaves open
}

// Stretch is a round's part of a rate's exposure.
type Stretch struct {
	Bout    *tape.Bout
	Round   uint8
	Acts    float64 // by weight
	Seconds float64 // free, in the zone; by weight
}

// Exposure is what a count stands against.
type Exposure struct {
	Amount float64 `json:"amount"` // seconds of a rate; else choices (of a multiple by last act those after it), feints or attempts, by weight
	Rounds int     `json:"rounds"` // of a rate: in which the act could have been written down and there was time there
	Hidden float64 `json:"hidden"` // of choices: those in bouts in which the act was not looked for
	Barred float64 `json:"barred"` // of choices: those under rules that forbid it, and with the back on the fence where it is a step back
}

// Behind lists the rows behind a figure, told by the very code that counts them for [Calibrate] under the same options (For is not looked at).
// What part of an exchange counts for a rate hangs on what else is believed, and so on all options and all tape that the profile was made from.
// Figures that tape cannot show, and fighters who are not on it, are errors.
func Behind(codings []*tape.Coding, o Options, id string, f fighter.Figure) (*FigureRows, error) {
	if err := shown(f); err != nil {
		return nil, err
	}
	in, err := o.sources(codings)
	if err != nil {
		return nil, err
	}
	out := &FigureRows{Fighter: id, Figure: f, Notes: slices.Concat(in.notes, in.left)}
	table := TableWith(f)
	w := func(s *source, corner tape.Corner, figure fighter.Figure, row, about int) {
		switch {
		case s.id(corner) != id:
		case figure == f:
			out.Sightings = append(out.Sightings, s.sighting(f, row, about))
		case slices.Contains(table, figure):
			other := s.sighting(figure, row, about)
			other.Hit = false
			out.Others = append(out.Others, other)
		}
	}
	all := tally(in.full, w)
	attempts(in.full, w)
	out.Coarse = o.coarseBehind(in, id, f)
	t := all[id]
	if t == nil {
		if len(out.Coarse.Bouts) == 0 {
			return nil, fmt.Errorf("no tape of %q in these folders that counts", id)
		}
		t = newCounts(nil)
	}
	out.Exposure, out.Stretches = t.exposure(f), t.stretches(f)
	out.Sightings = slices.DeleteFunc(out.Sightings, func(s Sighting) bool { return !t.counts(f, s.Bout, s.Round) })
	slices.SortStableFunc(out.Sightings, Sighting.compare)
	slices.SortStableFunc(out.Others, Sighting.compare)
	for _, s := range out.Sightings {
		out.Count += s.Weight
		if s.Hit {
			out.Hits += s.Weight
		}
	}
	if !isRateOrChoice(f) && !isPlace(f) {
		out.Exposure.Amount = out.Count
	}
	return out, nil
}

// compare puts sightings in the order of bouts, codings and clocks.
func (s Sighting) compare(o Sighting) int {
	return cmp.Or(cmp.Compare(s.Bout.ID, o.Bout.ID), cmp.Compare(s.Coding, o.Coding), cmp.Compare(s.Round, o.Round), cmp.Compare(s.Clock, o.Clock))
}

// TableWith lists the figures of the table of choices that a figure is of; nil for one that is of none.
func TableWith(f fighter.Figure) (out []fighter.Figure) {
	for z := range fighter.ExchangeZones {
		for _, table := range []func(int, tape.Move) fighter.Figure{fighter.Answer, fighter.Continue} {
			if at := f - table(z, 0); at >= 0 && at < fighter.Figure(tape.NumMoves) {
				for m := range tape.NumMoves {
					out = append(out, table(z, m))
				}
			}
		}
	}
	for threat := range fighter.NumThreats {
		if at := f - fighter.Defend(threat, 0); at >= 0 && at < fighter.Figure(fighter.NumResponses) {
			for r := range fighter.NumResponses {
				out = append(out, fighter.Defend(threat, r))
			}
		}
	}
	return out
}

// stretches lists the rounds that a rate's exposure is of.
func (t *counts) stretches(f fighter.Figure) (out []Stretch) {
	z, m, ok := initiateOf(f)
	if !ok {
		return nil
	}
	for _, r := range t.rounds {
		if free := r.free(z, m); free > 0 {
			out = append(out, Stretch{r.bout, r.round, r.acts[f], free})
		}
	}
	slices.SortFunc(out, func(a, b Stretch) int {
		return cmp.Or(cmp.Compare(a.Bout.ID, b.Bout.ID), cmp.Compare(a.Round, b.Round))
	})
	return out
}

// NotShown says why no row of tape stands behind a figure of a profile; "" if rows may.
func NotShown(p *fighter.Profile, f fighter.Figure) string {
	if name := fighter.Define(f).Name; slices.Contains(strideOf[:], f) && p.Sources[f] == fighter.FromTape {
		return name + " was fitted by fighting the tape again (calibrate --steps): no single row stands behind it"
	}
	if err := shown(f); err != nil {
		return err.Error()
	}
	return ""
}

// shown refuses figures that no row of tape stands behind.
func shown(f fighter.Figure) error {
	d := fighter.Define(f)
	if d.Doubt == fighter.Assumption {
		return fmt.Errorf("%s is an assumption: tape cannot show it, and no row stands behind it", d.Name)
	}
	for c := range fighter.NumCues {
		if f == fighter.Sense(c) {
			return fmt.Errorf("%s is the population's: tape shows it only together with the readiness to bite (%s)", d.Name, fighter.Define(fighter.Bite(c)).Name)
		}
	}
	return nil
}

// sighting describes what was counted.
func (s *source) sighting(f fighter.Figure, row, about int) Sighting {
	out := Sighting{Bout: s.bout, Coding: s.coding.Name, Hit: true, Weight: s.weight}
	if about >= 0 {
		out.About = &s.coding.Rows[about]
		out.Round, out.Clock = out.About.Round, out.About.Clock
	}
	if row >= 0 {
		out.Act = &s.coding.Rows[row]
		out.Round, out.Clock = out.Act.Round, out.Act.Clock
	}
	if isAfter(f) {
		out.Hit = row >= 0
	}
	if fighter.Define(f).Law != fighter.Skill {
		return out
	}
	if e := out.Act; e != nil {
		out.Hit = came(&e.Event)
	} else if out.About.Act.IsFeint() {
		out.Hit = out.About.Defence >= tape.Flinch
	} else {
		out.Hit = !came(&out.About.Event)
	}
	return out
}

func isRateOrChoice(f fighter.Figure) bool {
	return fighter.Define(f).Law == fighter.Rate || fighter.Define(f).Law == fighter.Weight
}

// counts reports whether a sighting in a round counts: a rate's only where there was free time in the zone.
func (t *counts) counts(f fighter.Figure, bout *tape.Bout, round uint8) bool {
	z, m, ok := initiateOf(f)
	if !ok {
		return true
	}
	for _, r := range t.rounds {
		if r.bout == bout && r.round == round {
			return r.free(z, m) > 0
		}
	}
	return false
}

// exposure gives what a rate or a choice stands against.
func (t *counts) exposure(f fighter.Figure) (out Exposure) {
	if z, m, ok := initiateOf(f); ok {
		_, seconds := initiated(t.rounds, z, m)
		return Exposure{Amount: sum(seconds), Rounds: len(seconds)}
	}
	if isPlace(f) {
		return t.timeIn(placeOf(f))
	}
	for z := range fighter.ExchangeZones {
		for _, table := range []func(int, tape.Move) fighter.Figure{fighter.Answer, fighter.Continue} {
			if at := f - table(z, 0); at >= 0 && at < fighter.Figure(tape.NumMoves) {
				return t.choicesIn(func(m tape.Move) fighter.Figure { return table(z, m) }, tape.Move(at))
			}
		}
	}
	for threat := range fighter.NumThreats {
		if at := f - fighter.Defend(threat, 0); at >= 0 && at < fighter.Figure(fighter.NumResponses) {
			for r := range fighter.NumResponses {
				out.Amount += t.defends[fighter.Defend(threat, r)]
			}
		}
	}
	return out
}

func (t *counts) choicesIn(figure func(tape.Move) fighter.Figure, m tape.Move) (out Exposure) {
	for p, n := range t.tables {
		total := 0.0
		for other := range tape.NumMoves {
			total += n[figure(other)]
		}
		out.Amount += total
		if p.hidden(m) {
			out.Hidden += total
		}
		if p.forbidden(m) {
			out.Barred += total
		}
	}
	return out
}

// initiateOf gives the zone and move of a rate.
func initiateOf(f fighter.Figure) (fighter.Zone, tape.Move, bool) {
	at := f - fighter.Initiate(0, 0)
	z := fighter.Zone(at / fighter.Figure(tape.NumMoves))
	return z, tape.Move(at % fighter.Figure(tape.NumMoves)), at >= 0 && fighter.Define(f).Law == fighter.Rate
}
