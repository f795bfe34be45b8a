package calibrate

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// counts is what one fighter's tape shows, by figure. Everything is weighed by its coding.
type counts struct {
	rounds   []*roundCount
	tables   map[pattern]map[fighter.Figure]float64 // choices at answer and continue, by what could be written down
	lasts    map[pattern]map[lastChoice]float64     // the same, by what they came after
	defends  map[fighter.Figure]float64
	meets    bool                     // somebody wrote down that an attack was met by a strike
	feints   [fighter.NumCues]float64 // shown to the fighter while somebody looked what they do about it
	bitten   [fighter.NumCues]float64
	invented bool
	witness  witness // told of every row that is counted; may be nil
}

func newCounts(w witness) *counts {
	return &counts{tables: map[pattern]map[fighter.Figure]float64{}, lasts: map[pattern]map[lastChoice]float64{}, defends: map[fighter.Figure]float64{}, witness: w}
}

// pattern is what could have been written down of a choice: of a move that was not looked for or is against the rules, the
// absence says nothing.
type pattern struct {
	lookedFor tape.Groups
	allowed   [tape.NumMoves]bool
	cornered  bool // no room for a step back
}

func (p *pattern) hidden(m tape.Move) bool { return m != tape.NoMove && !p.lookedFor.Has(m.Act()) }

func (p *pattern) forbidden(m tape.Move) bool {
	return m != tape.NoMove && !p.allowed[m] || p.cornered && m == tape.MoveStepBack
}

// roundCount is the initiated acts and free seconds of one round, a mean over its codings.
type roundCount struct {
	bout    *tape.Bout
	round   uint8
	acts    map[fighter.Figure]float64
	choices map[fighter.Figure]float64 // at answer and continue
	seconds [fighter.NumZones]float64
	fenced  [fighter.NumZones]float64 // of them with the back on the fence

	there      map[spotAt]float64  // of the seconds on the feet, by place
	placedActs map[spotAct]float64 // of the acts that a rate counts, those on the feet, by place
	coded      float64             // seconds coded and in sight
	age        float64             // what an old bout weighs, by which acts and seconds were multiplied; 1 for a fresh one
}

// tally reads everybody's tape.
func tally(sources []*source, w witness) map[string]*counts {
	out := map[string]*counts{}
	for _, s := range sources {
		for _, c := range []tape.Corner{tape.RedCorner, tape.BlueCorner} {
			t := out[s.id(c)]
			if t == nil {
				t = newCounts(w)
				out[s.id(c)] = t
			}
			t.invented = t.invented || s.bout.Invented
			t.met(s, c)
			for i := range s.lights {
				if s.bout.Corners[c] {
					t.round(viewOf(s, &s.lights[i], c))
				}
			}
		}
	}
	return out
}

// roundOf gives the round's counts, the same for all codings of a bout.
func (t *counts) roundOf(v *view) *roundCount {
	for _, r := range t.rounds {
		if r.bout == v.src.bout && r.round == v.round {
			return r
		}
	}
	r := &roundCount{bout: v.src.bout, round: v.round, acts: map[fighter.Figure]float64{}, choices: map[fighter.Figure]float64{},
		there: map[spotAt]float64{}, placedActs: map[spotAct]float64{}, age: v.src.age}
	t.rounds = append(t.rounds, r)
	return r
}

// round books every own act of a round once: in the table of the act or attack that it is about, or as initiated.
func (t *counts) round(v *view) {
	r := t.roundOf(v)
	r.coded += v.seconds() * v.src.weight / v.src.age
	seconds, fenced := v.exposure()
	for z := range seconds {
		r.seconds[z] += seconds[z] * v.src.weight
		r.fenced[z] += fenced[z] * v.src.weight
	}
	placesAt := r.placed(v)
	followed := map[int]int{}
	for i := v.first; i < v.last; i++ {
		e := &v.src.events[i]
		if !v.src.isAct(i) || e.Corner != v.corner {
			continue
		}
		if v.isBite(e) || tape.Meets(v.src.events, i) >= 0 { // what was done about a feint or an attack, in whose row it stands
			continue
		}
		if p, about := tape.Origin(v.src.events, i); p != tape.Initiate {
			if z := v.zoneOfChoice(&v.src.events[about]); z <= fighter.Pocket || z == unknown {
				followed[about] = i
				continue
			} // in the clinch and on the ground there are rates only
		}
		if f, ok := v.rateOf(e); ok {
			r.acts[f] += v.src.weight
			t.witness.see(v.src, v.corner, f, i, -1)
			t.place(v, r, f, i, placesAt)
		}
	}
	t.choices(v, followed)
}

// place books where an act that a rate counts was begun.
func (t *counts) place(v *view, r *roundCount, f fighter.Figure, row int, at func(int64) (known, hold places)) {
	z, m, _ := initiateOf(f)
	sort, sorted := fighter.SortOf(m)
	if z > fighter.Pocket || !sorted {
		return
	}
	known, hold := at(v.src.events[row].Onset())
	r.placedActs[spotAct{m, spotAt{z, known, hold}}] += v.src.weight
	for k := range fighter.NumPlaces {
		if hold.has(k) {
			t.witness.see(v.src, v.corner, fighter.Placed(k, sort), row, -1)
		}
	}
}

// rateOf gives the rate that an initiated act counts for, if it counts for any.
func (v *view) rateOf(e *tape.Event) (fighter.Figure, bool) {
	z, move, onset := v.begun(e), tape.MoveOf(e.Act, e.Value), e.Onset()
	if z == unknown || !fighter.Possible(z, move) || !v.src.may(move) || v.unlike(onset) || move == tape.MoveStepBack && v.cornered(onset) {
		return 0, false
	}
	return fighter.Initiate(z, move), true
}

// takesAtMost is about how long what is chosen takes to come, µs.
const takesAtMost = 550_000

// fitToChoose reports whether what was chosen at that time is what is chosen otherwise, and is on the tape: nobody had been hurt, nor is before
// it could come, and no leg was caught.
func (v *view) fitToChoose(at int64) bool {
	return !v.isHurt(at) && !v.isHurt(at+takesAtMost) && !v.grabbed(at)
}

// choices books what followed own acts and the other's attacks, nothing too, at every point at which something could follow.
func (t *counts) choices(v *view, followed map[int]int) {
	for i := v.first; i < v.last; i++ {
		e := &v.src.events[i]
		z := v.zoneOfChoice(e)
		if !v.src.isAct(i) || z > fighter.Pocket || !v.fitToChoose(v.choiceAt(e)) {
			continue
		}
		next, acted := followed[i]
		move := tape.NoMove
		if acted {
			move = tape.MoveOf(v.src.events[next].Act, v.src.events[next].Value)
		} else {
			next = -1
		}
		switch {
		case e.Corner == v.corner && v.watched(e.Clock, e.ContinueEnds()):
			t.choice(v, i, next, fighter.Continue(z.Exchange(), move))
		case e.Corner != v.corner && e.AnswerEnds() > 0 && !v.acting(e, next) && v.watched(e.Clock, e.AnswerEnds()):
			t.choice(v, i, next, fighter.Answer(z.Exchange(), move))
		}
	}
}

// choice books a choice about a row: the act in row next, or nothing if that is -1. With the back on the fence there is no step back to
// choose, and one that was made there after all is left out, so that the others' shares of what is left stay right.
func (t *counts) choice(v *view, about, next int, f fighter.Figure) {
	p := pattern{v.src.bout.LookedFor, v.src.bout.RuleSet.Allowed, v.cornered(v.choiceAt(&v.src.events[about]))}
	if p.cornered && next >= 0 && v.src.events[next].Act == tape.StepBack {
		return
	}
	if t.tables[p] == nil {
		t.tables[p], t.lasts[p] = map[fighter.Figure]float64{}, map[lastChoice]float64{}
	}
	t.tables[p][f] += v.src.weight
	t.after(v, about, next, p, f)
	t.roundOf(v).choices[f] += v.src.weight
	t.witness.see(v.src, v.corner, f, next, about)
}

// acting reports whether the fighter was in the middle of an own act or had just ended one when an act of the other's came, so that there
// was no time to choose an answer. Row next is the answer itself; any other act that began before an answer could, too, was on its way.
// Somebody who defended or bit on a feint had the time.
func (v *view) acting(about *tape.Event, next int) bool {
	if about.Act.IsFeint() || about.Defended() {
		return false
	}
	for i := v.first; i < v.last; i++ {
		e := &v.src.events[i]
		if i != next && e.Corner == v.corner && v.src.isAct(i) && e.Onset() <= about.Clock+about.AnswerAt() && about.Clock < e.Clock+e.Takes() {
			return true
		}
	}
	return false
}

// isBite reports whether the act is the strike that a row says the fighter bit on a feint with, so that it was no choice of its own.
func (v *view) isBite(e *tape.Event) bool {
	if !e.Act.IsStrike() {
		return false
	}
	for i := v.first; i < v.last; i++ {
		f := &v.src.events[i]
		if since := e.Onset() - f.Clock; f.Corner == v.corner.Other() && f.Defence == tape.Struck && since > -biteUntil && since < biteUntil {
			return true
		}
	}
	return false
}

// met books what the fighter did about the other's acts, where it was looked for. "None" may be a choice, a disbelief or too late,
// so it is not counted as a choice to absorb.
func (t *counts) met(s *source, corner tape.Corner) {
	if !s.bout.LookedFor[tape.GroupDefences] {
		return
	}
	for i := range s.events {
		e := &s.events[i]
		t.meets = t.meets || e.Defence == tape.StrikeFirst
		if e.Corner != corner.Other() || !s.isAct(i) || e.Defence == tape.DefenceUncoded || e.Defence == tape.DefenceUnknown {
			continue
		}
		if e.Act.IsFeint() {
			cue := fighter.ThreatOf(e.Act).Cue()
			t.feints[cue] += s.weight
			t.witness.see(s, corner, fighter.Bite(cue), -1, i)
			if e.Defence >= tape.Flinch {
				t.bitten[cue] += s.weight
			}
		} else if r, ok := responseTo(e); ok {
			t.defends[fighter.Defend(fighter.ThreatOf(e.Act), r)] += s.weight
			t.witness.see(s, corner, fighter.Defend(fighter.ThreatOf(e.Act), r), -1, i)
		}
	}
}

// responseTo gives the response that was written down; a guard is taken for the high one.
func responseTo(e *tape.Event) (fighter.Response, bool) {
	for r := range fighter.NumResponses {
		if r != fighter.Absorb && r.Defence() == e.Defence {
			return r, true
		}
	}
	return 0, false
}
