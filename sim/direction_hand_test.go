package sim

import (
	"math"
	"testing"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// Mechanic 1, common practice, no source: hand-fighting denies the other's lead hand, whose straights then come wide or lunging. The price:
// the own lead hand is in that fight, too, and lands clean less often.
func TestHandFightingDenies(t *testing.T) {
	usual, after := change{ruleSet: onFeet}, change{ruleSet: onFeet, red: begins(40, tape.MoveHandFight)}
	leadHand := by(red, tape.Jab, tape.LeadHook)
	risesIn(t, 1500, usual, after,
		expect{"wide or lunging straights", share(by(blue, straights...), not(set))},
		expect{"price: own clean jabs and lead hooks", less(number(allOf(leadHand, clean)))},
		expect{"price: their share", less(share(leadHand, clean))})
}

// Mechanic 1, common practice, no source: measuring makes the next straight better and hand-fighting denies it, in closed stance and open,
// standing and circling. The price of measuring: the hand that measures does not strike.
func TestMeasuringHelpsAndIsDenied(t *testing.T) {
	clean := share(by(red, straights...), clean)
	for name, usual := range map[string]change{
		"closed, standing": {ruleSet: onFeet, blue: noSwitch},
		"open, circling":   {ruleSet: onFeet, body: southpaw, blue: draws(noSwitch, begins(3, tape.MoveCircleLeft, tape.MoveCircleRight))},
	} {
		straight := draws(noSwitch, begins(8, tape.MoveJab, tape.MoveCross)) // who throws many from the free stance shows it in fewer bouts
		usual.red = straight
		measures := usual
		measures.red = draws(straight, begins(40, tape.MoveMeasure))
		denied := measures
		denied.blue = draws(usual.blue, begins(20, tape.MoveHandFight))
		t.Run(name, func(t *testing.T) {
			risesIn(t, 1500, usual, measures, expect{"clean straights", clean}, expect{"price: strikes", less(thrown(red))})
			risesIn(t, 1500, measures, denied, expect{"clean straights denied", less(clean)})
		})
	}
}

// exchange plays one exchange: red stands mm away from blue and begins a strike, and blue begins one after a while (µs). It gives both strikes
// and whether both came.
func exchange(b *Bout, key kernel.Key, apart int32, moves [2]tape.Move, after int64) (out [2]tape.Event, both bool) {
	b.key, b.Events, b.over, b.round = key, b.Events[:0], false, 1
	b.men = [2]man{{stamina: fullTank}, {stamina: fullTank}}
	b.startRound()
	for c := range b.men {
		b.cal.Cancel(slotTick + c)
		b.men[c].at = point{int32(2*c-1) * apart / 2, 0}
	}
	b.locate()
	s := key.With(7).Stream()
	lucks := [2]luck{luckOf(&s), luckOf(&s)}
	b.begin(0, moves[0], tactics.Initiate, lucks[0])
	b.cal.Schedule(slotTick+1, after)
	have := [2]bool{}
	for !have[0] || !have[1] {
		slot, at := b.cal.Next()
		b.now = at
		switch slot {
		case slotPhase, slotPhase + 1:
			b.phaseEnds(slot - slotPhase)
		case slotTick + 1:
			b.cal.Cancel(slotTick + 1)
			b.begin(1, moves[1], tactics.Initiate, lucks[1])
		default: // nobody defends
			b.cal.Cancel(slot)
			if slot == slotBell {
				return out, false
			}
		}
		for i := range b.Events {
			if e := &b.Events[i]; e.Act == moves[e.Corner&1].Act() && e.Corner != tape.NoCorner && !have[e.Corner] {
				out[e.Corner], have[e.Corner] = *e, true
			}
		}
	}
	return out, true
}

// exchanges plays many and gives a number of each that both strikes came in.
func exchanges(t *testing.T, n int, apart int32, red, blue tape.Move, after int64, of func(e *[2]tape.Event) float64) []float64 {
	t.Helper()
	b := change{}.bout(t)
	out := make([]float64, n)
	for i := range out {
		out[i] = math.NaN()
		if e, both := exchange(b, kernel.NewKey(0x6d656574, uint64(i)), apart, [2]tape.Move{red, blue}, after); both {
			out[i] = of(&e)
		}
	}
	return out
}

func truth(holds bool) float64 {
	if holds {
		return 1
	}
	return 0
}

// Mechanic 7: straights take less time than looping punches (Piorkowski 2011), so that the straight comes first when both start together.
// Coming first counts: against a straight fewer looping punches land clean than against another looping punch, which often comes too late
// to spoil them (common practice, no source).
func TestStraightBeatsLooping(t *testing.T) {
	first := func(e *[2]tape.Event) float64 { return truth(e[0].Clock < e[1].Clock) - truth(e[0].Clock > e[1].Clock) }
	loopLands := func(e *[2]tape.Event) float64 { return truth(clean(&e[1])) }
	const n = 6000
	level := make([]float64, n)
	for _, straight := range []tape.Move{tape.MoveJab, tape.MoveCross} {
		for _, loop := range []tape.Move{tape.MoveLeadHook, tape.MoveRearHook, tape.MoveOverhand} {
			what := straight.String() + " against " + loop.String()
			exceeds(t, what+" comes first", exchanges(t, n, 600, straight, loop, 0, first), level)
			exceeds(t, what+" spoils it", exchanges(t, n, 600, tape.MoveOverhand, loop, 0, loopLands),
				exchanges(t, n, 600, straight, loop, 0, loopLands))
		}
	}
}

// Mechanic 7, common practice, no source: a looping punch goes round a guard that takes the straight; the price is that who ducks is under it.
func TestLoopingGoesRoundTheGuard(t *testing.T) {
	against := func(what string) change {
		rule := when(only(tactics.Defend, what), tactics.FactThreat, "straight", "looping")
		inTime := draws(size(fighter.Anticipation, .95), size(fighter.AnticipationLead, .2))
		return change{ruleSet: onFeet, blue: inTime, bluePlan: plan(rule, more(tactics.Believe, 20, "real"))}
	}
	loop, straight := share(by(red, loops...), clean), share(by(red, straights...), clean)
	x, y := measured(t, against("absorb"), directionBouts, loop, straight), measured(t, against("guard_high"), directionBouts, loop, straight)
	perLoop, perStraight := mean(x[0]), mean(x[1])
	kept := func(z [][]float64) []float64 { // what is left of the looping ones' share, less what is left of the straights'
		out := make([]float64, directionBouts)
		for i := range out {
			out[i] = z[0][i]/perLoop - z[1][i]/perStraight
		}
		return out
	}
	exceeds(t, "looping through a guard", kept(y), kept(x))
	rises(t, against("guard_high"), against("duck"), expect{"price: ducked", less(share(by(red, loops...), clean))})
}

// Mechanic 8, common practice, no source: a strike thrown from too far is a long way back to guard, and what was begun when it came lands
// clean more often than after the same strike thrown set.
func TestLungeIsCountered(t *testing.T) {
	b := change{}.bout(t)
	reach := b.Sides[0].reach[tape.MoveCross]
	lands := func(e *[2]tape.Event) float64 { return truth(clean(&e[1])) }
	for _, counter := range []tape.Move{tape.MoveJab, tape.MoveCross, tape.MoveOverhand} {
		const n, start = 4000, 600_000
		exceeds(t, counter.String()+" after a lunge", exchanges(t, n, reach+150, tape.MoveCross, counter, start, lands),
			exchanges(t, n, reach, tape.MoveCross, counter, start, lands))
	}
}

// Mechanic 6, common practice, no source: a kick shown below squares the other up for the straight punches, and a hand shown above draws the
// guard there, a hip shown draws it down. The price: feints take time in which nothing is thrown, and are believed less.
func TestDecoysOpen(t *testing.T) {
	shows := func(feint tape.Move, then ...string) change {
		toBody := func(d fighter.Draw) {
			for z := range fighter.ExchangeZones {
				d[fighter.Continue(z, tape.MoveJabBody)], d[fighter.Continue(z, tape.MoveCrossBody)] = 1, 1
			}
		}
		return change{ruleSet: onFeet, plan: plan(goes("feint", then...)), red: draws(begins(10, feint), toBody)}
	}
	after := func(kind is, feint tape.Act) figure { return follow(kind, by(red, feint), 800_000, clean) }
	straight := by(red, straights...)
	below, above := shows(tape.MoveFeintLeg, "jab", "cross"), shows(tape.MoveFeintHand, "jab", "cross")
	rises(t, above, below, expect{"straights behind a leg", share(straight, clean)})
	kick := allOf(of(red), strikes, at(tape.Body))
	hip, hand := shows(tape.MoveFeintHip, "body_kick", "body_punches"), shows(tape.MoveFeintHand, "body_kick", "body_punches")
	x, y := measured(t, hip, directionBouts, after(kick, tape.FeintHip)), measured(t, hand, directionBouts, after(kick, tape.FeintHand))
	exceeds(t, "body strikes behind a hand", y[0], x[0])
	often := change{ruleSet: onFeet, red: begins(20, tape.MoveFeintHand)}
	rises(t, change{ruleSet: onFeet}, often,
		expect{"price: strikes", less(thrown(red))},
		expect{"price: belief", less(bitten(0))})
}

// Mechanic 6, common practice, no source: a punch first hides the level change, so that fewer shots are met. The price: shots that fail leave
// the one who shot open.
func TestPunchHidesTheLevelChange(t *testing.T) {
	shoots := func(after string) change {
		return change{plan: plan(goes(after, "shoot"), more(tactics.Initiate, 0, "shoot"), more(tactics.Answer, 0, "shoot"))}
	}
	shot := by(red, tape.Shoot)
	rises(t, shoots("kick"), shoots("punch"),
		expect{"shots not met", less(share(shot, func(e *tape.Event) bool { return e.Defence > tape.DefenceNone }))})
	rises(t, change{}, shoots("punch"),
		expect{"price: shots stuffed", number(allOf(shot, not(taken)))},
		expect{"price: share of head strikes absorbed", headClean(blue)})
}
