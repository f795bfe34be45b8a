package study

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"whatbout/internal/infer"
	"whatbout/tactics"
)

// Exact: the same question has the same answer, to the last byte, for any number of workers and any batch size.
func TestSameBytes(t *testing.T) {
	for _, within := range []float64{0, .08} {
		var want string
		for _, c := range []struct{ workers, batch int }{{1, 0}, {2, 0}, {8, 0}, {2, 1}, {1, 3}, {8, 7}, {2, 1000}} {
			q := comparison(t, asUsual, stayClose)
			q.Workers, q.Batch, q.Within = c.workers, c.batch, within
			if within > 0 {
				q.Draws = 250
			}
			got := text(t, run(t, q))
			if want == "" {
				want = got
			}
			require.Equal(t, want, got, "%d workers, batches of %d", c.workers, c.batch)
		}
	}
}

// Exact: plans that are equal but for their names differ by nothing in any measure.
func TestEqualPlansDifferByNothing(t *testing.T) {
	twin := *stayClose
	twin.Name = "close, by another name"
	r := run(t, comparison(t, stayClose, &twin))
	require.Len(t, r.Differences, len(Measures))
	for _, d := range r.Differences {
		require.Equal(t, 0.0, d.Mean, d.Outcome)
		require.Equal(t, [2]float64{}, [2]float64{d.Simulation.Low, d.Simulation.High}, d.Outcome)
		require.Equal(t, [2]float64{}, [2]float64{d.AllDoubt.Low, d.AllDoubt.High}, d.Outcome)
		require.Equal(t, [2]float64{}, [2]float64{d.Tape.Low, d.Tape.High}, d.Outcome)
		require.Equal(t, .5, d.ProbabilityBetter, d.Outcome)
		require.Equal(t, 0.0, d.ProbabilityError, d.Outcome)
		require.Equal(t, Same, d.SignResolved, d.Outcome)
		require.Nil(t, d.Saved, d.Outcome)
		require.Equal(t, r.Plans[0].Outcomes[d.Outcome], r.Plans[1].Outcomes[d.Outcome])
	}
	// At full adherence the plan is another one than its baseline.
	require.Len(t, r.Full, 2)
}

// Exact: a plan's name is nowhere in the luck.
func TestARenamedPlanChangesNothing(t *testing.T) {
	other := *stayClose
	other.Name = "renamed"
	a, b := run(t, comparison(t, asUsual, stayClose)), run(t, comparison(t, asUsual, &other))
	require.Equal(t, a.Plans[1].Outcomes, b.Plans[1].Outcomes)
	require.Equal(t, a.Plans[1].Reweighted, b.Plans[1].Reweighted)
	for i := range a.Differences {
		require.Equal(t, a.Differences[i].Doubts, b.Differences[i].Doubts)
	}
	require.NotEqual(t, 0.0, a.Find("close", "steps_back_per_minute").Mean, "the plan does something")
}

// Exact: a further plan changes nothing about the others, and the order of the plans that are not the baseline does not matter.
func TestPlansDoNotTouchEachOther(t *testing.T) {
	third := &tactics.Plan{Name: "third", Adherence: tactics.Adherence{Share: .5}, Rules: stayClose.Rules[:1]}
	alone, both := run(t, comparison(t, asUsual, stayClose)), run(t, comparison(t, asUsual, third, stayClose))
	require.Equal(t, alone.Plans[1], both.Plans[2])
	require.Equal(t, alone.Find("close", "win"), both.Find("close", "win"))
	require.Len(t, both.Differences, 2*len(Measures))
}

// Exact: a plan followed at every decision is its own full adherence, over as many bouts.
func TestFullAdherenceOfAPlanFollowedInFull(t *testing.T) {
	full := *stayClose
	full.Adherence = tactics.Adherence{Share: 1}
	q := comparison(t, asUsual, &full)
	q.Bouts = 2 // fullBouts is then all of them
	r := run(t, q)
	for _, f := range r.Full {
		d := r.Find(f.Plan, f.Outcome)
		require.Equal(t, d.Pairs, f.Pairs)
		require.InDelta(t, d.Mean, f.Mean, 1e-12)
		require.InDelta(t, d.Simulation.Low, f.Simulation.Low, 1e-12)
	}
}

func TestTapeDraws(t *testing.T) {
	for k, want := range map[int]int{4: 2, 20: 10, 300: 150, 400: 200, 800: 200, 1000: 250, 20000: 5000} {
		require.Equal(t, want, tapeDraws(k), k)
	}
}

// Exact: adding draws gives the nest that was asked for at once. The rule's report differs, the rest does not.
func TestWithinIsTheSameNest(t *testing.T) {
	q := comparison(t, asUsual, stayClose)
	q.Within, q.Draws = .035, 3000
	r := run(t, q)
	require.True(t, r.Within.Reached)
	require.Greater(t, r.Within.Looks, 1)
	win := r.Find("close", "win")
	require.InDelta(t, 2*.035, win.Simulation.Width(), 1e-12)
	require.InDelta(t, win.Mean, (win.Simulation.Low+win.Simulation.High)/2, 1e-12)

	fixed := comparison(t, asUsual, stayClose)
	fixed.Draws = r.Draws
	at := run(t, fixed)
	require.Nil(t, at.Within)
	require.Equal(t, at.TapeDraws, r.TapeDraws)
	require.Equal(t, at.Played, r.Played)
	require.LessOrEqual(t, at.Find("close", "win").Simulation.Half(), .05)
	at.Find("close", "win").Simulation = win.Simulation
	require.Equal(t, at.Plans, r.Plans)
	require.Equal(t, at.Differences[2:], r.Differences[2:])
}

func TestWithinSaysWhatItWouldTake(t *testing.T) {
	q := comparison(t, asUsual, stayClose)
	q.Within, q.Draws = .02, 150
	r := run(t, q)
	require.False(t, r.Within.Reached)
	require.Equal(t, 150, r.Draws)
	half := r.Find("close", "win").Simulation.Half()
	require.Greater(t, half, .02)
	require.InDelta(t, 150*(half/.02)*(half/.02), float64(r.Within.Needed), 1) // the width falls with the root of the draws
	require.NotEmpty(t, r.Find("close", "win").Simulation.Warnings)

	q.Draws = infer.FirstLook - 1
	_, err := q.Run(context.Background())
	require.ErrorContains(t, err, "fewer than the first look's 100")
}

// Interrupted, a run keeps the draws that were finished, of both kinds, and ends soon.
func TestInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	q := comparison(t, asUsual, stayClose)
	q.Draws, q.Workers = 100000, 2
	var at time.Time
	q.Progress = func(done, of int) {
		require.Equal(t, 125000, of)
		if done == 60 {
			at = time.Now()
			cancel()
		}
	}
	r, err := q.Run(ctx)
	require.ErrorIs(t, err, context.Canceled)
	require.Less(t, time.Since(at), time.Second)
	require.True(t, r.Partial)
	require.InDelta(t, 60, r.Draws+r.TapeDraws, 4, "at most one draw more a worker")
	require.GreaterOrEqual(t, r.TapeDraws, 10)
	require.Equal(t, r.Draws*q.Bouts, r.Find("close", "win").Pairs)

	soon, stop := context.WithCancel(context.Background())
	stop()
	r, err = q.Run(soon)
	require.Nil(t, r)
	require.ErrorIs(t, err, context.Canceled)
}

// One draw of very many bouts must not hold an interruption up.
func TestInterruptedWithinADraw(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 100*time.Millisecond)
	defer cancel()
	q := comparison(t, asUsual, stayClose)
	q.Bouts = 100_000
	start := time.Now()
	_, err := q.Run(ctx)
	require.True(t, errors.Is(err, context.DeadlineExceeded))
	require.Less(t, time.Since(start), time.Second)
}

func TestRefused(t *testing.T) {
	for what, change := range map[string]func(*Comparison){
		"two different fighters": func(q *Comparison) { q.Opponent = q.Fighter },
		"at least 4 draws":       func(q *Comparison) { q.Draws = 3 },
		"of 2 bouts":             func(q *Comparison) { q.Bouts = 1 },
		"a level of":             func(q *Comparison) { q.Level = 1 },
		"no plan":                func(q *Comparison) { q.Plans = nil },
		"a target of":            func(q *Comparison) { q.Within, q.Draws = -1, 200 },
		"cannot be chosen": func(q *Comparison) {
			q.OpponentPlan = &tactics.Plan{Rules: []tactics.Rule{{At: tactics.Defend, Only: []string{"jab"}}}}
		},
	} {
		q := comparison(t, asUsual, stayClose)
		change(q)
		_, err := q.Run(context.Background())
		require.ErrorContains(t, err, what)
	}
}
