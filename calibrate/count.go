package calibrate

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// tally is what one fighter's tape shows, by figure.
type tally struct {
	rounds   []roundCount
	counts   map[fighter.Figure]float64 // choices at answer, continue and defend
	feints   [fighter.NumCues]float64   // shown to the fighter while standing
	bitten   [fighter.NumCues]float64
	minutes  float64
	attempts []attempt
}

// roundCount is the initiated acts and free seconds of one round.
type roundCount struct {
	acts    map[fighter.Figure]float64
	seconds [fighter.NumZones]float64
}

// attempt is one try at something that may come off, by whom, against whom.
type attempt struct {
	move           tape.Move
	defended       bool
	made           bool
	attacker, with string
}

// tallyOf reads all of a fighter's tape.
func tallyOf(tapes []*Tape, id string) *tally {
	t := &tally{counts: map[fighter.Figure]float64{}}
	for _, bout := range tapes {
		for c, name := range bout.IDs {
			if name != id {
				continue
			}
			for _, r := range rounds(bout, tape.Corner(c)) {
				t.round(r)
			}
			t.contests(bout, tape.Corner(c))
		}
	}
	return t
}

func (t *tally) round(r *round) {
	rc := roundCount{acts: map[fighter.Figure]float64{}, seconds: r.exposure()}
	t.minutes += float64(r.end) / 60e6
	claimed := map[*tape.Event]bool{}
	for i, e := range r.own {
		t.continues(r, i, e, claimed)
	}
	for _, e := range r.their {
		t.answers(r, e, claimed)
		t.defends(e)
	}
	for _, e := range r.own {
		if !claimed[e] {
			z := r.zone(onset(e))
			if m := tape.MoveOf(e.Act, e.Value); m != tape.NoMove && fighter.Possible(z, m) {
				rc.acts[fighter.Initiate(z, m)]++
			}
		}
	}
	t.rounds = append(t.rounds, rc)
}

// continues notes what followed an own act.
func (t *tally) continues(r *round, i int, e *tape.Event, claimed map[*tape.Event]bool) {
	z := r.zone(e.Clock)
	if z > fighter.Pocket {
		return
	}
	move := tape.NoMove
	if i+1 < len(r.own) {
		if next := r.own[i+1]; onset(next)-e.Clock < tape.ContinueWindow {
			move = tape.MoveOf(next.Act, next.Value)
			claimed[next] = true
		}
	}
	t.counts[fighter.Continue(z.Exchange(), move)]++
}

// answers notes what followed an attack by the other, if the fighter was not busy with an own act.
func (t *tally) answers(r *round, attack *tape.Event, claimed map[*tape.Event]bool) {
	z := r.zone(attack.Clock)
	if z > fighter.Pocket {
		return
	}
	move := tape.NoMove
	for _, e := range r.own {
		from := onset(e)
		if from <= attack.Clock && attack.Clock < e.Clock+200_000 {
			return
		}
		if !claimed[e] && from > attack.Clock && from-attack.Clock < tape.AnswerWindow {
			move = tape.MoveOf(e.Act, e.Value)
			claimed[e] = true
			break
		}
	}
	t.counts[fighter.Answer(z.Exchange(), move)]++
}

// defends notes what the fighter did about an attack. "None" may be a choice, a disbelief or too late, so it is not counted here.
func (t *tally) defends(e *tape.Event) {
	if r, ok := responseTo(e); ok {
		t.counts[fighter.Defend(fighter.ThreatOf(e.Act), r)]++
	}
}

func responseTo(e *tape.Event) (fighter.Response, bool) {
	if e.Defence == tape.Guard {
		if e.Value == tape.Head || e.Value == tape.NoValue {
			return fighter.GuardHigh, true
		}
		return fighter.GuardLow, true
	}
	for r := range fighter.NumResponses {
		if r != fighter.Absorb && r.Defence() == e.Defence {
			return r, true
		}
	}
	return 0, false
}

// contests notes the fighter's own attempts and the feints shown to them.
func (t *tally) contests(bout *Tape, corner tape.Corner) {
	for i := range bout.Events {
		e := &bout.Events[i]
		if e.Corner == corner.Other() && e.Act.IsFeint() {
			cue := fighter.ThreatOf(e.Act).Cue()
			t.feints[cue]++
			if e.Defence >= tape.Flinch {
				t.bitten[cue]++
			}
		}
		if e.Corner != corner || e.Result == tape.ResultUnknown || e.Result == tape.ResultUncoded {
			continue
		}
		if _, ok := fighter.FamilyOf(e.Act); ok {
			t.attempts = append(t.attempts, attempt{tape.MoveOf(e.Act, e.Value), isDefended(e), came(e), bout.IDs[corner], bout.IDs[corner.Other()]})
		}
	}
}

func isDefended(e *tape.Event) bool {
	return e.Defence > tape.DefenceNone && e.Defence < tape.Flinch
}

func came(e *tape.Event) bool {
	return e.Result.IsClean() || e.Result == tape.TakenDown || e.Result == tape.Made
}
