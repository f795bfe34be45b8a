package calibrate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tape"
)

// staged codes rows of a first round between two who meet in opposite stances, everything looked for.
func staged(t *testing.T, rows ...tape.Event) *source {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	bout := boutOf("one", rules, "stoat", "marten")
	orthodox, southpaw := fighter.AverageBody(), fighter.AverageBody()
	southpaw.Southpaw = true
	for i := range rows {
		rows[i].Round = 1
	}
	s := &source{bout: bout, events: rows, weight: 1, bodies: [2]*fighter.Body{&orthodox, &southpaw}}
	s.lights = lights(s)
	return s
}

func flagsOf(list ...flag) (f flags) {
	for _, k := range list {
		f.put(k, true)
	}
	return f
}

// Each row before or around an attempt sets its own flag, for as long as the engine has it, and no other. The cross of red comes at 10 s;
// all that red or blue did lies around it. How long each lasts: sim/land.go, sim/grapple.go, sim/react.go.
func TestStatesAreReadOffTape(t *testing.T) {
	const at = 10_000_000
	cross := tape.Event{Clock: at, Corner: tape.RedCorner, Act: tape.Cross, Value: tape.Head, Defence: tape.DefenceNone, Result: tape.Clean, How: tape.Set, Limb: tape.Rear}
	for name, c := range map[string]struct {
		row  tape.Event
		want flags
	}{
		"nothing":                       {tape.Event{Clock: 1, Corner: tape.BlueCorner, Act: tape.StepIn}, 0},
		"measured":                      {tape.Event{Clock: at - 1_200_000, Corner: tape.RedCorner, Act: tape.Measure}, flagsOf(measured)},
		"measured too long ago":         {tape.Event{Clock: at - 1_400_000, Corner: tape.RedCorner, Act: tape.Measure}, 0},
		"the hands were lost":           {tape.Event{Clock: at - 1_900_000, Corner: tape.BlueCorner, Act: tape.HandFight, Result: tape.Made}, flagsOf(denied)},
		"the hands were not lost":       {tape.Event{Clock: at - 1_900_000, Corner: tape.BlueCorner, Act: tape.HandFight, Result: tape.Failed}, 0},
		"the other reached":             {tape.Event{Clock: at - 500_000, Corner: tape.BlueCorner, Act: tape.HandFight, Result: tape.Failed}, flagsOf(reaching)},
		"own lead hand engaged":         {tape.Event{Clock: at - 900_000, Corner: tape.RedCorner, Act: tape.HandFight, Result: tape.Failed}, flagsOf(engaged)},
		"the other's jab on its way":    {tape.Event{Clock: at + 300_000, Corner: tape.BlueCorner, Act: tape.Jab, Value: tape.Head, Result: tape.Missed}, flagsOf(busy)},
		"the other's jab not begun":     {tape.Event{Clock: at + 500_000, Corner: tape.BlueCorner, Act: tape.Jab, Value: tape.Head, Result: tape.Missed}, 0},
		"the other's jab half back":     {tape.Event{Clock: at - 200_000, Corner: tape.BlueCorner, Act: tape.Jab, Value: tape.Head, Result: tape.Missed}, 0},
		"the other's jab coming back":   {tape.Event{Clock: at - 150_000, Corner: tape.BlueCorner, Act: tape.Jab, Value: tape.Head, Result: tape.Missed}, flagsOf(busy)},
		"beaten by it":                  {tape.Event{Clock: at - 250_000, Corner: tape.BlueCorner, Act: tape.Jab, Value: tape.Head, Result: tape.Clean}, flagsOf(beaten)},
		"a knee up":                     {tape.Event{Clock: at - 600_000, Corner: tape.BlueCorner, Act: tape.RaiseKnee}, flagsOf(knee, squared)},
		"a low kick checked":            {tape.Event{Clock: at - 650_000, Corner: tape.RedCorner, Act: tape.LowKick, Value: tape.Calf, Defence: tape.Check, Result: tape.Blocked}, flagsOf(squared)},
		"a guard drawn to the body":     {tape.Event{Clock: at - 650_000, Corner: tape.RedCorner, Act: tape.Shoot, Defence: tape.Sprawl, Result: tape.Stuffed}, flagsOf(drawn)},
		"a guard drawn where it goes":   {tape.Event{Clock: at - 650_000, Corner: tape.RedCorner, Act: tape.Jab, Value: tape.Head, Defence: tape.Parry, Result: tape.Blocked}, 0},
		"the other hurt":                {tape.Event{Clock: at - 4_000_000, Corner: tape.RedCorner, Act: tape.Cross, Value: tape.Head, Result: tape.Hurt}, flagsOf(hurtOther)},
		"the other on the fence":        {tape.Event{Clock: at - 8_000_000, Corner: tape.NoCorner, Act: tape.StateFence, Value: tape.Blue}, flagsOf(fenced)},
		"the attacker's own on it":      {tape.Event{Clock: at - 8_000_000, Corner: tape.NoCorner, Act: tape.StateFence, Value: tape.Red}, 0},
		"an attack of the other's long": {tape.Event{Clock: at - 700_000, Corner: tape.BlueCorner, Act: tape.HighKick, Value: tape.Head, Result: tape.Missed}, 0},
	} {
		rows, i := []tape.Event{c.row, cross}, 1
		if c.row.Clock > at {
			rows, i = []tape.Event{cross, c.row}, 0
		}
		s := staged(t, rows...)
		a, ok := s.attempt(i, [2]*view{whereabouts(s, &s.lights[0], 0), whereabouts(s, &s.lights[0], 1)}, s.settings()[i])
		require.True(t, ok)
		require.Equalf(t, c.want, a.state.holds, "%s: %013b", name, a.state.holds)
		require.EqualValues(t, 1<<numFlags-1, a.state.known, name)
	}
}

// The rear hand comes down the open side against the other stance until somebody switches, and how a strike was thrown is what its own
// row says.
func TestOwnRowAndStances(t *testing.T) {
	jab := tape.Event{Clock: 2_000_000, Corner: tape.RedCorner, Act: tape.Jab, Value: tape.Head, Result: tape.Missed, How: tape.Lunging, Limb: tape.Lead, Defence: tape.Slip}
	cross := tape.Event{Clock: 9_000_000, Corner: tape.RedCorner, Act: tape.Cross, Value: tape.Head, Result: tape.Missed, How: tape.Wide, Limb: tape.Rear, Defence: tape.DefenceUnknown}
	late := cross
	late.Clock, late.How = 60_000_000, tape.HowUncoded
	s := staged(t, tape.Event{Clock: 1_000_000, Corner: tape.RedCorner, Act: tape.StateRange, Value: tape.Long}, jab, cross,
		tape.Event{Clock: 50_000_000, Corner: tape.BlueCorner, Act: tape.StateStance, Value: tape.Orthodox}, late)
	all := attempts([]*source{s}, nil)
	require.Len(t, all, 3)
	require.Equal(t, standing{fighter.Long, tape.Slip, flagsOf(lunging), 1<<numFlags - 1, -1}, all[0].state)
	require.Equal(t, standing{fighter.Long, tape.DefenceUncoded, flagsOf(wide), 1<<numFlags - 1, 1}, all[1].state)
	require.Equal(t, standing{fighter.Long, tape.DefenceUncoded, 0, 1<<numFlags - 1 - flagsOf(lunging, wide), 0}, all[2].state)
}

// What nobody looked for is unknown, not absent.
func TestStatesThatNobodyLookedFor(t *testing.T) {
	cross := tape.Event{Clock: 2_000_000, Corner: tape.RedCorner, Act: tape.Cross, Value: tape.Head, Result: tape.Missed, How: tape.Lunging, Defence: tape.DefenceNone}
	s := staged(t, tape.Event{Clock: 1_000_000, Corner: tape.RedCorner, Act: tape.StateRange, Value: tape.Long}, cross)
	s.bout.LookedFor = tape.Groups{}
	s.bout.LookedFor[tape.GroupStrikes], s.bout.LookedFor[tape.GroupResults] = true, true
	all := attempts([]*source{s}, nil)
	require.Len(t, all, 1)
	require.Equal(t, standing{zone: unknown, known: flagsOf(hurtOther, beaten)}, all[0].state)
}

// What the population's bouts say a state is worth has the sign that the engine gives it, whose sizes are sim.AverageWorld's: less, because
// tape shows a part of it only, or somewhat more, because states come together.
func TestStatesAreWorthWhatTheEngineSays(t *testing.T) {
	all := flags(1<<numFlags - 1)
	for f, signs := range map[fighter.Family]map[flag]float64{
		fighter.StraightPunch: {busy: 1, hurtOther: 1, lunging: -1, beaten: -1, measured: 1, denied: -1, squared: 1},
		fighter.LoopingPunch:  {busy: 1, hurtOther: 1, lunging: -1, beaten: -1, denied: -1},
		fighter.LowKicks:      {busy: 1, hurtOther: 1, lunging: -1, knee: -1},
		fighter.HighKicks:     {busy: 1, hurtOther: 1, lunging: -1, drawn: 1},
	} {
		shares := shippedUsual().seen.stateShares(reading{f, all, true, true})
		for k, sign := range signs {
			worth := sign * shares.worth[part{'f', uint8(k), 0}]
			require.Greater(t, worth, .1, "%s %d", f, k)
			require.Less(t, worth, 1.5, "%s %d", f, k)
		}
	}
}

// The states take away most of what circumstances did: the variance between equals that is left is less than a third of that of shares by
// move and defence alone, where that could be told from none. With five times the bouts that calibration uses: an estimated variance has a
// standard error of √(2/60)·luck/slope² for 60 fighters, 1/(n·p·(1-p)) with n attempts of a share p each: for high kicks (about 100 each in 20 bouts, a share of
// .3) that is .18/20 = .009 there, as much as there is to tell, and .002 here; of straights and low kicks, which are more, under .001.
func TestStatesTakeCircumstancesAway(t *testing.T) {
	all := flags(1<<numFlags - 1)
	seen := playUsual(fighter.Shipped(), mustRules(t), 5*usualBouts, false)
	for _, f := range []fighter.Family{fighter.StraightPunch, fighter.LoopingPunch, fighter.LowKicks, fighter.HighKicks} {
		bare := seen.stateShares(reading{family: f, defence: true}).spread
		states := seen.stateShares(reading{f, all, true, true}).spread
		require.Greater(t, bare[0], 4.9*seen.luckBetween(f), f)
		require.Less(t, states[0], bare[0]/3, f)
		require.LessOrEqual(t, states[1], bare[1], f)
	}
}

// luckBetween is the standard error of a variance between the usual fighters of a family's success, in log-odds.
func (t *usualTally) luckBetween(f fighter.Family) float64 {
	tries, made := 0.0, 0.0
	for i := range t.attempts {
		if of, ok := fighter.FamilyOf(t.attempts[i].move.Act()); ok && of == f {
			tries++
			if t.attempts[i].made {
				made++
			}
		}
	}
	p := made / tries
	return math.Sqrt(2./usualFighters) / (tries / usualFighters * p * (1 - p))
}
