package fighter_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// sketchBouts a side is enough for rates that differ fourfold: of an act done 8 times a bout by the one and 2 by the other the counts of 60
// bouts differ by 360 with a standard error near √600 = 24.
const sketchBouts = 60

// counted plays red as sketched against an average blue, whole bouts, and gives red's figure of each.
func counted(t *testing.T, answers map[string]fighter.Habit, of func(events []tape.Event) float64) []float64 {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(rules, sim.AverageWorld())
	body := fighter.AverageBody()
	red := fighter.Sketch{ID: "vole", Body: body, Answers: answers}
	require.NoError(t, b.Sides[0].Load(body, red.Profile().Centre(), nil, nil, rules))
	blue := fighter.Population("shrew", body).Centre()
	for _, m := range []tape.Move{tape.MoveFeintHip, tape.MoveFeintHand} { // feints enough to bite on
		for z := range fighter.NumZones {
			blue[fighter.Initiate(z, m)] *= 2
		}
	}
	require.NoError(t, b.Sides[1].Load(body, blue, nil, nil, rules))
	var out []float64
	for i := range sketchBouts {
		b.Run(kernel.NewKey(0x736b65746368, uint64(i)))
		out = append(out, of(b.Events))
	}
	return out
}

// acts counts red's acts of a kind.
func acts(kinds ...tape.Act) func([]tape.Event) float64 {
	return rows(func(events []tape.Event, i int) bool {
		for _, a := range kinds {
			if events[i].Act == a && events[i].Corner == tape.RedCorner {
				return true
			}
		}
		return false
	})
}

func rows(holds func(events []tape.Event, i int) bool) func([]tape.Event) float64 {
	return func(events []tape.Event) float64 {
		n := 0.0
		for i := range events {
			if holds(events, i) {
				n++
			}
		}
		return n
	}
}

// ofBlues is the share of blue's acts of a kind that red does something about.
func ofBlues(kind func(tape.Act) bool, does func(tape.Defence) bool) func([]tape.Event) float64 {
	return func(events []tape.Event) float64 {
		n, k := 0.0, 0.0
		for i := range events {
			if e := &events[i]; e.Corner == tape.BlueCorner && kind(e.Act) {
				n++
				if does(e.Defence) {
					k++
				}
			}
		}
		return k / max(n, 1)
	}
}

// atPoint counts red's strikes at a choice point.
func atPoint(p tape.Point) func([]tape.Event) float64 {
	return rows(func(events []tape.Event, i int) bool {
		return events[i].Corner == tape.RedCorner && events[i].Act.IsStrike() && tape.PointOf(events, i) == p
	})
}

func is(want tape.Act) func(tape.Act) bool { return func(a tape.Act) bool { return a == want } }

// Each answer "often" against "rarely", all else sometimes: red does more of it in simulated bouts, by more than four standard errors of the
// mean difference over pairs of bouts on the same luck. Common practice, no source.
func TestOftenIsMoreThanRarely(t *testing.T) {
	bites := func(d tape.Defence) bool { return d >= tape.Flinch }
	for name, of := range map[string]func([]tape.Event) float64{
		"presses_forward":   acts(tape.StepIn, tape.CutOff),
		"gives_ground":      ofBlues(tape.Act.IsStrike, func(d tape.Defence) bool { return d == tape.DefenceStepBack }),
		"circles":           acts(tape.Circle),
		"jabs":              acts(tape.Jab),
		"hand_fights":       acts(tape.HandFight),
		"feints_with_hips":  acts(tape.FeintHip),
		"bites_on_hips":     ofBlues(is(tape.FeintHip), bites),
		"bites_on_hands":    ofBlues(is(tape.FeintHand), bites),
		"low_kicks":         acts(tape.LowKick),
		"kicks_above_waist": acts(tape.FrontKick, tape.SideKick, tape.BodyKick, tape.HighKick),
		"shoots":            acts(tape.Shoot),
		"ties_up":           acts(tape.TieUp),
		"fires_back":        atPoint(tape.Answer),
		"combinations":      atPoint(tape.Continue),
		"switches_stance": rows(func(events []tape.Event, i int) bool {
			return events[i].Act == tape.StateStance && events[i].Corner == tape.RedCorner && events[i].Clock > 0
		}),
	} {
		rare := counted(t, map[string]fighter.Habit{name: fighter.Rarely}, of)
		often := counted(t, map[string]fighter.Habit{name: fighter.Often}, of)
		sum, square := 0.0, 0.0
		for i := range rare {
			d := often[i] - rare[i]
			sum, square = sum+d, square+d*d
		}
		mean := sum / sketchBouts
		se := math.Sqrt((square/sketchBouts - mean*mean) / sketchBouts)
		require.Greater(t, mean, 4*se, "%s: %.3f more with a standard error of %.3f", name, mean, se)
		t.Logf("%s: %.3f more with a standard error of %.3f", name, mean, se)
	}
	require.Len(t, fighter.Questions(), 15)
}

// No draw of an archetype begins acts faster than a bout can follow, so that a comparison with it runs: 400 draws and 200 of tape alone are
// what compare takes.
func TestArchetypesCanFight(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	b := sim.NewBout()
	b.Setup(rules, sim.AverageWorld())
	names, _ := fighter.Archetypes()
	for _, name := range names {
		s := fighter.Sketch{ID: name, Archetype: name, Body: fighter.AverageBody()}
		p := s.Profile()
		for k := range uint64(600) {
			require.NoError(t, b.Sides[0].Load(p.Body, p.Draw(1, k, k%3 > 0), nil, nil, rules), name)
		}
	}
}
