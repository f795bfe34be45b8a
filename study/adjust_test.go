package study

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/tactics"
)

// still is a plan of not striking.
var still = &tactics.Plan{Name: "still", Adherence: tactics.Adherence{Share: 1}, Rules: []tactics.Rule{
	{Name: "initiate", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "strikes", By: 0}}},
	{Name: "answer", At: tactics.Answer, Multiples: []tactics.Multiple{{What: "strikes", By: 0}}}}}

func adjust(t *testing.T, plans, replies []*tactics.Plan) *Adjust {
	t.Helper()
	return &Adjust{Meeting: *comparison(t, asUsual, stayClose).meeting(), Plans: append([]*tactics.Plan{asUsual}, plans...),
		Replies: append([]*tactics.Plan{asUsual}, replies...), Draws: 20, Bouts: 4, Level: .9, AcceptHarm: true}
}

func adjusted(t *testing.T, q *Adjust) *AdjustResult {
	t.Helper()
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	return r
}

func bytesOf(t *testing.T, x any) string {
	t.Helper()
	data, err := json.Marshal(x)
	require.NoError(t, err)
	return string(data)
}

// Exact: the same to the last byte for any number of workers, from kept bouts, and under another name.
func TestAdjustSameBytes(t *testing.T) {
	var want string
	kept := &memory{held: map[Key][]byte{}}
	renamed := *stayClose
	renamed.Name = "renamed"
	for i, workers := range []int{1, 2, 8, 2, 2} {
		plan := stayClose
		if i == 4 {
			plan = &renamed
		}
		q := adjust(t, []*tactics.Plan{plan, handsUp("jabs", 3)}, []*tactics.Plan{handsUp("jabs", 2), plan})
		q.Workers = workers
		if i > 1 {
			q.Store = kept
		}
		r := adjusted(t, q)
		for _, options := range [][]Option{r.Yours, r.Theirs} {
			for i := range options {
				for _, name := range []*string{&options[i].Name, &options[i].Reply, &options[i].Same, &options[i].Beaten} {
					if *name == "renamed" {
						*name = stayClose.Name
					}
				}
			}
		}
		if got := bytesOf(t, r); want == "" {
			want = got
		} else {
			require.Equal(t, want, got, "%d workers", workers)
		}
	}
}

// Exact: plans that are the same give nothing away, have nothing to win by knowing more, and are named as the same.
func TestAdjustBetweenEquals(t *testing.T) {
	twin, empty := *asUsual, *asUsual
	twin.Name, empty.Name = "nothing new", "nothing at all"
	r := adjusted(t, adjust(t, []*tactics.Plan{&twin}, []*tactics.Plan{&empty}))
	require.Equal(t, (20+10)*4, r.Played, "what is the same is played once")
	require.True(t, r.Saddle)
	require.Equal(t, [2]bool{}, r.Several)
	require.Equal(t, Worth{}, r.Knowing.You)
	require.Equal(t, Worth{}, r.Knowing.Them)
	for _, options := range [][]Option{r.Yours, r.Theirs} {
		require.Equal(t, "as usual", options[1].Same)
		require.Equal(t, 1.0, options[0].Share.Share.Centre)
		for _, o := range options {
			require.Zero(t, o.Given.Centre)
			require.Zero(t, o.Given.Width())
		}
	}
	require.Equal(t, r.Met[0][0], r.Met[1][1])
	require.InDelta(t, r.Met[0][0].Mean, r.Value.Centre, 1e-12)
}

// Exact: a plan that is named twice changes nothing but its own line, on either side.
func TestAdjustWithTwins(t *testing.T) {
	twin, other := *stayClose, *handsUp("jabs", 3)
	twin.Name, other.Name = "close again", "jabs again"
	jabs := handsUp("jabs", 3)
	one := adjusted(t, adjust(t, []*tactics.Plan{stayClose}, []*tactics.Plan{jabs}))
	two := adjusted(t, adjust(t, []*tactics.Plan{stayClose, &twin}, []*tactics.Plan{jabs, &other}))
	require.Equal(t, "close", two.Yours[2].Same)
	require.Equal(t, "jabs", two.Theirs[2].Same)
	require.Equal(t, two.Yours[1].Floor, two.Yours[2].Floor)
	require.Equal(t, two.Theirs[1].Floor, two.Theirs[2].Floor)
	two.Yours, two.Theirs, two.Met = two.Yours[:2], two.Theirs[:2], [][]Met{two.Met[0][:2], two.Met[1][:2]}
	require.Equal(t, bytesOf(t, one), bytesOf(t, two))
}

// What a comparison finds on the same seed is what the matrix holds: wins, and half of what is neither won nor lost.
func TestAdjustAgreesWithCompare(t *testing.T) {
	r := adjusted(t, adjust(t, []*tactics.Plan{stayClose}, []*tactics.Plan{still}))
	for j, reply := range []*tactics.Plan{nil, still} {
		q := comparison(t, asUsual, stayClose)
		q.OpponentPlan, q.Draws = reply, 20
		c := run(t, q)
		for i := range 2 {
			win, loss := c.Plans[i].Outcomes["win"].Mean, c.Plans[i].Outcomes["loss"].Mean
			require.InDelta(t, (1+win-loss)/2, r.Met[i][j].Mean, 1e-12)
		}
	}
}

// Who does not strike is worse whatever the other does, by so much that it is told; and what is told of options follows from the matrix.
func TestAdjustTellsTheWorse(t *testing.T) {
	q := adjust(t, []*tactics.Plan{still, stayClose}, []*tactics.Plan{still, handsUp("jabs", 3)})
	q.Rules.RoundSeconds, q.Draws, q.Bouts = 180, 60, 6
	r := adjusted(t, q)
	require.NotEmpty(t, r.Yours[1].Beaten)
	require.True(t, r.Yours[1].Told)
	require.Zero(t, r.Yours[1].Share.Share.Centre)
	require.Greater(t, r.Yours[1].Given.Low, 0.0)
	require.True(t, r.Theirs[1].Told)
	for _, side := range []int{0, 1} {
		options := [][]Option{r.Yours, r.Theirs}[side]
		sum := 0.0
		for i, o := range options {
			sum += o.Share.Share.Centre
			floor := 1.0
			for j := range r.Met {
				x := r.Met[i][j].Mean
				if side == 1 {
					x = 1 - r.Met[j][i].Mean
				}
				floor = min(floor, x)
			}
			require.InDelta(t, floor, o.Floor.Centre, 1e-12)
			value := r.Value.Centre
			if side == 1 {
				value = 1 - value
			}
			require.InDelta(t, max(value-floor, 0), o.Given.Centre, 1e-9)
			require.True(t, o.As.Low-1e-9 <= o.Share.Share.Centre && o.Share.Share.Centre <= o.As.High+1e-9)
		}
		require.InDelta(t, 1, sum, 1e-9)
	}
	require.True(t, r.Value.Holds(r.Value.Centre))
}

// A plan that raises a price is kept out of the mixture unless that is accepted, and its floor is told all the same.
func TestAdjustHarmBars(t *testing.T) {
	q := adjust(t, []*tactics.Plan{stayClose}, nil)
	q.Draws, q.Bouts, q.AcceptHarm, q.Store = 200, 24, false, &memory{held: map[Key][]byte{}}
	r := adjusted(t, q)
	require.Equal(t, Raises, r.Yours[1].Prices[0].Stand, "the case must be one of harm")
	require.True(t, r.Yours[1].Barred)
	require.Equal(t, 1.0, r.Yours[0].Share.Share.Centre)
	require.InDelta(t, r.Met[1][0].Mean, r.Yours[1].Floor.Centre, 1e-12)
	require.Equal(t, "as usual", r.Yours[1].Reply)
	q.AcceptHarm = true
	require.False(t, adjusted(t, q).Yours[1].Barred)
}

// Interrupted, it tells what the finished draws say, or nothing if they are too few.
func TestAdjustInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	q := adjust(t, []*tactics.Plan{stayClose}, []*tactics.Plan{stayClose})
	q.Draws = 100_000
	q.Progress = func(done, _ int) {
		if done == 200 {
			cancel()
		}
	}
	r, err := q.Run(ctx)
	require.ErrorIs(t, err, context.Canceled)
	require.True(t, r.Partial)
	require.GreaterOrEqual(t, r.Draws, 20)
	soon, stop := context.WithCancel(context.Background())
	stop()
	r, err = adjust(t, []*tactics.Plan{stayClose}, nil).Run(soon)
	require.Nil(t, r)
	require.ErrorIs(t, err, context.Canceled)
}

func TestAdjustRefused(t *testing.T) {
	for what, change := range map[string]func(*Adjust){
		"two different fighters": func(q *Adjust) { q.Opponent = q.Fighter },
		"nothing to adjust":      func(q *Adjust) { q.Plans, q.Replies = q.Plans[:1], q.Replies[:1] },
		"fighting as usual":      func(q *Adjust) { q.Replies[0] = stayClose },
		"at least 20 draws":      func(q *Adjust) { q.Draws = 19 },
		"a level of":             func(q *Adjust) { q.Level = .5 },
		"a slack of":             func(q *Adjust) { q.Slack = -1 },
	} {
		q := adjust(t, []*tactics.Plan{stayClose}, []*tactics.Plan{stayClose})
		change(q)
		_, err := q.Run(context.Background())
		require.ErrorContains(t, err, what)
	}
}
