package sim

import (
	"testing"

	"whatbout/fighter"
	"whatbout/tape"
)

func rearSide(e *tape.Event) bool { return strikes(e) && e.Limb == tape.Rear }
func leadSide(e *tape.Event) bool { return strikes(e) && e.Limb == tape.Lead }

// Mechanic 13, common practice, no source: against the other stance rear hands and kicks are live and lead hands in each other's way. It is
// so for both, which is its price.
func TestOpenStance(t *testing.T) {
	closed := change{ruleSet: onFeet, red: noSwitch, blue: noSwitch}
	open := closed
	open.body = southpaw
	rises(t, closed, open,
		expect{"rear side", share(allOf(of(red), rearSide), clean)},
		expect{"rear kicks", share(allOf(by(red, tape.LowKick, tape.BodyKick, tape.HighKick), rearSide), clean)},
		expect{"price: lead side", less(share(allOf(of(red), leadSide), clean))},
		expect{"price: the other's rear side", share(allOf(of(blue), rearSide), clean)})
}

// Mechanic 13, common practice, no source: in open stance the lead foot outside helps the own rear hand and hinders the other's. The price:
// who steps round does not strike.
func TestLeadFootOutside(t *testing.T) {
	steps := func(side tape.Move) change {
		return change{ruleSet: onFeet, body: southpaw, blue: noSwitch, red: draws(noSwitch, begins(14, side)), plan: plan(goes("step", "cross"))}
	}
	// A southpaw's lead side is the right.
	inside, outside := steps(tape.MoveCircleLeft), steps(tape.MoveCircleRight)
	risesIn(t, 2500, inside, outside,
		expect{"rear side", share(allOf(of(red), rearSide), clean)},
		expect{"the other's rear side", less(share(allOf(of(blue), rearSide), clean))})
	usual := outside
	usual.red, usual.plan = noSwitch, nil
	round := usual
	round.red = outside.red
	rises(t, usual, round, expect{"price: strikes", less(thrown(red))})
}

// Mechanic 2, common practice, no source: who bites on hip feints gives ground and keeps away from punching range; who believes less is
// kicked clean more often, because real kicks are met with static guard only.
func TestBitingCostsGroundAndDisbeliefCostsKicks(t *testing.T) {
	kicker := begins(4, tape.MoveFeintHip, tape.MoveBodyKick)
	bites := func(x float64) change {
		return change{blue: kicker, red: func(d fighter.Draw) { d[fighter.Bite(fighter.Hip)] = x }}
	}
	rises(t, bites(-1.5), bites(2.5),
		expect{"steps back", stepsBack},
		expect{"time away from punching range", less(nearTime)},
		expect{"body kicks not clean", less(share(by(blue, tape.BodyKick), clean))})
}

// A reach advantage is a gap at which one reaches and the other does not: the longer one throws more straights with the feet under the
// body. Common practice, no source.
func TestReachIsDistance(t *testing.T) {
	longer := change{body: func(b *fighter.Body) { b.Span += .2 }}
	rises(t, change{}, longer, expect{"straights thrown set", share(by(red, straights...), set)})
}

// Anticipation matters (Rosalie & Müller 2013; Petri 2020): with cues before the onset switched off, fewer jabs are defended in time.
func TestAnticipationMatters(t *testing.T) {
	defended := share(by(blue, tape.Jab), func(e *tape.Event) bool { return e.Defence > tape.DefenceNone })
	rises(t, change{noCues: true}, change{}, expect{"jabs defended", defended})
}
