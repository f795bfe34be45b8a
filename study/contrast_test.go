package study

import (
	"context"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/tactics"
)

// Exact: equal plans are the same at every point; a renamed plan changes nothing but the name; plans do not see each other; and a contrast
// is the difference of the curves.
func TestContrasts(t *testing.T) {
	d, err := DialNamed("rate.low_kick_calf")
	require.NoError(t, err)
	twin, renamed := noStep(), noStep()
	twin.Name, renamed.Name = "twin", "renamed"
	q := sweep(t, d, 0, 6, 12)
	q.Plans = []*tactics.Plan{nil, noStep(), twin, stayClose}
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	require.Len(t, r.Contrasts, 6)
	require.Equal(t, 6*3*4*3, r.Total)
	for _, c := range r.Contrasts {
		same := c.Plan == "twin" && c.Against == "no step back"
		require.Equal(t, same, c.Same, "%s against %s", c.Plan, c.Against)
		for i, p := range c.Points {
			curve := map[string]int{usualName: 0, "no step back": 1, "twin": 2, "close": 3}
			want := r.Curves[curve[c.Plan]][i].Outcomes["win"].Mean - r.Curves[curve[c.Against]][i].Outcomes["win"].Mean
			require.InDelta(t, want, p.Difference.Mean, 1e-12)
			if same {
				require.Zero(t, p.Difference.Mean)
				require.Zero(t, p.Difference.AllDoubt.Width())
				require.Equal(t, .5, p.Probability.Value)
			}
		}
		if same {
			require.Empty(t, c.Crossings)
			require.Nil(t, c.Saved)
		}
	}
	alone := sweep(t, d, 0, 6, 12)
	alone.Plans = []*tactics.Plan{nil, renamed}
	got, err := alone.Run(context.Background())
	require.NoError(t, err)
	require.Equal(t, r.Curves[:2], got.Curves)
	r.Contrasts[0].Plan = "renamed"
	require.Equal(t, r.Contrasts[0], got.Contrasts[0])
}

// Exact: what counts is the user's; bouts won priced at nothing beside the margin are the margin.
func TestContrastByValue(t *testing.T) {
	d, err := DialNamed("chin")
	require.NoError(t, err)
	q := sweep(t, d, .5, 2)
	q.Plans = []*tactics.Plan{nil, stayClose}
	q.Value, err = ReadValue("margin + 0*win")
	require.NoError(t, err)
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	for i, p := range r.Contrasts[0].Points {
		require.InDelta(t, r.Curves[1][i].Value.Mean-r.Curves[0][i].Value.Mean, p.Difference.Mean, 1e-12)
	}
}

// By strikes landed clean a plan of kicking the legs is the worse one while low kicks fail and the better one when they come off, against a
// plan of straight punches: one crossing is told. The level is that of 4.9 standard errors.
func TestCrossingIsWhereThePlanChanges(t *testing.T) {
	d, err := DialNamed("skill.attack.low_kick")
	require.NoError(t, err)
	more := func(what string) *tactics.Plan {
		return &tactics.Plan{Name: what, Adherence: tactics.UsualAdherence, Rules: []tactics.Rule{
			{Name: "more", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: what, By: 6}}}}}
	}
	q := sweep(t, d, 2, 40, 95)
	q.Plans, q.Whose, q.Draws, q.Bouts, q.Level = []*tactics.Plan{more("punches"), more("low_kicks")}, 0, 60, 4, .999999
	q.Value, err = ReadValue("clean_straight + clean_low_kick")
	require.NoError(t, err)
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	c := r.Contrasts[0]
	require.Less(t, c.Points[0].Difference.Simulation.High, 0.0)
	require.Greater(t, c.Points[2].Difference.Simulation.Low, 0.0)
	require.Len(t, c.Crossings, 1)
	require.True(t, c.Crossings[0].Told())
	require.Len(t, c.Crossings[0].At, 1)
	require.Greater(t, c.Points[2].Probability.Value, c.Points[0].Probability.Value)
	for p, x := range []float64{2, 40, 95} {
		told := !c.Points[p].Difference.Simulation.Holds(0)
		require.Equal(t, told, x < c.Crossings[0].Low || x > c.Crossings[0].High)
	}
}

// Interrupted, a sweep tells the draws that were finished, and with a store it goes on to the same bytes.
func TestSweepGoesOn(t *testing.T) {
	d, err := DialNamed("bites.hip")
	require.NoError(t, err)
	q := sweep(t, d, 0, 5, 10)
	q.Plans = []*tactics.Plan{nil, noStep()}
	want, err := q.Run(context.Background())
	require.NoError(t, err)
	store := &memory{held: map[Key][]byte{}}
	ctx, stop := context.WithCancel(context.Background())
	q.Store, q.Workers, q.Progress = store, 1, func(done, _ int) {
		if done == 20 {
			stop()
		}
	}
	part, err := q.Run(ctx)
	require.ErrorIs(t, err, context.Canceled)
	require.True(t, part.Partial)
	require.Equal(t, 3, part.Draws)
	q.Progress = nil
	whole, err := q.Run(context.Background())
	require.NoError(t, err)
	a, err := json.Marshal(want)
	require.NoError(t, err)
	b, err := json.Marshal(whole)
	require.NoError(t, err)
	require.Equal(t, string(a), string(b))
	require.False(t, math.IsNaN(whole.Calibrated))
}
