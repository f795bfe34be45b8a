package calibrate

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// scoutRows reads rows of red vole against blue shrew, everything looked for.
func scoutRows(t *testing.T, rows ...string) *ScoutTape {
	t.Helper()
	events, err := tape.ReadCSV("rows", strings.NewReader("round,clock,corner,act,value,defence,result,limb\n"+strings.Join(rows, "\n")))
	require.NoError(t, err)
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	return &ScoutTape{Name: "rows", Events: events, Bout: &tape.Bout{RuleSet: rules, LookedFor: tape.AllGroups(), Corners: [2]bool{true, true},
		Fighters: [2]tape.Fighter{{ID: "vole"}, {ID: "shrew"}}, Ended: tape.Ended{Winner: tape.NoCorner}}}
}

// told gives count and denominator of one tendency of red's.
func scoutTold(s *ScoutTape, situation, does string) string {
	t := &scoutTally{clips: true}
	t.add(s, tape.RedCorner)
	for at := range situations {
		for k, o := range scoutTable[at].kind.options() {
			if scoutTable[at].words == situation && o.words == does {
				return fmt.Sprintf("%g of %g", t.counts[at][k].did, t.counts[at][k].of)
			}
		}
	}
	return "no such situation"
}

// Worked by hand. A step takes 300 ms, 20 more on average, and a jab 405, so that one with its clock at c began at c less that; what begins
// within 460 ms of an own cross (half of its way back, 420, and tape.ContinueSlack), 450 of the other's attack that was defended
// (tape.AnswerWindow), 360 of one that was not (tape.TakenWindow), counts.
func TestSituationsByHand(t *testing.T) {
	const long = "1,0:00.0,red,range,long,,,"
	for name, c := range map[string]struct {
		rows            []string
		situation, does string
		want            string
	}{
		"a step back in time":         {[]string{long, "1,0:10.0,red,cross,head,none,missed,", "1,0:10.6,red,step_back,,,,"}, "after a miss with the rear hand", "steps back", "1 of 1"},
		"a step back too late":        {[]string{long, "1,0:10.0,red,cross,head,none,missed,", "1,0:10.79,red,step_back,,,,"}, "after a miss with the rear hand", "steps back", "0 of 1"},
		"too late is nothing":         {[]string{long, "1,0:10.0,red,cross,head,none,missed,", "1,0:10.79,red,step_back,,,,"}, "after a miss with the rear hand", "nothing", "1 of 1"},
		"the first act counts":        {[]string{long, "1,0:10.0,red,cross,head,none,missed,", "1,0:10.5,red,step_back,,,,", "1,0:10.65,red,jab,head,,,"}, "after a miss with the rear hand", "punches", "0 of 1"},
		"the result decides":          {[]string{long, "1,0:10.0,red,cross,head,none,partial,", "1,0:10.5,red,step_back,,,,"}, "after landing the rear hand", "steps back", "1 of 1"},
		"an unknown result leaves":    {[]string{long, "1,0:10.0,red,cross,head,none,unknown,", "1,0:10.5,red,step_back,,,,"}, "after a miss with the rear hand", "steps back", "0 of 0"},
		"an uppercut by its limb":     {[]string{long, "1,0:10.0,red,uppercut,head,none,blocked,lead"}, "after a block of the lead hand", "nothing", "1 of 1"},
		"an uppercut of neither":      {[]string{long, "1,0:10.0,red,uppercut,head,none,blocked,"}, "after a block of the lead hand", "nothing", "0 of 0"},
		"in the clinch is no miss":    {[]string{"1,0:00.0,red,range,clinch,,,", "1,0:10.0,red,lead_hook,head,none,missed,"}, "after a miss with the lead hand", "nothing", "0 of 0"},
		"the bell leaves":             {[]string{long, "1,4:59.8,red,jab,head,none,missed,"}, "after a miss with the lead hand", "nothing", "0 of 0"},
		"unseen leaves":               {[]string{long, "1,0:10.0,red,jab,head,none,missed,", "1,0:10.2,,seen,no,,,", "1,0:14.0,,seen,yes,,,"}, "after a miss with the lead hand", "nothing", "0 of 0"},
		"unseen before does not":      {[]string{long, "1,0:08.2,,seen,no,,,", "1,0:09.0,,seen,yes,,,", "1,0:10.0,red,jab,head,none,missed,"}, "after a miss with the lead hand", "nothing", "1 of 1"},
		"a side that is not coded":    {[]string{long, "1,0:10.0,red,jab,head,none,missed,", "1,0:10.5,red,circle,,,,"}, "after a miss with the lead hand", "circles left", "0 of 0"},
		"a side that is":              {[]string{long, "1,0:10.0,red,jab,head,none,missed,", "1,0:10.5,red,circle,left,,,"}, "after a miss with the lead hand", "circles left", "1 of 1"},
		"an answer":                   {[]string{long, "1,0:10.0,blue,jab,head,parry,missed,", "1,0:10.6,red,cross,head,,,"}, "after a jab that did not land", "punches", "1 of 1"},
		"begun before is no answer":   {[]string{long, "1,0:10.0,blue,jab,head,none,clean,", "1,0:10.4,red,cross,head,,,"}, "after taking a jab", "punches", "0 of 0"},
		"busy with a combination":     {[]string{long, "1,0:09.85,red,jab,head,none,missed,", "1,0:10.0,blue,jab,head,none,clean,"}, "after taking a jab", "nothing", "0 of 0"},
		"what it was met with":        {[]string{long, "1,0:10.0,blue,jab,head,slip,missed,"}, "against a jab", "moves the head (slip, duck, pull)", "1 of 1"},
		"a defence nobody coded":      {[]string{long, "1,0:10.0,blue,jab,head,,missed,"}, "against a jab", "does nothing in time", "0 of 0"},
		"a bite":                      {[]string{long, "1,0:10.0,blue,feint_hip,,gave_ground,,", "1,0:14.0,blue,feint_hip,,none,,", "1,0:18.0,blue,feint_hip,,unknown,,"}, "shown a feint with the hip", "gives ground", "1 of 2"},
		"a bite out of sight":         {[]string{long, "1,0:08.0,,seen,no,,,", "1,0:10.0,blue,feint_hip,,gave_ground,,", "1,0:12.0,,seen,yes,,,"}, "shown a feint with the hip", "gives ground", "0 of 0"},
		"an act out of sight":         {[]string{long, "1,0:00.0,,seen,no,,,", "1,0:10.0,red,jab,head,,,", "1,1:00.0,,seen,yes,,,", "1,2:00.0,red,jab,head,,,"}, "in the early rounds", "punches", "1 of 4"},
		"the fence":                   {[]string{long, "1,0:10.0,,fence,red,,,", "1,0:11.5,red,circle,left,,,"}, "with the back put on the fence", "circles left", "1 of 1"},
		"the other's fence":           {[]string{long, "1,0:10.0,,fence,blue,,,", "1,0:11.5,red,circle,left,,,"}, "with the back put on the fence", "circles left", "0 of 0"},
		"off the fence already":       {[]string{long, "1,0:10.0,,fence,red,,,", "1,0:11.0,,fence,none,,,", "1,0:11.5,red,circle,left,,,"}, "with the back put on the fence", "nothing", "1 of 1"},
		"the pocket":                  {[]string{long, "1,0:10.0,red,range,pocket,,,", "1,0:10.9,red,lead_hook,head,,,"}, "on coming into the pocket", "punches", "1 of 1"},
		"a range of the other's":      {[]string{long, "1,0:10.0,blue,range,pocket,,,", "1,0:10.9,red,lead_hook,head,,,"}, "on coming into the pocket", "punches", "0 of 0"},
		"minutes on the feet":         {[]string{long, "1,1:00.0,red,jab,head,,,", "1,2:00.0,red,range,ground,,,", "1,3:00.0,red,range,long,,,", "1,4:00.0,,seen,no,,,"}, "in the early rounds", "punches", "1 of 3"},
		"late":                        {[]string{"3,0:00.0,red,range,long,,,", "3,1:00.0,red,low_kick,,,,"}, "in the late rounds", "kicks", "1 of 5"},
		"the middle round is neither": {[]string{"2,0:00.0,red,range,long,,,", "2,1:00.0,red,low_kick,,,,"}, "in the late rounds", "kicks", "0 of 0"},
	} {
		require.Equal(t, c.want, scoutTold(scoutRows(t, c.rows...), c.situation, c.does), name)
	}
}

// What was not looked for and whose acts were not coded leave the denominator; nothing is only said where every act was looked for.
func TestScoutCountsOnlyWhatWasLookedFor(t *testing.T) {
	s := scoutRows(t, "1,0:00.0,red,range,long,,,", "1,0:10.0,red,cross,head,none,missed,", "1,0:10.6,red,step_back,,,,", "1,0:20.0,blue,jab,head,parry,missed,")
	const miss = "after a miss with the rear hand"
	require.Equal(t, "1 of 1", scoutTold(s, miss, "steps back"))
	s.Bout.LookedFor[tape.GroupSteps] = false
	require.Equal(t, "0 of 0", scoutTold(s, miss, "steps back"))
	require.Equal(t, "0 of 0", scoutTold(s, miss, "nothing"))
	require.Equal(t, "0 of 1", scoutTold(s, miss, "punches"))
	s.Bout.LookedFor[tape.GroupDefences] = false
	require.Equal(t, "0 of 0", scoutTold(s, "against a jab", "parries or brushes it down"))
	s.Bout.LookedFor = tape.AllGroups()
	s.Bout.Corners[tape.BlueCorner] = false
	require.Equal(t, "0 of 0", scoutTold(s, "after a jab that did not land", "nothing"))
	require.Equal(t, "0 of 0", scoutTold(s, "against a jab", "parries or brushes it down"))
	s.Bout.Corners = [2]bool{false, true}
	require.Equal(t, "1 of 1", scoutTold(s, "against a jab", "parries or brushes it down"))
	require.Equal(t, "0 of 0", scoutTold(s, "after a jab that did not land", "nothing"))
	require.Equal(t, "0 of 0", scoutTold(s, miss, "steps back"))
	s.Bout.Corners = [2]bool{true, true}
	s.Bout.Coded = []tape.Interval{{Round: 1, From: 0, To: 10_200_000}, {Round: 1, From: 15e6, To: 30e6}}
	require.Equal(t, "0 of 0", scoutTold(s, miss, "steps back"))
	require.Equal(t, "1 of 1", scoutTold(s, "against a jab", "parries or brushes it down"))
}

// played is tape of red against an average shrew.
func played(t *testing.T, red fighter.Draw, seed uint64, bouts int) []*ScoutTape {
	t.Helper()
	var out []*ScoutTape
	for i, b := range simulated(t, red, seed, bouts) {
		s := scoutRows(t)
		s.Name, s.Events = fmt.Sprint("bout ", i), b.Events()
		out = append(out, s)
	}
	return out
}

// An act counted after an own act or after the other's is at the continue or answer point by the one rule, tape.PointOf; the shares of a
// situation add up to no more than one.
func TestNextActsAgreeWithPointOf(t *testing.T) {
	s := played(t, averageFigures(), 5, 1)[0]
	checked := map[tape.Point]int{}
	for _, r := range scoutRounds(s, tape.RedCorner) {
		for i := range r.events {
			e := &r.events[i]
			point, next := tape.Continue, r.continued(i)
			if _, ok := theirAttack(e); ok && e.Corner == tape.BlueCorner && e.AnswerEnds() > 0 && !r.busy(i) {
				point, next = tape.Answer, r.answered(i)
			} else if _, ok := ownStrike(e); !ok || e.Corner != tape.RedCorner {
				continue
			}
			if next != nil {
				row := slices.IndexFunc(r.events, func(o tape.Event) bool { return o == *next })
				require.Equal(t, point, tape.PointOf(r.events, row), "%+v then %+v", *e, *next)
				checked[point]++
			}
		}
	}
	for _, r := range scoutRounds(s, tape.RedCorner) { // and none is left out
		for row := range r.events {
			point, about := tape.Origin(r.events, row)
			if point != tape.Continue || r.events[row].Corner != tape.RedCorner {
				continue
			}
			if _, ok := ownStrike(&r.events[about]); ok {
				require.NotNil(t, r.continued(about), "%+v then %+v", r.events[about], r.events[row])
			}
		}
	}
	require.Greater(t, checked[tape.Continue], 20)
	require.Greater(t, checked[tape.Answer], 20)
	tally := &scoutTally{}
	tally.add(s, tape.RedCorner)
	for at := range onFence + 4 {
		sum, of := 0.0, 0.0
		for k := range scoutTable[at].kind.options() {
			sum, of = sum+tally.counts[at][k].did, max(of, tally.counts[at][k].of)
		}
		require.LessOrEqual(t, sum, of, scoutTable[at].words)
	}
}

func averageFigures() fighter.Draw {
	return fighter.Population("average", fighter.AverageBody()).Centre()
}

// A fighter who steps back six times as readily after an own act is found to, with the clips; so is one who bites harder. Stepping
// back has a twentieth to a tenth of the moments after landing or a block in the population and should have 0.25 to 0.4 here; 24 bouts
// have some 120 moments even of the rarest kind, a standard error of √(0.3·0.7/120) = 0.042, so that 0.2 more is 4 of them (misses are left out:
// most are lunges, and what follows a lunge comes later than the window). What is done after the other's acts was left as it is, and nothing is found there.
func TestPlantedTendenciesAreFound(t *testing.T) {
	d := averageFigures()
	for z := range fighter.ExchangeZones {
		d[fighter.Continue(z, tape.MoveStepBack)] *= 6
	}
	d[fighter.Bite(fighter.Hip)] += 2
	s, err := Scout(played(t, d, 31, 24), "vole", 100, .95, nil)
	require.NoError(t, err)
	found := map[string]Tendency{}
	for _, x := range s.Tendencies {
		found[x.Situation+": "+x.Does] = x
	}
	for at := range againstAct {
		x, ok := found[scoutTable[at].words+": steps back"]
		switch after := scoutTable[at].words; {
		case !ok:
		case at >= afterTheirs:
			require.Greater(t, x.Q, .05, after)
		case strings.HasPrefix(after, "after a miss"): // lunging: what follows comes too late to count as following
		default:
			require.Less(t, x.Q, .05, after)
			require.Greater(t, x.Difference.Low, 0.0, after)
			require.Len(t, x.Clips, int(x.Count), after)
		}
	}
	bites := found["shown a feint with the hip: does not bite"]
	require.Less(t, bites.Q, .05)
	require.Less(t, bites.Difference.High, 0.0)
	require.True(t, slices.IsSortedFunc(s.Tendencies, func(a, b Tendency) int {
		if a.P < b.P {
			return -1
		}
		return 0
	}))
	require.Less(t, s.Tendencies[0].Q, .05)
}

// Of average fighters nothing should be found. With a false discovery rate of 0.05 and no difference anywhere, a scouting finds anything
// with a chance of at most 0.05; of 40 scoutings 2 then do, with a standard error of √(40·0.05·0.95) = 1.4: at most 2 + 4.9·1.4 = 8.9.
func TestNothingIsFoundOfAverageFighters(t *testing.T) {
	all := played(t, averageFigures(), 77, 120)
	theirs, err := usualScout(all[:1], 150, fighter.Shipped())
	require.NoError(t, err)
	wrong := 0
	for i := 0; i < len(all); i += 3 {
		mine := &scoutTally{}
		for _, s := range all[i : i+3] {
			mine.add(s, tape.RedCorner)
		}
		s := &Scouting{}
		s.compare(mine, theirs, .95)
		require.Greater(t, s.Tested, 300)
		if s.Tendencies[0].Q <= .05 {
			wrong++
		}
	}
	require.LessOrEqual(t, wrong, 8)
}

func TestScoutOrderOfTapesAndUnknownFighter(t *testing.T) {
	tapes := played(t, averageFigures(), 12, 2)
	a, err := Scout(tapes, "vole", 10, .95, nil)
	require.NoError(t, err)
	b, err := Scout([]*ScoutTape{tapes[1], tapes[0]}, "vole", 10, .95, nil)
	require.NoError(t, err)
	require.Equal(t, a, b)
	_, err = Scout(tapes, "vol", 10, .95, nil)
	require.ErrorContains(t, err, `did you mean "vole"?`)
	for _, s := range tapes {
		s.Bout.Corners = [2]bool{}
	}
	_, err = Scout(tapes, "vole", 10, .95, nil)
	require.ErrorContains(t, err, "nothing")
}

// The tape's coding limits the population's tally too: only kicks looked for, so nothing else is compared.
func TestPopulationIsCodedAsTheTapeWas(t *testing.T) {
	s := played(t, averageFigures(), 9, 1)[0]
	s.Bout.LookedFor = tape.Groups{}
	s.Bout.LookedFor[tape.GroupKicks], s.Bout.LookedFor[tape.GroupResults], s.Bout.LookedFor[tape.GroupRange] = true, true, true
	theirs, err := usualScout([]*ScoutTape{s}, 10, fighter.Shipped())
	require.NoError(t, err)
	for at := range situations {
		for k, o := range scoutTable[at].kind.options() {
			if theirs.counts[at][k].of > 0 {
				require.Equal(t, "kicks", o.words, scoutTable[at].words)
			}
		}
	}
	require.Greater(t, theirs.counts[afterOwn+6][5].of, 0.0)
	require.Zero(t, theirs.counts[afterOwn][5].of)
}

// Fifty seconds of a round coded are what the population's tally has too: so many seconds a corner and bout at most, and in them no more of
// anything than there is. With the whole of round 1 coded the rate of punches is about the same (two tallies of 40 bouts; a count of some
// 600 in 50 s a bout has a relative standard error of 0.04 or, over-dispersed threefold, 0.07, and the whole round less: 0.35 is 4.9 of them).
func TestPopulationHasTheCodedTimeOnly(t *testing.T) {
	s := played(t, averageFigures(), 9, 1)[0]
	rate := func(from, to int64) float64 {
		s.Bout.Coded = []tape.Interval{{Round: 1, From: from, To: to}}
		theirs, err := usualScout([]*ScoutTape{s}, 40, fighter.Shipped())
		require.NoError(t, err)
		require.Zero(t, theirs.counts[roundsLate][4].of)
		punches := theirs.counts[roundsEarly][4]
		require.LessOrEqual(t, punches.of, 80*float64(to-from)/60e6)
		require.Greater(t, punches.did, 100.0)
		return punches.did / punches.of
	}
	whole := rate(0, 300e6)
	require.InDelta(t, whole, rate(60e6, 110e6), .35*whole)
}

// Simulated bouts stop early; what happens after is no moment of the population's.
func TestStoppedBoutsEndWhereTheyEnded(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	b := sim.NewBout()
	b.Setup(rules, sim.AverageWorld())
	for c := range b.Sides {
		require.NoError(t, b.Sides[c].Load(fighter.AverageBody(), averageFigures(), nil, nil, rules))
	}
	for i := uint64(0); ; i++ {
		o := b.Run(kernel.NewKey(8, i))
		last := b.Events[len(b.Events)-1]
		if last.Clock > 290e6 {
			continue
		}
		s := asCoded(scoutRows(t), b.Events)
		minutes := 0.0
		for _, r := range scoutRounds(s, tape.RedCorner) {
			minutes += r.minutesStanding()
		}
		standing := int64(0)
		for z := fighter.Out; z <= fighter.Pocket; z++ {
			standing += o.Sides[0].Zone[z]
		}
		require.InDelta(t, float64(standing)/60e6, minutes, .05) // the outcome's clock stops with the referee, just after the last row
		return
	}
}
