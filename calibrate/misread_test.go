package calibrate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tape"
)

// Exact: of one choice counted where s strays are expected, the chance that it belongs is weight/(weight+s); of two, k belong with chances in
// the proportions w(w+1)/2 : w·s : s²/2 (a gamma prior of shape w over a long exposure, and Poisson strays).
func TestBelonging(t *testing.T) {
	mean, variance := belonging(1, .06, .1)
	require.InDelta(t, .06/.16, mean, 1e-12)
	require.InDelta(t, .06*.1/.16/.16, variance, 1e-12)

	const w, s = .5, .3
	both, one, none := w*(w+1)/2, w*s, s*s/2
	whole := both + one + none
	mean, variance = belonging(2, w, s)
	require.InDelta(t, (2*both+one)/whole, mean, 1e-12)
	require.InDelta(t, (4*both+one)/whole-mean*mean, variance, 1e-12)

	half, _ := belonging(1.5, w, s) // of a bout coded twice
	first, _ := belonging(1, w, s)
	require.InDelta(t, (first+mean)/2, half, 1e-12)

	for _, c := range [][2]float64{{0, .3}, {7, 0}} { // nothing to doubt
		mean, variance = belonging(c[0], w, c[1])
		require.Equal(t, c[0], mean)
		require.Zero(t, variance)
	}
	// Of 400 beside a weight of 400 with 2 strays expected, one more stray is 400/799·2 = 1.001 times as likely by the first, half that by the second,
	// and so on: Poisson strays with a mean of 1.
	mean, variance = belonging(400, 400, 2)
	require.InDelta(t, 399, mean, .01)
	require.InDelta(t, 1, variance, .01)
}

// The gamma that is kept has the mean and the variance of the mixture: weight and choices that belong, and the doubt whether they do.
func TestDoubtWhetherAChoiceBelongsIsKept(t *testing.T) {
	p := fighter.Population("vole", fighter.AverageBody())
	knee := fighter.Continue(fighter.Pocket.Exchange(), tape.MoveKnee)
	weight := p.Figures[knee].A
	c := &counts{defends: map[fighter.Figure]float64{}, tables: map[pattern]map[fighter.Figure]float64{
		{tape.AllGroups(), allowed(t), false}: {knee: 1, fighter.Continue(fighter.Pocket.Exchange(), tape.NoMove): 200}}}
	r := &roundCount{age: 1, acts: map[fighter.Figure]float64{fighter.Initiate(fighter.Pocket, tape.MoveKnee): 50}}
	c.rounds = []*roundCount{r}
	setTables(p, c)
	strays := misread * 50
	belongs := weight / (weight + strays)
	post := p.Figures[knee]
	require.InDelta(t, weight+belongs, post.Mean(fighter.Weight), 1e-9)
	require.InDelta(t, weight+belongs+belongs*(1-belongs), post.A*post.B*post.B, 1e-9)
	require.EqualValues(t, 1, p.Seen[knee])
}

// Four rounds of the same choices make a table as sure as they are many; the same choices, unlike from round to round, leave it less sure.
// By hand: 20 of 40 in every round, and 40 of 40 in two and none in two, whose factor is 160 over 3 degrees of freedom.
func TestTablesKeepWhatRoundsDifferBy(t *testing.T) {
	none := fighter.Continue(fighter.Long.Exchange(), tape.NoMove)
	cross := fighter.Continue(fighter.Long.Exchange(), tape.MoveCross)
	of := func(crosses ...float64) fighter.Posterior {
		c := &counts{defends: map[fighter.Figure]float64{}, tables: map[pattern]map[fighter.Figure]float64{{tape.AllGroups(), allowed(t), false}: {cross: 80, none: 80}}}
		for _, n := range crosses {
			c.rounds = append(c.rounds, &roundCount{age: 1, choices: map[fighter.Figure]float64{cross: n, none: 40 - n}})
		}
		p := fighter.Population("vole", fighter.AverageBody())
		setTables(p, c)
		return p.Figures[cross]
	}
	prior := fighter.Population("vole", fighter.AverageBody()).Figures[cross].A
	require.InDelta(t, prior+80, of(20, 20, 20, 20).A, 1e-9)
	require.InDelta(t, prior+80/(160./3), of(40, 0, 40, 0).A, 1e-9)
}

func allowed(t *testing.T) [tape.NumMoves]bool {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	return rules.Allowed
}

// By hand: blue's cross is met by red's lead hook. The hook is the defence against the cross, neither begun nor a choice of
// the answer table.
func TestAStrikeIntoAnAttackIsItsDefence(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	for name, meets := range map[string]bool{"met": true, "not": false} {
		cross := tape.Event{Round: 1, Clock: 10e6, Corner: tape.BlueCorner, Act: tape.Cross, Value: tape.Head, Defence: tape.DefenceNone, Result: tape.Blocked}
		if meets {
			cross.Defence = tape.StrikeFirst
		}
		p, err := Profiles([]*tape.Coding{codingOf(boutOf("bout", rules, "vole", "shrew"), []tape.Event{
			{Round: 1, Corner: tape.RedCorner, Act: tape.StateRange, Value: tape.Long},
			{Round: 1, Corner: tape.BlueCorner, Act: tape.StateRange, Value: tape.Long}, cross,
			{Round: 1, Clock: 10_300_000, Corner: tape.RedCorner, Act: tape.LeadHook, Value: tape.Head, Defence: tape.DefenceNone, Result: tape.Missed},
		})}, "vole")
		require.NoError(t, err)
		seen, long := p["vole"].Seen, fighter.Long.Exchange()
		n := 0.0
		if meets {
			n = 1
		}
		require.Equal(t, n, seen[fighter.Defend(fighter.Straight, fighter.StrikeFirst)], name)
		require.Equal(t, 1-n, seen[fighter.Initiate(fighter.Long, tape.MoveLeadHook)], name)
		require.Zero(t, seen[fighter.Answer(long, tape.NoMove)], name) // busy, either way: the hook was on its way
		require.Zero(t, seen[fighter.Answer(long, tape.MoveLeadHook)], name)
	}
}

// With the back on the fence there is no step back: time there is no time in which one was not begun, nor a choice in which it was not made.
func TestNoStepBackIsExpectedOnTheFence(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	state := func(clock int64, c tape.Corner, a tape.Act, v tape.Value) tape.Event {
		return tape.Event{Round: 1, Clock: clock, Corner: c, Act: a, Value: v}
	}
	jab := tape.Event{Round: 1, Clock: 100e6, Corner: tape.RedCorner, Act: tape.Jab, Value: tape.Head, Defence: tape.DefenceNone, Result: tape.Missed}
	p, err := Profiles([]*tape.Coding{codingOf(boutOf("bout", rules, "vole", "shrew"), []tape.Event{
		state(0, tape.RedCorner, tape.StateRange, tape.Long), state(0, tape.BlueCorner, tape.StateRange, tape.Long),
		state(60e6, tape.NoCorner, tape.StateFence, tape.Red), jab, state(160e6, tape.NoCorner, tape.StateFence, tape.None),
	})}, "vole")
	require.NoError(t, err)
	prior := fighter.Population("vole", fighter.AverageBody())
	rate := func(m tape.Move) float64 {
		f := fighter.Initiate(fighter.Long, m)
		return p["vole"].Figures[f].B - prior.Figures[f].B
	}
	busy := float64(tape.MoveJab.UsualTime()+tape.Settle) / 1e6
	require.InDelta(t, 300-busy, rate(tape.MoveStepIn), 1e-6)
	require.InDelta(t, 300-100, rate(tape.MoveStepBack), 1e-6)
	share := func(p *fighter.Profile, m tape.Move) float64 {
		whole := 0.0
		for k := range tape.NumMoves {
			whole += p.Figures[fighter.Continue(fighter.Long.Exchange(), k)].A
		}
		return p.Figures[fighter.Continue(fighter.Long.Exchange(), m)].A / whole
	}
	require.InDelta(t, share(prior, tape.MoveStepBack), share(p["vole"], tape.MoveStepBack), 1e-9)
	require.Less(t, share(p["vole"], tape.MoveCross), share(prior, tape.MoveCross))
	require.False(t, math.IsNaN(share(p["vole"], tape.NoMove)))
}

// A step back that began just before the back was on the fence, in a range in which all other time was there, has no time to be counted in.
func TestAStepBackWithoutRoomNorTimeIsLeftOut(t *testing.T) {
	c := &counts{rounds: []*roundCount{
		{age: 1, bout: boutOf("bout", mustRules(t), "vole", "shrew"), acts: map[fighter.Figure]float64{fighter.Initiate(fighter.Pocket, tape.MoveStepBack): 1}},
		{age: 1, bout: boutOf("bout", mustRules(t), "vole", "shrew"), acts: map[fighter.Figure]float64{fighter.Initiate(fighter.Pocket, tape.MoveStepBack): 2}},
	}}
	for _, r := range c.rounds {
		r.seconds[fighter.Pocket], r.fenced[fighter.Pocket] = 2, 1
	}
	c.rounds[0].fenced[fighter.Pocket] = 2
	acts, seconds := initiated(c.rounds, fighter.Pocket, tape.MoveStepBack)
	require.Equal(t, []float64{2}, acts)
	require.Equal(t, []float64{1}, seconds)
	require.NotPanics(t, func() { c.dispersion(fighter.Pocket) })
	p := fighter.Population("vole", fighter.AverageBody())
	require.NotPanics(t, func() { setRates(p, c) })
}

func mustRules(t *testing.T) *tape.RuleSet {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	return rules
}
