package sim

import (
	"testing"

	"whatbout/fighter"
	"whatbout/tactics"
	"whatbout/tape"
)

// stays gives no ground anywhere.
var stays = []tactics.Rule{more(tactics.Initiate, 0, "step_back"), more(tactics.Defend, 0, "step_back"), more(tactics.Answer, 0, "step_back"),
	more(tactics.Continue, 0, "step_back")}

// Mechanic 3, common practice, no source: giving no ground keeps the gap at punching range. The price is being hit.
func TestGivingNoGround(t *testing.T) {
	rises(t, change{}, change{plan: plan(stays...)},
		expect{"time at punching range", nearTime},
		expect{"price: head strikes absorbed", headAbsorbed})
}

// presses walks the other down.
var presses = plan(more(tactics.Initiate, 4, "step_in"), more(tactics.Initiate, 10, "cut_off"))

// Mechanic 5, common practice, no source: stepping in and cutting off put the other's back on the fence. The price: who walks in is hit.
func TestPressing(t *testing.T) {
	rises(t, change{}, change{plan: presses},
		expect{"their back on the fence", fence(1)},
		expect{"price: head strikes absorbed", headAbsorbed},
		expect{"price: share of them that land clean", headClean(blue)})
}

// Mechanic 5, common practice, no source: circling with the back on the fence gets off it. The price: who circles does not strike.
func TestCirclingOffTheFence(t *testing.T) {
	pressed := change{ruleSet: onFeet, bluePlan: plan(more(tactics.Initiate, 4, "step_in"), more(tactics.Initiate, 0, "step_back"))}
	circles := pressed
	var rules []tactics.Rule
	for _, at := range []tactics.Point{tactics.Initiate, tactics.Answer, tactics.Continue} {
		rules = append(rules, when(more(at, 20, "circles"), tactics.FactOwnFence, "yes"))
	}
	circles.plan = plan(rules...)
	rises(t, pressed, circles,
		expect{"back off the fence", less(fence(0))},
		expect{"price: strikes", less(thrown(red))})
}

// Mechanic 9, common practice, no source: close enough to hit is close enough to be shot on. The price of keeping away from it is that hands
// do not reach either.
func TestCloseEnoughToBeShotOn(t *testing.T) {
	away := change{blue: begins(8, tape.MoveShoot), plan: plan(more(tactics.Initiate, 5, "step_back"), more(tactics.Initiate, 0, "step_in"))}
	near := away
	near.plan = plan(stays...)
	rises(t, away, near,
		expect{"price: shots that take down", share(by(blue, tape.Shoot), taken)},
		expect{"own head strikes", number(allOf(of(red), strikes, at(tape.Head), clean))})
}

// Mechanic 9, common practice, no source: the threat of the level change alone moves the other. The price: its feints take time, and are
// believed less.
func TestLevelChangeThreatens(t *testing.T) {
	rises(t, change{}, change{blue: begins(40, tape.MoveFeintLevel)},
		expect{"ground given", stepsBack},
		expect{"price: strikes", less(thrown(blue))},
		expect{"price: belief", less(bitten(1))})
}

// Mechanic 9, common practice, no source: where the fence is near, shots fail more and tie-ups hold longer.
func TestFenceStopsShotsAndHoldsTieUps(t *testing.T) {
	open := change{blue: begins(8, tape.MoveShoot)}
	narrow := open
	narrow.rules = func(r *tape.RuleSet) { r.Area.Diameter = 2.4 }
	rises(t, open, narrow,
		expect{"shots that fail", less(share(by(blue, tape.Shoot), taken))},
		expect{"breaks that fail", less(share(by(blue, tape.Break), made))},
		expect{"time in the clinch", inClinch})
}

// Mechanic 10, common practice, no source: a hurt fighter who makes for the fence gets there. The price: the centre is the other's.
func TestHurtMakesForTheFence(t *testing.T) {
	hurt := change{red: size(fighter.Chin, .3), rules: func(r *tape.RuleSet) { r.Area.Diameter = 5 },
		blue: begins(40, tape.MoveShoot), plan: plan(only(tactics.Survive, "shell", "get_up"))}
	goes := hurt
	goes.plan = plan(only(tactics.Survive, "make_for_fence", "get_up"))
	risesIn(t, 1500, hurt, goes,
		expect{"back on the fence", fence(0)},
		expect{"price: centre", centre(1)})
}

// Mechanic 12, common practice, no source: marching back when the centre is the other's holds it. The price: who marches is hit.
func TestMarchingBackToTheCentre(t *testing.T) {
	theirs := func(r tactics.Rule) tactics.Rule { return when(r, tactics.FactCentre, "theirs") }
	back := plan(theirs(more(tactics.Initiate, 8, "step_in", "cut_off")), theirs(more(tactics.Initiate, 0, "step_back")))
	rises(t, change{}, change{plan: back},
		expect{"time in the centre", centre(0)},
		expect{"price: head strikes absorbed", headAbsorbed})
}
