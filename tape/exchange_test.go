package tape

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func at(ms int64, corner Corner, act Act, d Defence, r Result) Event {
	return Event{Clock: ms * 1e3, Round: 1, Corner: corner, Act: act, Defence: d, Result: r}
}

// Worked by hand after the rule at ExchangeGap.
func TestExchangesOf(t *testing.T) {
	for name, c := range map[string]struct {
		events []Event
		want   []Exchange
	}{
		"nothing": {[]Event{at(0, RedCorner, StepIn, 0, 0), at(5, RedCorner, FeintHand, Flinch, 0)}, []Exchange{}},
		"one": {[]Event{at(1000, RedCorner, Jab, DefenceNone, Clean), at(2499, BlueCorner, Cross, DefenceNone, Hurt), at(3000, RedCorner, HighKick, Guard, Blocked)},
			[]Exchange{{Round: 1, Clock: 1e6, Led: RedCorner, First: Jab, Clean: [2]int{1, 1}, Gave: SideNone, Takedown: SideNone}}},
		"two, a gap apart": {[]Event{at(1000, RedCorner, Jab, DefenceNone, Missed), at(2500, BlueCorner, Cross, DefenceNone, Partial)},
			[]Exchange{{Round: 1, Clock: 1e6, Led: RedCorner, First: Jab, Gave: SideNone, Takedown: SideNone},
				{Round: 1, Clock: 2_500_000, Led: BlueCorner, First: Cross, Gave: SideNone, Takedown: SideNone}}},
		"steps and feints": {[]Event{at(900, RedCorner, StepBack, 0, 0), at(1000, RedCorner, Jab, DefenceStepBack, Missed), at(1200, BlueCorner, FeintHip, GaveGround, 0),
			at(2500, RedCorner, StepBack, 0, 0)},
			[]Exchange{{Round: 1, Clock: 1e6, Led: RedCorner, First: Jab, Gave: SideBoth, Takedown: SideNone}}},
		"who steps after it": {[]Event{at(1000, RedCorner, Jab, DefenceNone, Missed), at(2499, BlueCorner, StepBack, 0, 0), at(2500, RedCorner, StepBack, 0, 0)},
			[]Exchange{{Round: 1, Clock: 1e6, Led: RedCorner, First: Jab, Gave: SideBlue, Takedown: SideNone}}},
		"unknown": {[]Event{at(1000, RedCorner, Jab, DefenceUncoded, ResultUnknown), at(1100, RedCorner, Shoot, Sprawl, ResultUncoded)},
			[]Exchange{{Round: 1, Clock: 1e6, Led: RedCorner, First: Jab, Clean: [2]int{Uncoded, 0}, Gave: SideUncoded, Takedown: SideUncoded}}},
		"down": {[]Event{at(1000, BlueCorner, Shoot, DefenceNone, TakenDown), at(1500, BlueCorner, GroundStrike, DefenceNone, Clean), at(9000, BlueCorner, GroundStrike, DefenceNone, Clean)},
			[]Exchange{{Round: 1, Clock: 1e6, Led: BlueCorner, First: Shoot, Gave: SideNone, Takedown: SideBlue}}},
		"stuffed": {[]Event{at(1000, RedCorner, Shoot, Sprawl, Stuffed)},
			[]Exchange{{Round: 1, Clock: 1e6, Led: RedCorner, First: Shoot, Gave: SideNone, Takedown: SideNone}}},
	} {
		require.Equal(t, c.want, ExchangesOf(c.events), name)
	}
	next := at(10, BlueCorner, Jab, DefenceNone, Clean)
	next.Round = 2
	require.Len(t, ExchangesOf([]Event{at(299_990, RedCorner, Jab, DefenceNone, Clean), next}), 2, "a round ends every exchange")
}

// The rule as it stands, slow and plain: an attack opens an exchange when no attack of its round lies less than a gap before it, and a
// row belongs to the last exchange opened if an attack at or before it lies less than a gap back.
func TestExchangesTwin(t *testing.T) {
	for _, events := range demoTapes(t) {
		var opened []int
		var clean [][2]int
		for i := range events {
			e := &events[i]
			recent := false
			for j := range i {
				o := &events[j]
				recent = recent || o.opensExchange() && o.Round == e.Round && e.Clock-o.Clock < ExchangeGap
			}
			if e.opensExchange() && !recent {
				opened, clean = append(opened, i), append(clean, [2]int{})
			}
			if e.Act.IsStrike() && e.Act != GroundStrike && e.Result.IsClean() {
				clean[len(clean)-1][e.Corner]++
			}
		}
		got := ExchangesOf(events)
		require.Len(t, got, len(opened))
		for k, i := range opened {
			require.Equal(t, events[i].Clock, got[k].Clock)
			require.Equal(t, events[i].Corner, got[k].Led)
			require.Equal(t, events[i].Act, got[k].First)
			require.Equal(t, clean[k], got[k].Clean)
		}
		require.Greater(t, len(got), 30, "a demo bout has more than that")
	}
}

func demoTapes(t testing.TB) (out [][]Event) {
	files, err := filepath.Glob("../demo/tape/*/events.csv")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		f, err := os.Open(name)
		require.NoError(t, err)
		events, err := ReadCSV(name, f)
		require.NoError(t, err)
		require.NoError(t, f.Close())
		out = append(out, events)
	}
	return out
}

// Samples against the states themselves: a sample shows the state that began last, and of n periods a stretch of time holds floor or
// ceiling of its length in periods, so that the count of a value is within one per stretch of its exact share of time.
func TestSamplesOf(t *testing.T) {
	rules, err := RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		b := &Bout{RuleSet: rules, Ended: Ended{Winner: NoCorner}}
		clock := int64(0)
		var events []Event
		exact, stretches := map[Value]float64{}, map[Value]int{}
		end := int64(300e6)
		for clock < end {
			v := rapid.SampledFrom(StateRange.values()).Draw(t, "range")
			events = append(events, Event{Round: 1, Clock: clock, Corner: NoCorner, Act: StateRange, Value: v})
			length := min(rapid.Int64Range(1, 60e6).Draw(t, "length"), end-clock)
			exact[v] += float64(length) / SamplePeriod
			stretches[v]++
			clock += length
		}
		samples := SamplesOf(b, events)
		require.Len(t, samples, 60)
		counts := map[Value]float64{}
		for i, s := range samples {
			require.Equal(t, int64(i)*SamplePeriod, s.Clock)
			counts[s.Range]++
		}
		for v := range exact {
			require.InDelta(t, exact[v], counts[v], float64(stretches[v]), v)
		}
	})
}

func TestSamplesOfStates(t *testing.T) {
	rules, err := RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	state := func(ms int64, corner Corner, act Act, v Value) Event {
		return Event{Clock: ms * 1e3, Round: 2, Corner: corner, Act: act, Value: v}
	}
	b := &Bout{RuleSet: rules, Ended: Ended{How: "tko", Winner: RedCorner, Round: 2, Clock: 26e6}, Coded: []Interval{{2, 5e6, 26e6}}}
	require.Equal(t, []Sample{
		{Round: 2, Clock: 5e6, Range: Kicking, Fence: Red}, {Round: 2, Clock: 10e6, Range: Kicking, Centre: Blue, Fence: Red}, {Round: 2, Clock: 15e6},
		{Round: 2, Clock: 20e6, Range: Ground, Centre: Blue, Fence: Red}, {Round: 2, Clock: 25e6, Range: Ground, Centre: Blue, Fence: Red},
	}, SamplesOf(b, []Event{state(0, RedCorner, StateRange, Kicking), state(0, BlueCorner, StateRange, Out), state(0, NoCorner, StateFence, Red),
		state(5001, NoCorner, StateCentre, Blue), state(12000, NoCorner, StateSeen, No), state(15001, NoCorner, StateSeen, Yes), state(20000, NoCorner, StateRange, Ground)}))
}

// A full coding and the coarse one derived from it go into one folder and come back.
func TestCoarseOfDemo(t *testing.T) {
	rules, err := RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	for _, events := range demoTapes(t) {
		b := &Bout{ID: "one", Fighters: [2]Fighter{{ID: "heron"}, {ID: "otter"}}, Rules: "mma-3x5", RuleSet: rules, Level: levelEvents,
			LookedFor: AllGroups(), Corners: [2]bool{true, true}, Kind: "bout", Ended: Ended{Winner: NoCorner}}
		full := &Coding{Bout: b, Name: "a"}
		for _, e := range events {
			full.Rows = append(full.Rows, Row{Event: e})
		}
		coarse, dir := CoarseOf(full), t.TempDir()
		require.NoError(t, WriteBout(dir, b, []*Coding{full}, coarse))
		_, read, err := ReadBoutDirAll(dir)
		require.NoError(t, err)
		require.Equal(t, ExchangesOf(read.Full[0].Events()), coarse.Exchanges)
		require.Len(t, read.Coarse[0].Samples, len(coarse.Samples))
		require.Len(t, read.Coarse[0].Exchanges, len(coarse.Exchanges))
	}
}
