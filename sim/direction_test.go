package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// what changes between two ways to fight: red's or blue's figures, or red's plan.
type change struct {
	red, blue func(d fighter.Draw)
	body      func(b *fighter.Body)
	plan      *tactics.Plan
	noCues    bool
}

// bouts of a direction test; stoppages are off, so that a minute is a minute.
const directionBouts = 600

// measured plays the bouts under a change and gives a figure of each.
func measured(t *testing.T, c change, of func(o *Outcome, events []tape.Event) float64) []float64 {
	t.Helper()
	b := evenBout(t, "mma-3x5")
	b.NoStop, b.NoCues = true, c.noCues
	for i, edit := range []func(fighter.Draw){c.red, c.blue} {
		body, d := averageDraw()
		if edit != nil {
			edit(d)
		}
		var plan *tactics.Compiled
		if i == 0 {
			if c.body != nil {
				c.body(&body)
			}
			if c.plan != nil {
				var err error
				plan, err = tactics.Compile(c.plan)
				require.NoError(t, err)
			}
		}
		require.NoError(t, b.Sides[i].Load(body, d, plan, nil, b.Rules))
	}
	out := make([]float64, directionBouts)
	for i := range out {
		o := b.Run(kernel.NewKey(0x646972, uint64(i)))
		require.NoError(t, b.Sides[0].Fault())
		out[i] = of(&o, b.Events)
	}
	return out
}

// rises checks, on pairs of bouts with the same luck, that a figure is higher after than before by more than four standard errors of the
// mean difference.
func rises(t *testing.T, what string, before, after change, of func(o *Outcome, events []tape.Event) float64) {
	t.Helper()
	x, y := measured(t, before, of), measured(t, after, of)
	sum, square := 0.0, 0.0
	for i := range x {
		d := y[i] - x[i]
		sum, square = sum+d, square+d*d
	}
	n := float64(len(x))
	mean := sum / n
	se := math.Sqrt((square/n - mean*mean) / n)
	require.Greater(t, mean, 4*se, "%s: changed by %.4f with a standard error of %.4f", what, mean, se)
}

func headAbsorbed(o *Outcome, _ []tape.Event) float64 { return float64(o.Sides[1].HeadClean) }
func stepsBack(o *Outcome, _ []tape.Event) float64    { return float64(o.Sides[0].StepsBack) }

// nearTime is the share of free standing time at punching range.
func nearTime(o *Outcome, _ []tape.Event) float64 {
	z := &o.Sides[0].Zone
	near := z[fighter.Long] + z[fighter.Pocket]
	return float64(near) / float64(max(near+z[fighter.Kicking]+z[fighter.Out], 1))
}

// ofActs is the share of blue's acts of a kind that a check holds for.
func ofActs(kind, holds func(e *tape.Event) bool) func(*Outcome, []tape.Event) float64 {
	return func(_ *Outcome, events []tape.Event) float64 {
		n, k := 0.0, 0.0
		for i := range events {
			if e := &events[i]; e.Corner == tape.BlueCorner && kind(e) {
				n++
				if holds(e) {
					k++
				}
			}
		}
		return k / max(n, 1)
	}
}

func plan(rules ...tactics.Rule) *tactics.Plan { return &tactics.Plan{Name: "test", Rules: rules} }

// Mechanic 1, common practice, no source: hand-fighting denies the other's lead hand, whose straights then come wide or lunging. Its
// price is a known gap, see DEVELOPERS.md.
func TestHandFightingDenies(t *testing.T) {
	after := change{plan: plan(tactics.Rule{At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "hand_fight", By: 8}}})}
	straight := func(e *tape.Event) bool { return e.Act == tape.Jab || e.Act == tape.Cross }
	rises(t, "wide or lunging straights", change{}, after, ofActs(straight, func(e *tape.Event) bool { return e.How != tape.Set }))
}

// Mechanic 2, common practice, no source: who bites on hip feints gives ground and keeps away from punching range; who believes less is
// kicked clean more often, because real kicks are met with static guard only.
func TestBitingCostsGroundAndDisbeliefCostsKicks(t *testing.T) {
	kicker := func(d fighter.Draw) {
		for _, m := range []tape.Move{tape.MoveFeintHip, tape.MoveBodyKick} {
			for z := range fighter.NumZones {
				d[fighter.Initiate(z, m)] *= 4
			}
		}
	}
	bites := func(x float64) change {
		return change{blue: kicker, red: func(d fighter.Draw) { d[fighter.Bite(fighter.Hip)] = x }}
	}
	rises(t, "steps back", bites(-1.5), bites(2.5), stepsBack)
	rises(t, "time away from punching range", bites(-1.5), bites(2.5), func(o *Outcome, e []tape.Event) float64 { return -nearTime(o, e) })
	body := func(e *tape.Event) bool { return e.Act == tape.BodyKick }
	rises(t, "clean body kicks", bites(2.5), bites(-1.5), ofActs(body, func(e *tape.Event) bool { return e.Result.IsClean() }))
}

// Mechanic 3, common practice, no source: giving no ground keeps the gap at punching range. The price is being hit.
func TestGivingNoGround(t *testing.T) {
	after := change{plan: plan(
		tactics.Rule{At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "step_back", By: 0}}},
		tactics.Rule{At: tactics.Defend, Multiples: []tactics.Multiple{{What: "step_back", By: 0}}},
		tactics.Rule{At: tactics.Answer, Multiples: []tactics.Multiple{{What: "step_back", By: 0}}},
		tactics.Rule{At: tactics.Continue, Multiples: []tactics.Multiple{{What: "step_back", By: 0}}})}
	rises(t, "time at punching range", change{}, after, nearTime)
	rises(t, "head strikes absorbed", change{}, after, headAbsorbed)
}

// A reach advantage is a gap at which one reaches and the other does not: the longer one throws more straights with the feet under the
// body. Common practice, no source.
func TestReachIsDistance(t *testing.T) {
	longer := change{body: func(b *fighter.Body) { b.Span += .2 }}
	lunging := func(_ *Outcome, events []tape.Event) float64 {
		n, k := 0.0, 0.0
		for i := range events {
			if e := &events[i]; e.Corner == tape.RedCorner && (e.Act == tape.Jab || e.Act == tape.Cross) {
				n++
				if e.How == tape.Set {
					k++
				}
			}
		}
		return k / max(n, 1)
	}
	rises(t, "straights thrown set", change{}, longer, lunging)
}

// Anticipation matters (Rosalie & Müller 2013; Petri 2020): with cues before the onset switched off, fewer jabs are defended in time.
func TestAnticipationMatters(t *testing.T) {
	jab := func(e *tape.Event) bool { return e.Act == tape.Jab }
	rises(t, "jabs defended", change{noCues: true}, change{}, ofActs(jab, func(e *tape.Event) bool { return e.Defence > tape.DefenceNone }))
}
