package sim

import (
	"testing"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

var lowKicks = []tape.Move{tape.MoveLowKickCalf, tape.MoveLowKickInside, tape.MoveLowKickOutside}

// Mechanic 4, common practice, no source: withdrawing the leg and raising the knee against low kicks leave fewer of them clean, and a kick on
// a raised knee hurts the kicker's leg. The price: a leg in the air is squared up for the punches that follow the kick.
func TestLowKicksAreWithdrawnFromAndChecked(t *testing.T) {
	low := by(blue, tape.LowKick)
	does := func(what string) change {
		return change{ruleSet: onFeet, red: size(fighter.Legs, 5), blue: draws(begins(8, lowKicks...), continues(20, tape.MoveJab, tape.MoveCross)),
			plan: plan(when(only(tactics.Defend, what), tactics.FactThreat, "low_kick"))}
	}
	fewer := expect{"clean low kicks", less(share(low, clean))}
	saved := expect{"own leg", less(legs(0))}
	price := expect{"price: straights behind the kick", follow(by(blue, straights...), low, 900_000, clean)}
	risesIn(t, 2500, does("absorb"), does("withdraw_leg"), fewer, saved, price)
	risesIn(t, 2000, does("absorb"), does("check"), fewer, saved, price, expect{"the kicker's leg", legs(1)})
}

// Mechanic 4, common practice, no source: a knee that is up meets low kicks before they are seen. The price: on one leg one is squared up.
func TestRaisedKneeMeetsLowKicks(t *testing.T) {
	usual := change{ruleSet: onFeet, blue: begins(8, lowKicks...)}
	up := usual
	up.red = begins(80, tape.MoveRaiseKnee)
	risesIn(t, 1200, usual, up,
		expect{"clean low kicks", less(share(by(blue, tape.LowKick), clean))},
		expect{"price: straights", share(by(blue, straights...), clean)})
}

// onOneLeg is the share of red's sweeps that take down while the other's leg is held.
func onOneLeg(b *Bout, _ *Outcome) float64 {
	held, n, k := false, 0.0, 0.0
	for i := range b.Events {
		e := &b.Events[i]
		if e.Act == tape.StateLegCaught {
			held = e.Value == tape.Yes
		}
		if e.Act == tape.Sweep && e.Corner == red && held {
			n, k = n+1, k+truth(taken(e))
		}
	}
	return k / n
}

// sweep gives how red's sweep of somebody who does nothing ends, with the other's leg held or not, balanced or not.
func sweep(t *testing.T, held, balanced int64) []float64 {
	t.Helper()
	b := change{}.bout(t)
	out := make([]float64, 4000)
	for i := range out {
		b.key, b.Events, b.over, b.round = kernel.NewKey(0x7377656570, uint64(i)), b.Events[:0], false, 1
		b.men = [2]man{{stamina: fullTank}, {stamina: fullTank}}
		b.startRound()
		b.men[1].caught, b.men[1].balanced = held, balanced
		s := b.key.Stream()
		b.men[0].move, b.men[0].luck = tape.MoveSweep, luckOf(&s)
		b.takedown(0)
		out[i] = truth(taken(&b.Events[b.men[0].row]))
	}
	return out
}

// Mechanic 4, common practice, no source: on one leg a sweep comes off more often, less so for one who is balanced.
func TestOneLegIsSwept(t *testing.T) {
	exceeds(t, "on one leg", sweep(t, 1, 0), sweep(t, 0, 0))
	exceeds(t, "balanced", sweep(t, 1, 0), sweep(t, 1, 1))
}

// crossesFromOneLeg is how many crosses blue throws for each leg that is caught, within the time that it is held.
func crossesFromOneLeg(b *Bout, _ *Outcome) float64 {
	n, k, since := 0.0, 0.0, -never
	for i := range b.Events {
		switch e := &b.Events[i]; {
		case allOf(by(blue, tape.StateLegCaught), at(tape.Yes))(e):
			n, since = n+1, e.Clock
		case by(blue, tape.Cross)(e) && e.Clock >= since && e.Clock <= since+legHeld:
			k++
		}
	}
	return k / n
}

// Mechanic 4, common practice, no source: who catches body kicks sweeps the standing leg, and a hop protects it. The price of catching: it
// comes later than a guard, and more kicks land clean. The price of hopping: the one who hops does not strike from there.
func TestCatchingTheKick(t *testing.T) {
	kicks := draws(begins(20, tape.MoveBodyKick), func(d fighter.Draw) { d[fighter.Survive(fighter.SurvivePullFree)] = 0 })
	meets := func(with string) change {
		return change{blue: kicks, plan: plan(when(only(tactics.Defend, with), tactics.FactThreat, "body_kick"))}
	}
	catches := meets("catch")
	rises(t, meets("guard_low"), catches,
		expect{"sweeps that take down", number(allOf(by(red, tape.Sweep), taken))},
		expect{"price: clean body kicks", share(by(blue, tape.BodyKick), clean)})
	hops := func(x float64) change {
		c := catches
		c.red = func(d fighter.Draw) { d[fighter.Holding(fighter.HoldSweep)] *= 20 }
		c.blue = draws(kicks, func(d fighter.Draw) {
			d[fighter.Survive(fighter.SurviveHop)] *= x
			d[fighter.Survive(fighter.SurviveSwingBack)] *= 5
		})
		return c
	}
	risesIn(t, 1500, hops(0), hops(20),
		expect{"sweeps that fail", less(onOneLeg)},
		expect{"price: crosses", less(crossesFromOneLeg)})
}

// Mechanic 11, common practice, no source: leg damage slows, and a hurt leg gives way.
func TestLegDamageSlows(t *testing.T) {
	can := func(x float64) change {
		return change{ruleSet: onFeet, blue: begins(8, lowKicks...), red: size(fighter.Legs, x)}
	}
	rises(t, can(5), can(.3),
		expect{"steps in", less(stepsIn)},
		expect{"hurt by low kicks", number(allOf(by(blue, tape.LowKick), func(e *tape.Event) bool { return e.Result == tape.Hurt }))})
}

// Mechanic 11, common practice, no source: taking a low kick to come forward is a trade: more own punches, at the price of the leg.
func TestTakingTheKickToComeForward(t *testing.T) {
	usual := change{ruleSet: onFeet, blue: begins(8, lowKicks...)}
	takes := usual
	takes.plan = plan(when(only(tactics.Defend, "absorb"), tactics.FactThreat, "low_kick"),
		when(more(tactics.Answer, 20, "step_in", "cross", "lead_hook"), tactics.FactTheirLast, "kick"))
	rises(t, usual, takes,
		expect{"steps in", stepsIn},
		expect{"own punches", number(by(red, tape.Cross, tape.LeadHook))},
		expect{"price: the leg", legs(0)},
		expect{"price: clean low kicks", share(by(blue, tape.LowKick), clean)})
}

// Mechanic 11, common practice, no source: body damage tires, and the tired throw less. The price of going to the body: the head is left alone.
func TestBodyDamageTires(t *testing.T) {
	body := []tape.Move{tape.MoveBodyKick, tape.MoveCrossBody, tape.MoveJabBody, tape.MoveLeadHookBody}
	can := func(x float64) change {
		return change{ruleSet: onFeet, blue: begins(8, body...), red: size(fighter.Trunk, x)}
	}
	rises(t, can(5), can(.3), expect{"tired", less(stamina(0))}, expect{"own strikes", less(thrown(red))})
	rule := more(tactics.Initiate, 20, "body_punches", "body_kick")
	rule.KeepTempo = true
	rises(t, change{ruleSet: onFeet}, change{ruleSet: onFeet, bluePlan: plan(rule)},
		expect{"tired by it", less(stamina(0))},
		expect{"price: clean head strikes", less(func(b *Bout, o *Outcome) float64 { return float64(o.Sides[1].HeadClean) })})
}
