package sim

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// Method is how a bout ended.
type Method uint8

// The methods.
const (
	ByDecision Method = iota
	ByKO
	ByTKO
	BySubmission
	ByCorner
	ByDisqualification
	NoContest
	NumMethods
)

var methodNames = [NumMethods]string{"decision", "KO", "TKO", "submission", "corner or doctor", "disqualification", "no contest"}

func (m Method) String() string { return methodNames[m] }

// Agreement is how far the judges of a decision or draw agreed.
type Agreement uint8

// How far judges agree: all three; two with the third against them; two with the third level (of a draw: two level).
const (
	Unanimous Agreement = iota
	Split
	Majority
	NumAgreements
)

var agreementNames = [NumAgreements]string{"unanimous", "split", "majority"}

func (a Agreement) String() string { return agreementNames[a] }

// Verdict is the official end. Winner is the corner, -1 for a draw or no contest. Judges counts for decisions and draws alone.
type Verdict struct {
	Winner int8
	Method Method
	Judges Agreement
	Round  uint8
	Clock  int64
}

// IsDraw reports whether the judges found nobody ahead.
func (v Verdict) IsDraw() bool { return v.Winner < 0 && v.Method == ByDecision }

// Counts is what one fighter did and took in a bout, in whole numbers. Times in microseconds.
type Counts struct {
	Thrown, Landed, Clean     [fighter.NumFamilies]int64
	JabThrown, JabLanded      int64
	HeadClean, HeadLanded     int64 // dealt
	Knockdowns                int64 // dealt
	Feints, Bitten            int64 // own feints, and those the other bit on
	StepsBack, StepsIn        int64
	HandFights, HandFightsWon int64
	Shots, Takedowns          int64
	Submissions               int64
	Counters                  int64 // strikes thrown in answer
	Zone                      [fighter.NumZones]int64
	Centre, Fence             int64 // time holding the centre, time with the back on the fence
}

// Outcome is what a bout leaves behind, as whole numbers that merge by addition.
type Outcome struct {
	Verdict Verdict
	Cards   [3][2]int
	Chances Chances // what was left to the judges
	Time    int64   // fought, µs
	Sides   [2]Counts
}

// outcome reads the events of the bout just played.
func (b *Bout) outcome() Outcome {
	o := Outcome{Verdict: b.verdict, Cards: b.cards, Chances: b.chances()}
	w := watch{}
	round := uint8(0)
	length := int64(b.Rules.RoundSeconds) * 1e6
	for i := range b.Events {
		e := &b.Events[i]
		if e.Round != round {
			if round > 0 {
				w.until(&o, length)
				o.Time += length
			}
			round = e.Round
			w = watch{zone: [2]fighter.Zone{fighter.NumZones, fighter.NumZones}}
		}
		w.count(&o, b.Events, i)
	}
	end := b.verdict.Clock
	w.until(&o, end)
	o.Time += end
	return o
}

// watch keeps what has to be remembered between events to turn them into counts.
type watch struct {
	at            int64
	zone          [2]fighter.Zone
	centre, fence tape.Value
}

// until books the time since the last change of state.
func (w *watch) until(o *Outcome, clock int64) {
	d := clock - w.at
	for c := range o.Sides {
		if w.zone[c] < fighter.NumZones {
			o.Sides[c].Zone[w.zone[c]] += d
		}
		if w.centre == cornerValue(c) {
			o.Sides[c].Centre += d
		}
		if w.fence == cornerValue(c) {
			o.Sides[c].Fence += d
		}
	}
	w.at = clock
}

func (w *watch) count(o *Outcome, events []tape.Event, i int) {
	e := &events[i]
	if e.Act.IsState() {
		w.state(o, e)
		return
	}
	if e.Corner == tape.NoCorner {
		return
	}
	c := int(e.Corner)
	s := &o.Sides[c]
	switch {
	case e.Act.IsStrike():
		s.strike(e)
		if tape.PointOf(events, i) == tape.Answer {
			s.Counters++
		}
	case e.Act.IsFeint():
		s.Feints++
		if e.Defence >= tape.Flinch {
			s.Bitten++
		}
	case e.Act.IsTakedown():
		s.Shots++
		if e.Result == tape.TakenDown {
			s.Takedowns++
		}
	}
	switch e.Act {
	case tape.StepBack:
		s.StepsBack++
	case tape.StepIn:
		s.StepsIn++
	case tape.HandFight:
		s.HandFights++
		if e.Result == tape.Made {
			s.HandFightsWon++
		}
	case tape.Submission:
		s.Submissions++
	}
	if e.Defence == tape.DefenceStepBack || e.Defence == tape.GaveGround {
		o.Sides[1-c].StepsBack++
	}
}

func (s *Counts) strike(e *tape.Event) {
	f, _ := fighter.FamilyOf(e.Act)
	s.Thrown[f]++
	if e.Result.IsClean() {
		s.Clean[f]++
	}
	if e.Result.IsLanded() {
		s.Landed[f]++
	}
	if e.Act == tape.Jab {
		s.JabThrown++
		if e.Result.IsLanded() {
			s.JabLanded++
		}
	}
	if e.Value == tape.Head {
		if e.Result.IsClean() {
			s.HeadClean++
		}
		if e.Result.IsLanded() {
			s.HeadLanded++
		}
	}
	if e.Result == tape.Knockdown || e.Result == tape.Stoppage {
		s.Knockdowns++
	}
}

func (w *watch) state(o *Outcome, e *tape.Event) {
	w.until(o, e.Clock)
	switch e.Act {
	case tape.StateRange:
		if e.Corner == tape.NoCorner {
			return
		}
		w.zone[e.Corner] = fighter.ZoneOf(e.Value)
	case tape.StateTop:
		if c := int(e.Value - tape.Red); c == 0 || c == 1 {
			w.zone[c], w.zone[1-c] = fighter.Top, fighter.Bottom
		}
	case tape.StateCentre:
		w.centre = e.Value
	case tape.StateFence:
		w.fence = e.Value
	}
}
