package calibrate

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"whatbout/tape"
)

func smallBout(t require.TestingT) *tape.Bout {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	return &tape.Bout{ID: "small", Fighters: [2]tape.Fighter{{ID: "mole"}, {ID: "hare"}}, RuleSet: rules, LookedFor: tape.AllGroups(), Corners: [2]bool{true, true},
		Ended: tape.Ended{Winner: tape.NoCorner}}
}

// state is a row of the pair unless a corner is given, at whole seconds of the first round.
func state(at int64, a tape.Act, v tape.Value, corner ...tape.Corner) tape.Row {
	e := tape.Event{Round: 1, Clock: at * 1e6, Act: a, Value: v, Corner: tape.NoCorner}
	if len(corner) > 0 {
		e.Corner = corner[0]
	}
	return tape.Row{Event: e}
}

func stateNamed(t *testing.T, a *Agreement, name string) StateAgreement {
	t.Helper()
	for _, s := range a.Pairs[0].States {
		if s.State == name {
			return s
		}
	}
	t.Fatal(name)
	return StateAgreement{}
}

// By hand: 20 s are coded; the first has long for 10 s and then pocket, the second changes at 12 s and does not see the pair from 5 to 6. Compared:
// 19 s, of which 17 agree. Both shares of long are 9 + 0 and 9 + 2 of 19: κ = (17/19 - p_e)/(1 - p_e), p_e = (9·11 + 10·8)/19².
func TestStatesByHand(t *testing.T) {
	b := smallBout(t)
	b.Coded = []tape.Interval{{Round: 1, To: 20e6}}
	first := &tape.Coding{Bout: b, Name: "first", Rows: []tape.Row{state(0, tape.StateRange, tape.Long), state(10, tape.StateRange, tape.Pocket)}}
	second := &tape.Coding{Bout: b, Name: "second", Rows: []tape.Row{state(0, tape.StateRange, tape.Long), state(5, tape.StateSeen, tape.No),
		state(6, tape.StateSeen, tape.Yes), state(12, tape.StateRange, tape.Pocket)}}
	a, err := Agree(b, []*tape.Coding{first, second}, usualOptions)
	require.NoError(t, err)
	s := stateNamed(t, a, "range")
	require.InDelta(t, 19, s.Seconds, 1e-9)
	require.InDelta(t, 1, s.Unjudged, 1e-9)
	require.InDelta(t, 17./19, s.Share.Centre, 1e-12)
	pe := (9.*11 + 10*8) / (19 * 19)
	require.InDelta(t, (17./19-pe)/(1-pe), s.Kappa.Centre, 1e-12)
	require.Len(t, a.Pairs[0].Disagreements, 1)
	d := a.Pairs[0].Disagreements[0]
	require.Equal(t, Disagreement{Round: 1, FirstClock: 10, SecondClock: 10, What: "range", First: "pocket", Second: "long", Seconds: 2, Weight: 1}, d)
	require.Zero(t, stateNamed(t, a, "centre").Seconds) // nobody coded it
}

// A coarser word agrees with a finer one; a range of the pair is that of both corners; a stance is the body's until a row says otherwise.
func TestStatesInOtherWords(t *testing.T) {
	b := smallBout(t)
	b.Coded = []tape.Interval{{Round: 1, To: 20e6}}
	b.Fighters[0].Body = &tape.Physique{Stance: tape.Southpaw}
	first := &tape.Coding{Bout: b, Name: "first", Rows: []tape.Row{state(0, tape.StateRange, tape.Boxing)}}
	second := &tape.Coding{Bout: b, Name: "second", Rows: []tape.Row{state(0, tape.StateRange, tape.Long, tape.RedCorner), state(0, tape.StateRange, tape.Pocket, tape.BlueCorner),
		state(15, tape.StateStance, tape.Orthodox, tape.RedCorner), state(15, tape.StateRange, tape.Kicking, tape.BlueCorner)}}
	a, err := Agree(b, []*tape.Coding{first, second}, usualOptions)
	require.NoError(t, err)
	s := stateNamed(t, a, "range")
	require.InDelta(t, 40, s.Seconds, 1e-9)
	require.InDelta(t, 35./40, s.Share.Centre, 1e-12)
	require.NotEmpty(t, s.Warnings)
	s = stateNamed(t, a, "stance") // blue's is not known
	require.InDelta(t, 20, s.Seconds, 1e-9)
	require.InDelta(t, 15./20, s.Share.Centre, 1e-12)
}

// What the other coder did not see is not a miss; what the bout did not look for, or whose corner was not coded, is left out.
func TestWhatIsNotJudged(t *testing.T) {
	b := smallBout(t)
	b.LookedFor = tape.Groups{}
	b.LookedFor[tape.GroupStrikes] = true
	act := func(at int64, a tape.Act, corner tape.Corner) tape.Row {
		return tape.Row{Event: tape.Event{Round: 1, Clock: at * 1e6, Act: a, Corner: corner}}
	}
	first := &tape.Coding{Bout: b, Name: "first", Rows: []tape.Row{act(1, tape.Jab, 0), act(2, tape.StepIn, 0), act(5, tape.Cross, 0), act(5, tape.Cross, 1)}}
	second := &tape.Coding{Bout: b, Name: "second", Rows: []tape.Row{act(1, tape.Jab, 0), state(4, tape.StateSeen, tape.No, tape.RedCorner), state(6, tape.StateSeen, tape.Yes, tape.RedCorner),
		act(7, tape.HighKick, 1)}}
	a, err := Agree(b, []*tape.Coding{first, second}, usualOptions)
	require.NoError(t, err)
	p := &a.Pairs[0]
	require.Equal(t, [2]int{1, 0}, p.Unseen)
	require.Equal(t, [3]int{1, 1, 1}, [3]int{p.Events.Matched, p.Events.OnlyFirst, p.Events.OnlySecond})
	require.Contains(t, a.NotLookedFor, "steps")
	require.Empty(t, p.States)
	b.Corners[1] = false
	a, err = Agree(b, []*tape.Coding{first, second}, usualOptions)
	require.NoError(t, err)
	require.Zero(t, a.Pairs[0].Events.OnlyFirst+a.Pairs[0].Events.OnlySecond)
}

func TestAgreeRefuses(t *testing.T) {
	b := smallBout(t)
	var rows []tape.Row
	for i := range mostActs + 1 {
		rows = append(rows, tape.Row{Event: tape.Event{Round: 1, Clock: int64(i), Act: tape.Jab}})
	}
	_, err := Agree(b, []*tape.Coding{{Bout: b, Name: "first", Rows: rows}}, AgreeOptions{Window: 4, Level: 1, Windows: []float64{0}})
	for _, part := range []string{"window of 4 s", "window of 0 s", "level of 1", "within a second"} {
		require.ErrorContains(t, err, part)
	}
}

// Whatever small codings say, agreement is worked out without a panic, in finite numbers, and shares of time add up.
func TestAnyCodings(t *testing.T) {
	acts := []tape.Act{tape.Jab, tape.FeintHand, tape.LowKick, tape.StepIn, tape.Shoot, tape.Break, tape.StateTop, tape.StateLegCaught}
	rapid.Check(t, func(t *rapid.T) {
		b := smallBout(t)
		if rapid.Bool().Draw(t, "coded") {
			b.Coded = []tape.Interval{{Round: 1, From: 3e6, To: 20e6}, {Round: 1, From: 21e6, To: 22e6}, {Round: 2, To: 300e6}}
		}
		b.Corners[1] = rapid.Bool().Draw(t, "blue")
		var codings []*tape.Coding
		for _, name := range []string{"a", "b", "c"}[:rapid.IntRange(1, 3).Draw(t, "codings")] {
			c := &tape.Coding{Bout: b, Name: name}
			clock := int64(0)
			for range rapid.IntRange(0, 12).Draw(t, "rows") {
				clock += rapid.Int64Range(0, 4e6).Draw(t, "later")
				corner := tape.Corner(rapid.IntRange(0, 2).Draw(t, "corner"))
				r := tape.Row{Event: tape.Event{Round: 1, Clock: clock, Corner: corner, Act: rapid.SampledFrom(acts).Draw(t, "act")}}
				switch {
				case r.Act == tape.StateTop:
					r.Value = rapid.SampledFrom([]tape.Value{tape.Red, tape.Blue, tape.None}).Draw(t, "top")
				case rapid.Bool().Draw(t, "state"):
					r.Act, r.Value = tape.StateRange, rapid.SampledFrom([]tape.Value{tape.Long, tape.Pocket, tape.Boxing, tape.Out}).Draw(t, "range")
				case rapid.Bool().Draw(t, "seen"):
					r.Act, r.Value = tape.StateSeen, rapid.SampledFrom([]tape.Value{tape.Yes, tape.No}).Draw(t, "value")
				}
				c.Rows = append(c.Rows, r)
			}
			codings = append(codings, c)
		}
		a, err := Agree(b, codings, usualOptions)
		require.NoError(t, err)
		_, err = json.Marshal(a)
		require.NoError(t, err)
		for _, p := range a.Pairs {
			require.Equal(t, p.Events.First, p.Events.Matched+p.Events.OnlyFirst)
			for _, s := range p.States {
				require.LessOrEqual(t, s.Share.Centre, 1+1e-12)
				require.LessOrEqual(t, s.Seconds+s.Unjudged, 2*900.+1e-6)
			}
		}
	})
}
