package calibrate

import (
	"context"
	stdflag "flag"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// kicker is the vole with twice the low kicks, so that swapped labels can be seen on three bouts.
func kicker() fighter.Draw {
	d := truth()
	for _, m := range []tape.Move{tape.MoveLowKickCalf, tape.MoveLowKickOutside, tape.MoveLowKickInside} {
		for z := range fighter.NumZones {
			d[fighter.Initiate(z, m)] *= 2
		}
	}
	return d
}

// tight is a profile that knows a draw as well as exactly.
func tight(id string, d fighter.Draw) *fighter.Profile {
	const sure = 1e8
	p := fighter.Population(id, fighter.AverageBody())
	for f := range p.Figures {
		switch law := fighter.Define(fighter.Figure(f)).Law; law {
		case fighter.Rate:
			p.Figures[f] = fighter.Posterior{A: d[f] * sure, B: sure}
		case fighter.Weight:
			p.Figures[f] = fighter.Posterior{A: d[f] * sure, B: p.Figures[f].B}
		default:
			p.Figures[f] = fighter.Posterior{A: d[f], B: 1e-9}
		}
	}
	return p
}

// auditTape plays bouts of the vole, red, against the average shrew, blue, all in one draw of the mechanics, as a forecast has it.
func auditTape(t *testing.T, seed uint64, bouts int, change func(*tape.Coding)) []*tape.Coding {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(rules, sim.DrawWorld(seed, 0))
	body := fighter.AverageBody()
	require.NoError(t, b.Sides[0].Load(body, kicker(), nil, nil, rules))
	require.NoError(t, b.Sides[1].Load(body, fighter.Population("shrew", body).Centre(), nil, nil, rules))
	var out []*tape.Coding
	for i := range bouts {
		b.Run(kernel.NewKey(seed, uint64(i)))
		c := codingOf(boutOf(fmt.Sprint("bout ", i), rules, "vole", "shrew"), b.Events)
		if change != nil {
			change(c)
		}
		out = append(out, c)
	}
	return out
}

func trueProfiles() map[string]*fighter.Profile {
	return map[string]*fighter.Profile{"vole": tight("vole", kicker()), "shrew": tight("shrew", fighter.Population("shrew", fighter.AverageBody()).Centre())}
}

func audited(t *testing.T, tapes []*tape.Coding, o AuditOptions) *Audit {
	t.Helper()
	if o.Draws == 0 {
		o.Draws = leastDraws
	}
	a, err := RunAudit(context.Background(), tapes, o)
	require.NoError(t, err)
	return a
}

func verdictOf(t *testing.T, a *Audit, group string) AuditVerdict {
	t.Helper()
	for _, v := range a.Verdicts {
		if v.Group == group {
			return v
		}
	}
	t.Fatalf("no verdict on %s", group)
	return AuditVerdict{}
}

// With the truth as the profile everything has its nominal frequency over 60 tapes of a bout, each with luck and mechanics of its own and
// held against 39 draws: numbers are binomial, tolerances 4.9 standard errors. p at most .5: 30 ± 4.9·sqrt(60·.5·.5) = 19.0 (ties make p
// a little larger than uniform). p at most .1: at most 6 + 4.9·sqrt(60·.1·.9) = 17.4. A total inside its 90 % interval: at least
// 54 - 4.9·sqrt(60·.9·.1) = 42.6. Of cells, of which those of one tape depend on each other, the mean over tapes is what is expected,
// within 4.9 of its own standard errors.
func TestAuditOfTheTruth(t *testing.T) {
	const tapes = 60
	half, tenth, inside := map[string]int{}, map[string]int{}, map[string]int{}
	sum, square := 0.0, 0.0
	for i := range tapes {
		a, err := audit(context.Background(), auditTape(t, 1000+uint64(i), 1, nil), AuditOptions{Draws: 39, Profiles: trueProfiles(), Seed: 50 + uint64(i)})
		require.NoError(t, err)
		require.False(t, a.InSample)
		require.Equal(t, 3, a.Rounds)
		for _, v := range a.Verdicts {
			half[v.Group] += oneIf(v.P <= .5)
			tenth[v.Group] += oneIf(v.P <= .1)
		}
		for _, x := range a.Totals {
			inside[x.Fighter+" "+x.Figure] += oneIf(x.Forecast.Holds(x.Coded))
		}
		c := a.Coverage[len(a.Coverage)-1]
		require.Equal(t, "all", c.Group)
		require.Equal(t, .9, c.Level)
		d := c.Share.Centre - c.Expected
		sum, square = sum+d, square+d*d
	}
	for _, g := range AuditGroups {
		require.InDelta(t, tapes/2, half[g], 19, g)
		require.LessOrEqual(t, tenth[g], 17, g)
	}
	for figure, n := range inside {
		require.GreaterOrEqual(t, n, 43, figure)
	}
	mean := sum / tapes
	require.InDelta(t, 0, mean, 4.9*math.Sqrt((square/tapes-mean*mean)/tapes))
}

var honestAudits = stdflag.Int("honest-audits", 8, "how many honest tapes TestAuditOfHonestTapes audits")

// Tape of the model's own is called wrong, in any of eight groups, in at most one audit of 20. Of 8 audits of two bouts each, at the draws that
// verdicts are made with, that is .4 on the mean and, 4.9 standard errors further, .4 + 4.9·sqrt(8·.05·.95) = 3.4 at most. Of 200
// (go test ./calibrate -run HonestTapes -honest-audits 200 -v) the limit is 25.1.
func TestAuditOfHonestTapes(t *testing.T) {
	n, red := *honestAudits, 0
	groups := map[string]int{}
	for i := range n {
		a := audited(t, auditTape(t, 7000+uint64(i), 2, nil), AuditOptions{Profiles: trueProfiles(), Seed: 70 + uint64(i)})
		wrong := 0
		for _, v := range a.Verdicts {
			groups[v.Group] += oneIf(v.Verdict == DoesNot)
			wrong += oneIf(v.Verdict == DoesNot)
		}
		red += oneIf(wrong > 0)
	}
	se := math.Sqrt(float64(n) * auditLevel * (1 - auditLevel))
	t.Logf("called wrong: %d of %d audits, expected at most %.1f, standard error %.1f; by group %v", red, n, auditLevel*float64(n), se, groups)
	require.LessOrEqual(t, float64(red), auditLevel*float64(n)+4.9*se)
}

// A coder who states ranges for the pair, and does not tell long from pocket, is held against simulated ranges written down like that:
// of the truth it fits, and of two with the same limbs both have the same zones.
func TestAuditOfPairRanges(t *testing.T) {
	pair := rangeCoding{pair: true, boxing: true}
	event := func(c tape.Corner, v tape.Value) tape.Event {
		return tape.Event{Round: 1, Corner: c, Act: tape.StateRange, Value: v}
	}
	own := []tape.Event{event(tape.RedCorner, tape.Out), event(tape.BlueCorner, tape.Out), event(tape.RedCorner, tape.Kicking), event(tape.BlueCorner, tape.Long)}
	none := tape.NoCorner
	require.Equal(t, []tape.Event{event(none, tape.Out), event(none, tape.Out), event(none, tape.Kicking), event(none, tape.Boxing)}, pair.as(own))
	require.Equal(t, tape.RedCorner, own[0].Corner, "the engine's own events stay as they are")

	tapes := auditTape(t, 7, 2, func(c *tape.Coding) {
		for i, e := range pair.as(c.Events()) {
			c.Rows[i].Event = e
		}
	})
	require.Equal(t, pair, rangesOf(tapes[0].Events()))
	a := audited(t, tapes, AuditOptions{Profiles: trueProfiles(), Seed: 3})
	require.Equal(t, Fits, verdictOf(t, a, AuditRange).Verdict)
	seen := map[string]float64{}
	for _, x := range a.Totals {
		seen[x.Fighter+" "+x.Figure] = x.Coded
	}
	require.Positive(t, seen["vole kicking"])
	require.InDelta(t, seen["vole kicking"], seen["shrew kicking"], 1e-12)
}

// A coder who codes the acts of one corner alone, no feints and no defences, is held against simulated tape of which no more is looked at: of
// the truth it fits.
func TestAuditOfOneCorner(t *testing.T) {
	a := audited(t, auditTape(t, 7, 3, func(c *tape.Coding) {
		c.Bout.Corners[tape.BlueCorner] = false
		c.Bout.LookedFor[tape.GroupFeints], c.Bout.LookedFor[tape.GroupDefences] = false, false
		for i := range c.Rows {
			c.Rows[i].Defence = tape.DefenceUncoded
		}
		c.Rows = slices.DeleteFunc(c.Rows, func(r tape.Row) bool {
			return r.IsAct() && (r.Corner == tape.BlueCorner || r.Act.IsFeint())
		})
	}), AuditOptions{Profiles: trueProfiles(), Seed: 3})
	for _, g := range []string{AuditActs, AuditMoves, AuditTiming} {
		require.Equal(t, Fits, verdictOf(t, a, g).Verdict, g)
	}
	require.Len(t, a.Times, 1)
	for _, x := range a.Totals {
		require.NotEqual(t, "feints", x.Figure)
	}
}

// A coder who writes clocks down to the second is held against simulated clocks to the second: of the truth it fits.
func TestAuditOfRoundedClocks(t *testing.T) {
	a := audited(t, auditTape(t, 7, 3, func(c *tape.Coding) {
		for i, e := range rounded(c.Events(), 1_000_000, int64(c.Bout.RuleSet.RoundSeconds)*1e6) {
			c.Rows[i].Event = e
		}
	}), AuditOptions{Profiles: trueProfiles(), Seed: 3})
	for _, g := range []string{AuditActs, AuditRange, AuditMoves, AuditTiming} {
		require.Equal(t, Fits, verdictOf(t, a, g).Verdict, g)
	}
}

// The same audit for any number of workers.
func TestAuditIsTheSameForAnyWorkers(t *testing.T) {
	tapes := auditTape(t, 9, 1, nil)
	first := audited(t, tapes, AuditOptions{Profiles: trueProfiles(), Seed: 1, Workers: 1})
	for _, workers := range []int{2, 7} {
		require.Equal(t, first, audited(t, tapes, AuditOptions{Profiles: trueProfiles(), Seed: 1, Workers: workers}))
	}
}

// By hand: of a round coded from 10 s to 30 s, in which the coder sees nobody from 20 s on, count the rows and the seconds. What was not
// looked for has no cell.
func TestAuditCountsByHand(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	b := boutOf("hand", rules, "vole", "shrew")
	b.Coded = []tape.Interval{{Round: 1, From: 10e6, To: 30e6}}
	b.LookedFor[tape.GroupSteps], b.LookedFor[tape.GroupFence] = false, false
	row := func(at float64, c tape.Corner, a tape.Act, v tape.Value, d tape.Defence, r tape.Result) tape.Event {
		return tape.Event{Round: 1, Clock: int64(at * 1e6), Corner: c, Act: a, Value: v, Defence: d, Result: r}
	}
	s := sourcesOf([]*tape.Coding{codingOf(b, []tape.Event{
		row(5, tape.RedCorner, tape.Jab, tape.Head, 0, tape.Clean), // before the coded stretch
		row(10, tape.RedCorner, tape.StateRange, tape.Kicking, 0, 0),
		row(11, tape.RedCorner, tape.Jab, tape.Head, 0, tape.Clean),
		row(12, tape.NoCorner, tape.StateCentre, tape.Red, 0, 0),
		row(13, tape.RedCorner, tape.Cross, tape.Head, 0, tape.Missed),
		row(14, tape.RedCorner, tape.StateRange, tape.Long, 0, 0),
		row(15, tape.RedCorner, tape.FeintHip, 0, tape.Flinch, 0),
		row(16, tape.RedCorner, tape.FeintHip, 0, tape.DefenceNone, 0),
		row(18, tape.NoCorner, tape.StateCentre, tape.Even, 0, 0),
		row(20, tape.NoCorner, tape.StateSeen, tape.No, 0, 0),
		row(21, tape.RedCorner, tape.Jab, tape.Head, 0, tape.Clean),
	})}, nil)
	found := map[string]float64{}
	for _, c := range codedCells(s[0]) {
		found[c.Fighter+" "+c.Figure] = c.Coded
	}
	for name, want := range map[string]float64{"vole straights": 2, "vole clean straights": 1, "vole feints": 2, "vole bites": 0, "shrew bites": 1,
		"shrew straights": 0, "vole kicking": .4, "vole long": .6, "vole kicking to long": 1, "vole long to kicking": 0, "vole holds the centre": 6, "shrew holds the centre": 0} {
		got, ok := found[name]
		require.True(t, ok, name)
		require.InDelta(t, want, got, 1e-9, name)
	}
	for _, name := range []string{"vole steps back", "vole back on the fence", "shrew kicking"} {
		require.NotContains(t, found, name)
	}
}

// Bad options, all told at once; a tape of which nobody has a profile.
func TestAuditFaults(t *testing.T) {
	o := AuditOptions{Draws: 10, Workers: -1, Hold: Holding{Each: HoldBouts}, Profiles: trueProfiles()}
	err := o.Check()
	for _, part := range []string{"10 predictive rounds", "-1 workers", "holding rounds back"} {
		require.ErrorContains(t, err, part)
	}
	_, err = RunAudit(context.Background(), auditTape(t, 9, 1, nil), AuditOptions{Draws: leastDraws, Profiles: map[string]*fighter.Profile{"vole": tight("vole", kicker())}})
	require.ErrorContains(t, err, "no profile of shrew")
	_, err = RunAudit(context.Background(), auditTape(t, 9, 1, nil), AuditOptions{Draws: leastDraws, Hold: Holding{Each: HoldBouts}})
	require.ErrorContains(t, err, "bout 0: left out")
}

// Ranks by hand: of the values 1, 1, 2, 5 all four are at least 1, two at least 2, one at least 5. Of four draws with 1 as the fifth, one is
// fewer and four, itself too, are at most as many.
func TestTailRanks(t *testing.T) {
	require.Equal(t, []float64{1, 1, .5, .25}, tailRanks([]float64{1, 1, 2, 5}))
	fewer, atMost := rank([]float64{0, 1, 1, 3}, 1)
	require.Equal(t, []float64{.2, .8}, []float64{fewer, atMost})
}

// seenRow puts a row on whether the pair is seen into round 1, before what else there is at that clock.
func seenRow(rows []tape.Row, clock int64, v tape.Value) []tape.Row {
	at := slices.IndexFunc(rows, func(r tape.Row) bool { return r.Clock >= clock })
	return slices.Insert(slices.Clone(rows), at, tape.Row{Event: tape.Event{Round: 1, Clock: clock, Corner: tape.NoCorner, Act: tape.StateSeen, Value: v}})
}

// Tape read against itself: where a stretch of a round was coded, with a gap in which the coder saw nobody, the bout that the tape was made
// from gives the coded counts and times themselves.
func TestAuditReadsBothSidesAlike(t *testing.T) {
	var events []tape.Event
	tapes := auditTape(t, 11, 1, func(c *tape.Coding) {
		events = c.Events()
		c.Bout.Coded = []tape.Interval{{Round: 1, From: 40e6, To: 200e6}, {Round: 2, From: 0, To: 300e6}}
		c.Rows = seenRow(seenRow(c.Rows, 100e6, tape.No), 130e6, tape.Yes)
	})
	s := sourcesOf(tapes, nil)[0]
	b := newAuditBout(s, &fold{audited: map[roundKey]bool{{s.bout.ID, 1}: true, {s.bout.ID, 2}: true, {s.bout.ID, 3}: true}})
	for _, c := range b.cells {
		c.draws = make([]float64, 1)
	}
	b.read(events, 0)
	rounds := map[uint8]int{}
	for _, c := range b.cells {
		rounds[c.Round]++
		require.InDelta(t, c.Coded, c.draws[0], 1e-9, "%d %s %s", c.Round, c.Corner, c.Figure)
		if c.figure.counts != nil && c.Round == 1 {
			require.InDelta(t, 130, c.Seconds, 1e-9) // 160 s coded less 30 s unseen
		}
	}
	require.Len(t, rounds, 2, "round 3 was not coded")
}

// Forty seconds of the truth fit, but cannot tell half the acts from all of them.
func TestAuditOfTooLittleTape(t *testing.T) {
	a := audited(t, auditTape(t, 13, 1, func(c *tape.Coding) {
		c.Bout.Coded = []tape.Interval{{Round: 1, From: 20e6, To: 60e6}}
	}), AuditOptions{Profiles: trueProfiles(), Seed: 4})
	for _, g := range []string{AuditActs, AuditClean, AuditBites} {
		require.Equal(t, TooLittle, verdictOf(t, a, g).Verdict, g)
	}
	require.Empty(t, a.Against, "there is no other round to take rates from")
}
