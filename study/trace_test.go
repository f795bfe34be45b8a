package study

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

func trace(t *testing.T, q *Trace) *TraceResult {
	t.Helper()
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	return r
}

func traceOf(q *Comparison) *Trace {
	return &Trace{Meeting: *q.meeting(), Plans: q.Plans, OpponentPlan: q.OpponentPlan, Draws: q.Draws, Bouts: q.Bouts, Level: .8}
}

// Exact: the bouts traced are those of the comparison, and watching moves nothing in them.
func TestTraceWatchesTheBoutsOfTheComparison(t *testing.T) {
	q := comparison(t, asUsual, stayClose)
	want, got := run(t, q), trace(t, traceOf(q))
	for p := range q.Plans {
		sum := 0.0
		for _, x := range got.Plans[p].Margins {
			sum += x
		}
		require.Len(t, got.Plans[p].Margins, q.Draws*q.Bouts)
		require.InDelta(t, want.Plans[p].Outcomes["score_margin"].Mean, sum/float64(q.Draws*q.Bouts), 1e-9)
	}
}

func TestTraceDoesNotDependOnWorkersAndEqualPlansAreEqual(t *testing.T) {
	same := *stayClose
	same.Name = "another name"
	q := traceOf(comparison(t, asUsual, stayClose, &same))
	q.Workers = 1
	one := trace(t, q)
	q.Workers = 8
	require.Equal(t, one, trace(t, q))
	renamed := one.Plans[2]
	renamed.Name = one.Plans[1].Name
	require.Equal(t, one.Plans[1], renamed)
	require.NotEqual(t, one.Plans[0].Floor, one.Plans[1].Floor)
	for from, row := range one.Plans[0].Turned {
		for to, n := range row {
			require.True(t, from == to || n == 0, "the baseline goes as the baseline")
		}
	}
}

// checked is a floorWatch that looks at every choice whether it knows where the two stand: no move goes untold.
type checked struct {
	*floorWatch
	t     *testing.T
	looks int
}

func (w *checked) Chose(b *sim.Bout, _ tactics.Point, _ int, _ *kernel.Table, _ int) {
	at, round, _ := b.Where()
	for c, p := range at {
		require.Equal(w.t, w.cell(p), w.at[c])
	}
	require.Equal(w.t, w.round, round)
	w.looks++
}

// Exact: time by place, by range and by stretch add up to what the engine itself counts, and every sign is counted as the engine counts it.
func TestSightingAgreesWithTheEngine(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	rules.Rounds, rules.RoundSeconds = 2, 100 // the last stretch is shorter
	red, blue := two()
	b := sim.NewBout()
	b.Setup(rules, sim.AverageWorld())
	require.NoError(t, b.Sides[0].Load(red.Body, red.Centre(), nil, nil, rules))
	require.NoError(t, b.Sides[1].Load(blue.Body, blue.Centre(), nil, nil, rules))
	columns := floorColumns(rules.Area)
	ended := 0
	for i := range 60 {
		s := newSighting(rules, columns)
		watch := &checked{floorWatch: s.floor, t: t}
		b.Watch = watch
		o := b.Run(kernel.NewKey(4, uint64(i)))
		s.add(b, &o)
		require.Greater(t, watch.looks, 20)
		for c := range s.floor.spent {
			require.Equal(t, o.Time, sumOf(s.floor.spent[c]))
		}
		var zones [fighter.NumZones]int64
		for bin := range s.spent {
			for z, x := range s.spent[bin] {
				zones[z] += x
				require.LessOrEqual(t, s.bins[bin][z].N, 1.0)
			}
		}
		require.Equal(t, o.Sides[0].Zone, zones)
		if o.Time < 200e6 {
			ended++
			require.Zero(t, s.bins[len(s.bins)-1][0].N, "a stretch that was not fought to its end does not count")
		} else {
			require.Equal(t, TimeBin{Round: 2, From: 90, To: 100}, s.stretch(13))
			require.Equal(t, 1.0, s.bins[13][0].N)
		}
	}
	require.Greater(t, ended, 3)
	b.Watch = nil
	rules.Rounds, b.NoStop = 1, true
	for i := range 20 {
		o := b.Run(kernel.NewKey(5, uint64(i)))
		own, other := &o.Sides[0], &o.Sides[1]
		for name, want := range map[string]int64{
			"steps_back": own.StepsBack, "answers": own.Counters, "hand_fights": own.HandFightsWon, "shots": own.Shots, "bites": other.Bitten,
			"punches": own.Thrown[fighter.StraightPunch] + own.Thrown[fighter.LoopingPunch], "kicks": own.Thrown[fighter.LowKicks] + own.Thrown[fighter.HighKicks],
			"head_strikes_landed": own.HeadClean, "head_strikes_taken": other.HeadClean, "feints_against": other.Feints, "takedowns_against": other.Takedowns,
			"kicks_against":   other.Thrown[fighter.LowKicks] + other.Thrown[fighter.HighKicks],
			"punches_against": other.Thrown[fighter.StraightPunch] + other.Thrown[fighter.LoopingPunch],
		} {
			found := false
			for s := range Signs {
				if Signs[s].Name == name {
					found = true
					require.EqualValues(t, want, Signs[s].countUntil(b.Events, 100e6), name)
				}
			}
			require.True(t, found, name)
		}
	}
}

func sumOf(xs []int64) (n int64) {
	for _, x := range xs {
		n += x
	}
	return n
}

func TestTraceRefuses(t *testing.T) {
	for _, spoil := range []func(*Trace){func(q *Trace) { q.Draws = 3 }, func(q *Trace) { q.Bouts = 1 }, func(q *Trace) { q.Level = 1 },
		func(q *Trace) { q.Plans = nil }, func(q *Trace) { q.Opponent = q.Fighter }} {
		q := traceOf(comparison(t, asUsual, stayClose))
		spoil(q)
		_, err := q.Run(context.Background())
		require.Error(t, err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	r, err := traceOf(comparison(t, asUsual, stayClose)).Run(ctx)
	require.ErrorIs(t, err, context.Canceled)
	require.Nil(t, r)
}

func TestSignCounts(t *testing.T) {
	s := SignCounts{2, 0, 3, 5}
	require.Equal(t, 10, s.Bouts())
	require.Equal(t, .8, s.AtLeast(1))
	require.Equal(t, 1.0, s.AtLeast(-1))
	require.Zero(t, s.AtLeast(4))
	require.Zero(t, SignCounts(nil).AtLeast(0))
}
