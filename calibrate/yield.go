package calibrate

import (
	"fmt"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// Yield is what coding more of a fighter's tape adds to each figure, by where the fighter is, at the centre of what is believed now.
type Yield struct {
	Share [fighter.NumZones]float64 // of a bout that the fighter spends in each zone
	// Southpaw is the share of a bout that the fighter spends in each zone on the feet with the right foot in front, as stances are coded; 0 in the
	// clinch and on the ground, where nobody stands in one.
	Southpaw [fighter.NumZones]float64
	// Adds holds, by zone and figure, what a minute of tape with the fighter in that zone adds: to a rate free seconds, to a weight decisions in
	// its table, to a skill or a multiple by last act precision (1 over log-odds squared).
	Adds [fighter.NumZones][]float64
}

// yieldBouts of coded tape are calibrated to see what a minute adds. Few, since tape against one opponent tells ever less of a skill, and
// tape to come is against several.
const yieldBouts = 4

// Yields plays bouts of the two at the centres of their profiles, codes everything and calibrates: what that moves the population by, each
// fighter's own (the program's where that is not at hand; see [fighter.Profile.StandOn]), is what such tape adds. What belongs to no zone (skills, defences, bites) is split between zones in proportion to how often it shows there.
func Yields(pair *fighter.Pair, rules *tape.RuleSet) (out [2]*Yield, err error) {
	codings, err := playedTape(pair, rules)
	if err != nil {
		return out, err
	}
	ids := [2]string{pair.Red.ID, pair.Blue.ID}
	known := map[string]fighter.Body{ids[0]: pair.Red.Body, ids[1]: pair.Blue.Body}
	var r *Result
	for c, p := range []*fighter.Profile{pair.Red, pair.Blue} {
		if r == nil || p.StandsOn() != pair.Red.StandsOn() {
			if r, err = Calibrate(codings, Options{All: true, For: ids[:], Population: p.StandsOn()}); err != nil {
				return out, err
			}
		}
		showing := shownIn(sourcesOf(codings, known), tape.Corner(c))
		out[c] = showing.yield(r.Profiles[p.ID], p.Prior())
	}
	return out, nil
}

func playedTape(pair *fighter.Pair, rules *tape.RuleSet) (codings []*tape.Coding, err error) {
	b := sim.NewBout()
	b.Setup(rules, sim.AverageWorld())
	for c, p := range []*fighter.Profile{pair.Red, pair.Blue} {
		if err := b.Sides[c].Load(p.Body, p.Centre(), nil, nil, rules); err != nil {
			return nil, err
		}
	}
	b.NoStop = true
	for i := range yieldBouts {
		b.Run(kernel.NewKey(0x7969656c64, uint64(i)))
		bout := &tape.Bout{ID: fmt.Sprintf("played-%d", i), Rules: rules.Name, RuleSet: rules, Level: "events", LookedFor: tape.AllGroups(),
			Corners: [2]bool{true, true}, Usual: true, Kind: "bout", Ended: tape.Ended{Winner: tape.NoCorner}, Invented: true,
			Fighters: [2]tape.Fighter{{ID: pair.Red.ID, Body: physiqueOf(pair.Red.Body)}, {ID: pair.Blue.ID, Body: physiqueOf(pair.Blue.Body)}}}
		coding := &tape.Coding{Bout: bout, Name: "events"}
		for _, e := range b.Events {
			coding.Rows = append(coding.Rows, tape.Row{Event: e})
		}
		codings = append(codings, coding)
	}
	return codings, nil
}

func physiqueOf(b fighter.Body) *tape.Physique {
	p := &tape.Physique{Stature: b.Stature, Span: b.Span, Leg: b.Leg, Weight: b.Weight, Stance: tape.Orthodox}
	if b.Southpaw {
		p.Stance = tape.Southpaw
	}
	return p
}

// showing is where a fighter was, and where what concerns a figure that belongs to no zone showed.
type showing struct {
	seconds  [fighter.NumZones]float64
	southpaw [fighter.NumZones]float64 // of the seconds
	times    map[fighter.Figure]*[fighter.NumZones]float64
}

func shownIn(sources []*source, corner tape.Corner) *showing {
	out := &showing{times: map[fighter.Figure]*[fighter.NumZones]float64{}}
	for _, s := range sources {
		for i := range s.lights {
			out.round(viewOf(s, &s.lights[i], corner))
		}
	}
	return out
}

func (t *showing) round(v *view) {
	for i, z := range v.zones {
		to := v.end
		if i+1 < len(v.zones) {
			to = v.zones[i+1].at
		}
		if z.zone != unknown && to > z.at {
			t.seconds[z.zone] += float64(to-z.at) / 1e6
			if hasStance(z.zone) {
				t.southpaw[z.zone] += float64(v.inSouthpaw(z.at, to)) / 1e6
			}
		}
	}
	when, _ := v.spots()
	for i := v.first; i < v.last; i++ {
		e := &v.src.events[i]
		z := v.zone(e.Clock)
		if z == unknown || !v.src.isAct(i) {
			continue
		}
		t.afters(v, e, z)
		if e.Corner == v.corner {
			t.placed(v, &when, e, z)
		}
		family, attempt := fighter.FamilyOf(e.Act)
		switch {
		case e.Corner == v.corner && attempt:
			t.add(fighter.Attack(family), z)
		case e.Corner == v.corner:
		case e.Act.IsFeint():
			t.add(fighter.Bite(fighter.ThreatOf(e.Act).Cue()), z)
		case attempt:
			t.add(fighter.Defence(family), z)
			t.add(fighter.Defend(fighter.ThreatOf(e.Act), 0), z)
		}
	}
}

// hasStance reports whether a stance means anything in a zone.
func hasStance(z fighter.Zone) bool { return z <= fighter.Pocket }

// inSouthpaw is how long the fighter of a view stands in southpaw between two clocks of its round, µs.
func (v *view) inSouthpaw(from, to int64) (sum int64) {
	body := v.src.bodies[v.corner]
	southpaw, since := body != nil && body.Southpaw, from
	until := func(clock int64) {
		if southpaw {
			sum += max(clock-since, 0)
		}
		since = max(clock, since)
	}
	for i := range v.last {
		e := &v.src.events[i]
		if e.Act != tape.StateStance || e.Corner != v.corner {
			continue
		}
		switch {
		case i >= v.first && e.Clock >= to:
			until(to)
			return sum
		case i >= v.first:
			until(e.Clock)
		}
		southpaw = e.Value == tape.Southpaw
	}
	until(to)
	return sum
}

func (t *showing) add(f fighter.Figure, z fighter.Zone) {
	if t.times[f] == nil {
		t.times[f] = new([fighter.NumZones]float64)
	}
	t.times[f][z]++
}

// yield compares a calibrated profile with the population's, from which it started.
func (t *showing) yield(p, prior *fighter.Profile) *Yield {
	y, total := &Yield{}, 0.0
	for z := range y.Adds {
		y.Adds[z] = make([]float64, len(p.Figures))
		total += t.seconds[z]
	}
	for z, s := range t.seconds {
		y.Share[z], y.Southpaw[z] = s/total, t.southpaw[z]/total
	}
	spread := func(f, like fighter.Figure, added float64) { // over the zones in which it shows
		times := t.times[like]
		if times == nil || added <= 0 {
			return
		}
		all := sum(times[:])
		for z, n := range times {
			if t.seconds[z] > 0 {
				y.Adds[z][f] += added * n / all * 60 / t.seconds[z]
			}
		}
	}
	in := func(z fighter.Zone, f fighter.Figure, added float64) {
		if t.seconds[z] > 0 && added > 0 {
			y.Adds[z][f] = added * 60 / t.seconds[z]
		}
	}
	added := func(f fighter.Figure) float64 { return p.Figures[f].A - prior.Figures[f].A }
	chosen := func(f fighter.Figure) float64 { return p.Figures[f].Mean(fighter.Weight) - prior.Figures[f].A } // whose doubt may be wider than a weight's
	for z := range fighter.NumZones {
		for m := range tape.NumMoves {
			f := fighter.Initiate(z, m)
			in(z, f, p.Figures[f].B-prior.Figures[f].B)
		}
	}
	for row := range fighter.ExchangeZones {
		for _, table := range []func(int, tape.Move) fighter.Figure{fighter.Answer, fighter.Continue} {
			decisions := 0.0
			for m := range tape.NumMoves {
				decisions += chosen(table(row, m))
			}
			for m := range tape.NumMoves {
				in(fighter.Kicking+fighter.Zone(row), table(row, m), decisions)
			}
		}
	}
	for threat := range fighter.NumThreats {
		decisions := 0.0
		for r := range fighter.NumResponses {
			decisions += added(fighter.Defend(threat, r))
		}
		for r := range fighter.NumResponses {
			spread(fighter.Defend(threat, r), fighter.Defend(threat, 0), decisions)
		}
	}
	precision := func(f fighter.Figure) float64 {
		return 1/(p.Figures[f].B*p.Figures[f].B) - 1/(prior.Figures[f].B*prior.Figures[f].B)
	}
	for c := range fighter.NumCues {
		spread(fighter.Bite(c), fighter.Bite(c), precision(fighter.Bite(c)))
	}
	for f := range fighter.NumFamilies {
		spread(fighter.Attack(f), fighter.Attack(f), precision(fighter.Attack(f)))
		spread(fighter.Defence(f), fighter.Defence(f), precision(fighter.Defence(f)))
	}
	for f := fighter.Placed(0, 0); isPlace(f) || isAfter(f); f++ {
		spread(f, f, precision(f))
	}
	return y
}
