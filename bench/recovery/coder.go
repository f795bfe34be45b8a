package main

import (
	"math"
	"math/rand/v2"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/tape"
)

// coder writes a bout down and errs: as often as calibrate.UsualCoder says on average, each share off by a factor of its own that is as
// likely above three or below a third as the assumption says (1 in 20).
type coder struct {
	calibrate.CoderDoubt
	name   string
	random *rand.Rand
}

func newCoder(name string, random *rand.Rand) coder {
	c := coder{calibrate.UsualCoder(), name, random}
	vary := func(p *float64) { *p = min(*p*math.Exp(random.NormFloat64()*math.Log(3)/1.96), .7) }
	for g := range c.Missed {
		vary(&c.Missed[g])
	}
	vary(&c.Extra)
	vary(&c.Confused)
	vary(&c.Wrong)
	return c
}

// confusable are acts that a coder may take for each other (judgement).
var confusable = [][]tape.Act{{tape.Jab, tape.Cross}, {tape.LeadHook, tape.RearHook, tape.Overhand, tape.Uppercut}, {tape.LowKick, tape.BodyKick, tape.HighKick},
	{tape.FrontKick, tape.SideKick}, {tape.StepIn, tape.CutOff}, {tape.FeintHip, tape.FeintLeg}}

// codes gives the coder's coding of what happened. States are seen by everybody; acts are missed, made up anywhere in the round, called another,
// and their results and bites written down the wrong way round.
func (c coder) codes(of *tape.Coding) *tape.Coding {
	out := &tape.Coding{Bout: of.Bout, Name: c.name}
	bell := int64(of.Bout.RuleSet.RoundSeconds) * 1e6
	for _, row := range of.Rows {
		e := row.Event
		if !e.IsAct() || e.Act.IsState() {
			out.Rows = append(out.Rows, row)
			continue
		}
		if c.random.Float64() < c.Extra {
			made := e
			made.Clock = c.random.Int64N(bell)
			out.Rows = append(out.Rows, tape.Row{Event: made})
		}
		if c.random.Float64() >= c.Missed[groupOf(e.Act)] {
			c.spoil(&e)
			out.Rows = append(out.Rows, tape.Row{Event: e})
		}
	}
	inOrder(out.Rows)
	return out
}

// groupOf gives the group that an act is missed with; kicks are a group of their own.
func groupOf(a tape.Act) tape.Group {
	if a >= tape.FrontKick && a <= tape.HighKick {
		return tape.GroupKicks
	}
	for g := range tape.NumGroups {
		var only tape.Groups
		only[g] = true
		if only.Has(a) {
			return g
		}
	}
	panic("recovery: " + a.String() + " is of no group")
}

func (c coder) spoil(e *tape.Event) {
	if c.random.Float64() < c.Confused {
		e.Act = c.another(e.Act)
		e.Value = tape.MoveOf(e.Act, e.Value).Value()
	}
	if c.random.Float64() >= c.Wrong {
		return
	}
	switch {
	case e.Act.IsStrike() && e.Result.IsClean():
		e.Result = tape.Missed
	case e.Act.IsStrike():
		e.Result = tape.Clean
	case e.Act.IsFeint() && e.Defence >= tape.Flinch:
		e.Defence = tape.DefenceNone
	case e.Act.IsFeint():
		e.Defence = tape.Flinch
	}
}

func (c coder) another(a tape.Act) tape.Act {
	for _, set := range confusable {
		for i, one := range set {
			if one == a {
				return set[(i+1+c.random.IntN(len(set)-1))%len(set)]
			}
		}
	}
	return a
}

// Sight is lost at most so often a round, for so long: a twelfth of the time.
const (
	gapsARound        = 4
	shortGap, longGap = 3_000_000, 12_000_000 // µs
)

// lose takes stretches out of sight, at moments and for times of chance: what happened in them is not on tape, and when sight is back the
// states that hold are stated anew.
func lose(of *tape.Coding, random *rand.Rand) *tape.Coding {
	out := &tape.Coding{Bout: of.Bout, Name: of.Name}
	bell := int64(of.Bout.RuleSet.RoundSeconds) * 1e6
	for at := 0; at < len(of.Rows); {
		round := of.Rows[at].Round
		to := at
		for to < len(of.Rows) && of.Rows[to].Round == round {
			to++
		}
		rows := of.Rows[at:to]
		clock := int64(0)
		for range gapsARound {
			from := clock + random.Int64N(2*bell/gapsARound-longGap)
			until := from + shortGap + random.Int64N(longGap-shortGap)
			if last := rows[len(rows)-1].Clock; until >= last {
				break // the round ended earlier, or nothing comes after
			}
			rows, clock = gap(rows, from, until), until
		}
		out.Rows = append(out.Rows, rows...)
		at = to
	}
	return out
}

// gap takes the rows of a round between two clocks out, and states what holds at the end.
func gap(rows []tape.Row, from, until int64) (out []tape.Row) {
	type state struct {
		act    tape.Act
		corner tape.Corner
	}
	var order []state
	now := map[state]tape.Event{}
	seen := func(clock int64, v tape.Value) tape.Row {
		return tape.Row{Event: tape.Event{Round: rows[0].Round, Clock: clock, Corner: tape.NoCorner, Act: tape.StateSeen, Value: v}}
	}
	back := false
	for _, row := range rows {
		e := row.Event
		if e.Clock >= until && !back {
			back = true
			out = append(out, seen(from, tape.No), seen(until, tape.Yes))
			for _, s := range order {
				held := now[s]
				held.Clock = until
				out = append(out, tape.Row{Event: held})
			}
		}
		if e.Act.IsState() && e.Act != tape.StateSeen && e.Act != tape.StateStance {
			s := state{e.Act, e.Corner}
			if _, ok := now[s]; !ok {
				order = append(order, s)
			}
			now[s] = e
		}
		if e.Clock < from || e.Clock >= until {
			out = append(out, row)
		}
	}
	return out
}

// people makes of a league's tape what two coders make of it who err, of bouts that are out of sight now and then.
func (l *league) people(seed uint64) {
	random := rand.New(rand.NewPCG(seed, 0x636f646572))
	first, second := newCoder("first", random), newCoder("second", random)
	var out []*tape.Coding
	for _, c := range l.tape {
		seen := lose(c, random)
		out = append(out, first.codes(seen), second.codes(seen))
	}
	l.tape = out
}

// Two who are nothing like what the population may be: one comes forward, leads and never feints, the other gives ground and lives off answers.
// They are fixed, so that every league of them says how intervals fare for just these two.
func outside() [2]fighter.Draw {
	var out [2]fighter.Draw
	for i := range out {
		out[i] = fighter.Population("", fighter.AverageBody()).Centre()
		for z := range fighter.NumZones {
			for m := range tape.NumMoves {
				if m != tape.NoMove {
					out[i][fighter.Initiate(z, m)] *= rateBeyond[i](m.Act())
				}
			}
		}
		for z := range fighter.ExchangeZones {
			for m := range tape.NumMoves {
				if m != tape.NoMove && m.Act().IsStrike() {
					out[i][fighter.Answer(z, m)] *= []float64{.3, 3}[i]
					out[i][fighter.Continue(z, m)] *= []float64{2.5, .4}[i]
				}
			}
		}
	}
	return out
}

var rateBeyond = [2]func(tape.Act) float64{
	func(a tape.Act) float64 {
		switch {
		case a.IsFeint() || a == tape.StepBack:
			return .1
		case a.IsStrike() || a == tape.StepIn || a == tape.CutOff:
			return 2.5
		}
		return 1
	},
	func(a tape.Act) float64 {
		switch {
		case a.IsStrike() || a == tape.StepIn || a == tape.CutOff:
			return .4
		case a == tape.StepBack || a.IsFeint():
			return 2.5
		}
		return 1
	},
}
