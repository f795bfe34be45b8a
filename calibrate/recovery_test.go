package calibrate

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// truth is a fighter who differs from the population where a coach would see it.
func truth() fighter.Draw {
	d := fighter.Population("vole", fighter.AverageBody()).Centre()
	d[fighter.Initiate(fighter.Kicking, tape.MoveFeintHip)] *= 2
	d[fighter.Initiate(fighter.Long, tape.MoveJab)] *= 1.5
	d[fighter.Attack(fighter.StraightPunch)] = .4
	d[fighter.Defence(fighter.LoopingPunch)] = -.3
	d[fighter.Bite(fighter.Hip)] += .8
	return d
}

// simulated makes tape: the engine plays the vole against the average shrew, whole bouts.
func simulated(t *testing.T, d fighter.Draw, seed uint64, bouts int) []*tape.Coding {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(rules, sim.AverageWorld())
	body := fighter.AverageBody()
	require.NoError(t, b.Sides[0].Load(body, d, nil, nil, rules))
	require.NoError(t, b.Sides[1].Load(body, fighter.Population("shrew", body).Centre(), nil, nil, rules))
	var out []*tape.Coding
	for i := range bouts {
		b.Run(kernel.NewKey(seed, uint64(i)))
		out = append(out, codingOf(boutOf(fmt.Sprint("bout ", i), rules, "vole", "shrew"), b.Events))
	}
	return out
}

// The loop that is our proof: simulate, write tape, calibrate. With much tape (40 bouts) the skills that were planted come back within
// 4.9 of the posterior's standard deviations, and those left at zero stay near it.
func TestSkillsComeBack(t *testing.T) {
	d := truth()
	p, err := Profiles(simulated(t, d, 21, 40), "vole")
	require.NoError(t, err)
	for f := range fighter.NumFamilies {
		for _, figure := range []fighter.Figure{fighter.Attack(f), fighter.Defence(f)} {
			post := p["vole"].Figures[figure]
			// Two people who met only each other share a sum that the prior splits; the spread says so.
			require.InDelta(t, d[figure], post.A, 4.9*post.B, fighter.Define(figure).Name)
		}
	}
}

// Simulated again from the calibrated profile, the shares and rates of the tape return. Both are means over 40 bouts of counts whose
// standard error is taken from the bouts themselves; the tolerance is 4.9 standard errors of the difference.
func TestTapeReturns(t *testing.T) {
	d := truth()
	tapes := simulated(t, d, 33, 40)
	p, err := Profiles(tapes, "vole")
	require.NoError(t, err)
	again := simulated(t, p["vole"].Centre(), 77, 40)
	for name, of := range map[string]func(*tape.Event) (float64, bool){
		"jabs":       func(e *tape.Event) (float64, bool) { return 1, e.Act == tape.Jab },
		"hip feints": func(e *tape.Event) (float64, bool) { return 1, e.Act == tape.FeintHip },
		"clean straight": func(e *tape.Event) (float64, bool) {
			return 1, (e.Act == tape.Jab || e.Act == tape.Cross) && e.Result.IsClean()
		},
		"strikes":    func(e *tape.Event) (float64, bool) { return 1, e.Act.IsStrike() },
		"steps back": func(e *tape.Event) (float64, bool) { return 1, e.Act == tape.StepBack },
	} {
		m1, se1 := perBout(tapes, of)
		m2, se2 := perBout(again, of)
		require.InDelta(t, m1, m2, 4.9*math.Hypot(se1, se2), name)
	}
}

func perBout(tapes []*tape.Coding, of func(*tape.Event) (float64, bool)) (mean, se float64) {
	sum, square := 0.0, 0.0
	for _, b := range tapes {
		n := 0.0
		for i := range b.Rows {
			if x, ok := of(&b.Rows[i].Event); ok && b.Rows[i].Corner == tape.RedCorner {
				n += x
			}
		}
		sum, square = sum+n, square+n*n
	}
	k := float64(len(tapes))
	mean = sum / k
	return mean, math.Sqrt((square/k - mean*mean) / k)
}
