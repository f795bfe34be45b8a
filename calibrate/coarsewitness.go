package calibrate

import (
	"cmp"
	"slices"

	"whatbout/fighter"
	"whatbout/tape"
)

// coarseKind is what a row of a coarse coding counted as for one fighter.
type coarseKind uint8

const (
	stood      coarseKind = iota // a sample's time in a zone
	led                          // an exchange that the fighter began, by a known act and near a sample with a range
	gaveGround                   // an exchange in which the fighter gave ground
	stayed                       // one in which it is known that the fighter did not
	hit                          // one in which the fighter's clean hits were counted
)

// coarseSight is one row that counted.
type coarseSight struct {
	from             *coarseSource
	corner           tape.Corner
	sample, exchange int // rows; -1: none
	look             look
	weight           float64 // of an exchange by coding and age; of a sample seconds, by the same
	kind             coarseKind
}

// coarseWitness is told of every row of coarse tape when it is counted.
type coarseWitness func(coarseSight)

func (w coarseWitness) see(s coarseSight) {
	if w != nil {
		w(s)
	}
}

// CoarseSighting is an exchange that was counted for a figure, or a sample whose time was.
type CoarseSighting struct {
	Bout     *tape.Bout
	Coding   string
	Exchange *tape.Exchange // nil: a sample's time
	Sample   *tape.Sample   // whose time it is, or that shows in which zone the exchange began; nil where that does not matter
	Own      fighter.Zone   // of a rate: the fighter's own zone at the sample; Top for the ground
	Hits     int            // of a skill: clean hits of the attempts in question
	Hit      bool           // of a rate: always; of stepping back that ground was given; of attack that a hit was clean, of defence that none was
	Weight   float64        // of an exchange what it counts: of a rate the part that is taken to be its own
	Seconds  float64        // of a sample: the time that it stands for, by weight
}

// CoarseRows is what tape coded by exchanges says of a figure. Of bouts of which every act was coded too there is nothing here.
type CoarseRows struct {
	Bouts     []*tape.Bout // of the fighter, that are coded by exchanges alone and count
	Tells     CoarseTells
	Sightings []CoarseSighting // exchanges in the order of bouts, codings and clocks, then samples
	Count     float64          // what the profile says was seen: see Tells
	Exchanges float64          // that Count stands against, by weight: led with such an act, or in which it was looked for
	Hits      float64          // of a skill: clean hits
	Seconds   float64          // of a rate: sampled in the zone
	Through   string           // of TellsTable: the figure of the same table that is moved
}

// CoarseTells is what exchanges tell of a figure.
type CoarseTells uint8

// The ways in which exchanges tell of figures.
const (
	TellsNothing CoarseTells = iota
	TellsRate                // Count is the part of the exchanges led that is taken to be the figure's own
	TellsBack                // Count is exchanges in which ground was given; one set of rows moves all kinds of stepping back
	TellsSkill               // Hits of all families together; the profile states information
	TellsTable               // the weight is not moved, but that of stepping back in the same table is, and with it every share
)

// coarseBehind lists what exchanges say of a figure of one fighter: what [Calibrate] counts, from the same start.
func (o Options) coarseBehind(in *counted, id string, f fighter.Figure) *CoarseRows {
	out := &CoarseRows{}
	for _, s := range in.coarse {
		if (s.id(0) == id || s.id(1) == id) && !slices.Contains(out.Bouts, s.bout) {
			out.Bouts = append(out.Bouts, s.bout)
		}
	}
	if len(out.Bouts) == 0 || !mayTell(f) {
		return out
	}
	var sights []coarseSight
	g := o.gather(in, func(s coarseSight) { sights = append(sights, s) })
	g.coarse.set(g.byActs(id))
	out.Tells, out.Through = g.coarse.tells(id, f)
	for _, s := range sights {
		out.take(s, id, f, g.coarse.tallies[id])
	}
	slices.SortStableFunc(out.Sightings, CoarseSighting.compare)
	return out
}

// mayTell leaves out what exchanges tell nothing of, whatever is on them.
func mayTell(f fighter.Figure) bool {
	_, move, rate := initiateOf(f)
	_, _, skill := familyOf(f)
	return skill || TableWith(f) != nil || rate && (move == tape.MoveStepBack || move != tape.NoMove && move.Act().IsAttack())
}

// tells says what exchanges told of a figure, after the fighter's profile was set.
func (c *coarseTape) tells(id string, f fighter.Figure) (CoarseTells, string) {
	t := c.tallies[id]
	if rated(t, f) {
		return TellsRate, ""
	}
	u := c.usual()
	back := slices.IndexFunc(u.gave.targets, func(b backTarget) bool { return b.figure == f || slices.Contains(b.table, f) })
	switch family, _, ok := familyOf(f); {
	case back >= 0 && t.gave[0] > 0:
		if b := u.gave.targets[back]; b.figure != f {
			return TellsTable, fighter.Define(b.figure).Name
		}
		return TellsBack, ""
	case ok && u.clean.slope[family] > 0:
		return TellsSkill, ""
	}
	return TellsNothing, ""
}

func rated(t *coarseCounts, f fighter.Figure) bool {
	for _, o := range t.openings {
		if _, ok := o.share[f]; ok {
			return true
		}
	}
	return false
}

// familyOf tells skills of attack and defence from other figures.
func familyOf(f fighter.Figure) (family fighter.Family, defence, ok bool) {
	for family := range fighter.NumFamilies {
		switch f {
		case fighter.Attack(family):
			return family, false, true
		case fighter.Defence(family):
			return family, true, true
		}
	}
	return 0, false, false
}

// take adds a row, if it counted for the figure.
func (r *CoarseRows) take(s coarseSight, id string, f fighter.Figure, t *coarseCounts) {
	own := s.from.id(s.corner) == id
	switch {
	case r.Tells == TellsRate && own && (s.kind == led || s.kind == stood):
		r.takeRate(s, f, t.openings[patternOf(s.from.bout)])
	case r.Tells == TellsBack && own && (s.kind == gaveGround || s.kind == stayed):
		x := s.sighting()
		x.Hit = s.kind == gaveGround
		if r.Exchanges += s.weight; x.Hit {
			r.Count += s.weight
		}
		r.Sightings = append(r.Sightings, x)
	case r.Tells == TellsSkill && s.kind == hit:
		_, defence, _ := familyOf(f)
		if s.from.id(s.corner.Other()) == id != defence || own == defence {
			return
		}
		x := s.sighting()
		x.Hits = x.Exchange.Clean[s.corner]
		x.Hit = x.Hits > 0 != defence
		r.Exchanges, r.Hits = r.Exchanges+s.weight, r.Hits+s.weight*float64(x.Hits)
		r.Sightings = append(r.Sightings, x)
	}
}

// takeRate adds an exchange that an act of the figure's led, with the part of it that counts, or a sample in the figure's zone.
func (r *CoarseRows) takeRate(s coarseSight, f fighter.Figure, o *openings) {
	z, m, _ := initiateOf(f)
	share, moved := o.share[f]
	x := s.sighting()
	if x.Own = fighter.Zone(s.look); s.look == ground {
		x.Own = fighter.Top
	}
	switch {
	case !moved || s.kind == stood && int(s.look) != int(z) || s.kind == led && x.Exchange.First != m.Act():
		return
	case s.kind == stood:
		r.Seconds += x.Seconds
	default:
		x.Weight *= share[s.look]
		r.Exchanges, r.Count = r.Exchanges+s.weight, r.Count+x.Weight
	}
	r.Sightings = append(r.Sightings, x)
}

func (s *coarseSight) sighting() CoarseSighting {
	x := CoarseSighting{Bout: s.from.bout, Coding: s.from.coarse.Name, Hit: true, Weight: s.weight}
	if s.sample >= 0 {
		x.Sample = &s.from.coarse.Samples[s.sample]
	}
	if s.exchange >= 0 {
		x.Exchange = &s.from.coarse.Exchanges[s.exchange]
	} else {
		x.Weight, x.Seconds = s.from.weight, s.weight
	}
	return x
}

// compare puts exchanges before samples, and each in the order of bouts, codings and clocks.
func (s CoarseSighting) compare(o CoarseSighting) int {
	kind := func(s CoarseSighting) int {
		if s.Exchange != nil {
			return 0
		}
		return 1
	}
	round, clock := s.When()
	other, then := o.When()
	return cmp.Or(cmp.Compare(kind(s), kind(o)), cmp.Compare(s.Bout.ID, o.Bout.ID), cmp.Compare(s.Coding, o.Coding), cmp.Compare(round, other), cmp.Compare(clock, then))
}

// When gives round and clock, µs since the bell: of the exchange, else of the sample.
func (s CoarseSighting) When() (round uint8, clock int64) {
	if s.Exchange != nil {
		return s.Exchange.Round, s.Exchange.Clock
	}
	return s.Sample.Round, s.Sample.Clock
}
