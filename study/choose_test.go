package study

import (
	"context"
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tactics"
)

// handsUp is a plan of more straight punches, by so many times.
func handsUp(name string, by float64) *tactics.Plan {
	return &tactics.Plan{Name: name, Adherence: tactics.UsualAdherence, Rules: []tactics.Rule{
		{Name: "jab", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "jab", By: by}}}}}
}

func choice(t *testing.T, value string, plans ...*tactics.Plan) *Choice {
	t.Helper()
	v, err := ReadValue(value)
	require.NoError(t, err)
	return &Choice{
		Meeting: Meeting{Fighter: fighter.Population("mole", fighter.AverageBody()), Opponent: fighter.Population("newt", fighter.AverageBody()),
			Rules: short(t), Seed: 5},
		Plans: append([]*tactics.Plan{asUsual}, plans...), Value: v, Tolerance: .02, First: 30, Draws: 120, Bouts: 4, Level: .95,
	}
}

func chosen(t *testing.T, q *Choice) *ChoiceResult {
	t.Helper()
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	return r
}

// Exact: the same choice to the last byte for any number of workers, and from kept bouts.
func TestChoiceSameBytes(t *testing.T) {
	var want string
	kept := &memory{held: map[Key][]byte{}}
	for _, workers := range []int{1, 2, 8} {
		for _, store := range []Store{nil, kept} {
			q := choice(t, "win", stayClose, handsUp("jabs", 2))
			q.Workers, q.Store = workers, store
			data, err := json.Marshal(chosen(t, q))
			require.NoError(t, err)
			if want == "" {
				want = string(data)
			}
			require.Equal(t, want, string(data), "%d workers", workers)
		}
	}
}

// Exact: plans that are the same give nothing away against each other and are too close to call; a plan's name moves nothing.
func TestChoiceBetweenEquals(t *testing.T) {
	twin, empty := *asUsual, *asUsual
	twin.Name, empty.Name = "nothing new", "nothing at all"
	r := chosen(t, choice(t, "win", &twin, &empty))
	require.Equal(t, TooClose, r.Verdict)
	require.Equal(t, []string{"as usual", "nothing new", "nothing at all"}, r.AsGood)
	require.Zero(t, r.Bound)
	require.Equal(t, 30*4, r.Work.Bouts, "what is the same is played once")
	for i, p := range r.Plans {
		require.Zero(t, p.Gain.Mean)
		require.Zero(t, p.Gain.Simulation.Width())
		require.Zero(t, p.Loss)
		require.InDelta(t, 1./3, p.Chance, 1e-12)
		require.Equal(t, [2]float64{}, p.Against)
		require.Equal(t, i == 0, p.Frontier)
		for _, price := range p.Prices {
			require.Equal(t, Unchanged, price.Stand)
		}
	}

	renamed := *stayClose
	renamed.Name = "renamed"
	a, b := chosen(t, choice(t, "win", stayClose)), chosen(t, choice(t, "win", &renamed))
	b.Plans[1].Name = a.Plans[1].Name
	require.Equal(t, a.Plans, b.Plans)
	require.Equal(t, a.Work, b.Work)
	require.NotZero(t, a.Plans[1].Gain.Mean)
}

// The plan that is best by what counts is found: jabs are what is doubled and trebled. With prices read off, it gets in.
func TestChoiceFindsTheBest(t *testing.T) {
	q := choice(t, "thrown_straight", handsUp("twice", 2), handsUp("five times", 5), handsUp("fewer", .5))
	q.AcceptHarm = true
	r := chosen(t, q)
	require.Equal(t, Settled, r.Verdict)
	require.True(t, r.Reached)
	require.Equal(t, "five times", r.Leader)
	require.Equal(t, []string{"five times"}, r.AsGood)
	lead := r.Plans[2]
	require.Greater(t, lead.Chance, .5)
	require.Equal(t, 0.0, lead.Against[0], "multiple comparisons tell it from all others")
	require.Greater(t, lead.Gain.Simulation.Low, 0.0)
	for _, i := range []int{0, 1, 3} {
		require.Equal(t, 0.0, r.Plans[i].Against[1])
		require.Greater(t, r.Plans[i].Loss, lead.Loss)
		require.LessOrEqual(t, r.Plans[i].Draws, lead.Draws)
	}
	require.Equal(t, "five times", r.Ledger.Plan)
	require.Equal(t, "as usual", r.Ledger.Against)
	require.LessOrEqual(t, r.Work.Bouts, r.Work.Equal)
}

// What counts decides: with the sign changed the last one is first, and as usual is told against the best of the others where it leads.
func TestChoiceTurnsWithWhatCounts(t *testing.T) {
	q := choice(t, "-2*thrown_straight", handsUp("twice", 2), handsUp("five times", 5))
	q.AcceptHarm = true
	r := chosen(t, q)
	require.Equal(t, "as usual", r.Leader)
	require.Equal(t, "twice", r.Ledger.Against)
	require.True(t, r.Plans[0].Frontier)
}

// A plan that raises a price is never chosen unless that is accepted, however much it gains, and is shown all the same.
func TestHarmBars(t *testing.T) {
	// Given: what counts is being hit, which a plan of walking in buys.
	q := choice(t, "head_strikes_absorbed", stayClose)
	q.First, q.Draws, q.Bouts = 100, 200, 24
	open := chosen(t, q)
	q.AcceptHarm = true
	accepted := chosen(t, q)
	require.Equal(t, Raises, accepted.Plans[1].Prices[0].Stand, "the case must be one of harm")
	require.Equal(t, "close", accepted.Leader)
	require.False(t, accepted.Plans[1].Barred)

	require.Equal(t, "as usual", open.Leader)
	require.True(t, open.Plans[1].Barred)
	require.Positive(t, open.Plans[1].Gain.Mean)
	require.Equal(t, []string{"as usual"}, open.AsGood)
	require.Equal(t, 1.0, open.Plans[0].Chance)
	require.True(t, open.Plans[1].Frontier, "it is the one that gains most")
}

// Exact: what a price's stand follows from.
func TestHarmStands(t *testing.T) {
	for _, p := range []struct {
		mean, sd float64
		want     Harm
	}{{.5, .1, Raises}, {-.5, .1, Lowers}, {.05, 3, MayRaise}, {.01, 3, NotTold}, {-.4, 9, NotTold}} {
		pairs := pairsAround(p.mean, p.sd)
		got := priceOf(prices[0], pairs, .95)
		require.InDelta(t, p.mean, got.Difference, 1e-9)
		require.InDelta(t, 1, got.Usual, 1e-9)
		require.Equal(t, p.want, got.Stand, "%v ± %v on 1", p.mean, p.sd)
	}
	require.Equal(t, Unchanged, priceOf(prices[0], pairsAround(0, 0), .95).Stand)
}

// A leader that may raise a price is played on until that is told or its draws run out, and then barred; one within the margin is let be.
func TestMayRaiseIsPlayedOn(t *testing.T) {
	win, head := MeasureNamed("win"), prices[0]
	field := func(adds float64) *field {
		f := &field{q: choice(t, "win", stayClose), rows: make([][]Values, 2), values: make([][]float64, 2)}
		for k := range 40 {
			for i := range f.rows {
				v := make(Values, 2*len(columns))
				for b := range 2 {
					v[b*len(columns)+win], v[b*len(columns)+head] = float64(i)+.01*float64(k%5), 1
					if i == 1 {
						v[b*len(columns)+head] = 1 + adds + 3*float64(1-2*(k%2))
					}
				}
				f.rows[i], f.values[i] = append(f.rows[i], v), append(f.values[i], f.mean(v))
			}
		}
		return f
	}
	rule := infer.Race{Tolerance: .02, First: 30, Most: 80}
	l := field(.05).look(rule)
	require.Equal(t, MayRaise, l.prices[1][0].Stand)
	require.Equal(t, 1, l.Leader)
	require.True(t, l.Reached, "what counts is settled")
	require.Equal(t, []int{40, 50}, l.Next)

	rule.Most = 40
	l = field(.05).look(rule)
	require.Equal(t, 0, l.Leader)
	require.Nil(t, l.Next)
	require.Equal(t, []bool{true, false}, l.in)

	l = field(.01).look(rule)
	require.Equal(t, NotTold, l.prices[1][0].Stand)
	require.Equal(t, 1, l.Leader)
	require.Nil(t, l.Next)

	accepting := field(.05)
	accepting.q.AcceptHarm = true
	require.Equal(t, 1, accepting.look(rule).Leader)
}

func TestFrontier(t *testing.T) {
	plan := func(name string, gain float64, adds ...float64) Contender {
		c := Contender{Name: name, Gain: Gain{Mean: gain}}
		for _, a := range adds {
			c.Prices = append(c.Prices, Price{Difference: a})
		}
		return c
	}
	plans := []Contender{plan("as usual", 0), plan("free", 1, 0, 0, 0), plan("dear", 3, 1, 0, 0), plan("dearer for less", 2, 2, 0, 0), plan("cheap", -1, -1, 0, 0),
		plan("cheap but for one", -2, -1, 0, .1), plan("free again", 1, 0, 0, 0)}
	frontier(plans)
	by := map[string]string{}
	for _, p := range plans {
		by[p.Name] = p.BeatenBy
		require.Equal(t, p.BeatenBy == "", p.Frontier)
	}
	require.Equal(t, map[string]string{"as usual": "free", "free": "", "dear": "", "dearer for less": "dear", "cheap": "", "cheap but for one": "cheap", "free again": "free"}, by)
}

// Interrupted, a choice tells what it has, or nothing if that is too little.
func TestChoiceInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	q := choice(t, "win", stayClose)
	q.Tolerance, q.Draws, q.Workers = 1e-6, 100_000, 2
	looks := 0
	q.Progress = func(done, _ int) {
		if done == 1 {
			if looks++; looks == 3 {
				cancel()
			}
		}
	}
	start := time.Now()
	r, err := q.Run(ctx)
	require.ErrorIs(t, err, context.Canceled)
	require.True(t, r.Partial)
	require.GreaterOrEqual(t, r.Plans[1].Draws, 30)
	require.Empty(t, r.Ledger.Plan, "tape's draws were not played")
	require.Less(t, time.Since(start), 10*time.Second)

	soon, stop := context.WithCancel(context.Background())
	stop()
	r, err = q.Run(soon)
	require.Nil(t, r)
	require.ErrorIs(t, err, context.Canceled)
}

func TestChoiceRefused(t *testing.T) {
	for what, change := range map[string]func(*Choice){
		"two different fighters": func(q *Choice) { q.Opponent = q.Fighter },
		"nothing to choose":      func(q *Choice) { q.Plans = q.Plans[:1] },
		"fighting as usual":      func(q *Choice) { q.Plans[0] = stayClose },
		"draws before":           func(q *Choice) { q.First = 5 },
		"a level of":             func(q *Choice) { q.Level = .5 },
		"a tolerance of":         func(q *Choice) { q.Tolerance = 0 },
	} {
		q := choice(t, "win", stayClose)
		change(q)
		_, err := q.Run(context.Background())
		require.ErrorContains(t, err, what)
	}
}

// pairsAround are draws of bouts that cost 1 as usual and with the plan on average by mean more, the draws ± sd about it.
func pairsAround(mean, sd float64) []infer.Pairs {
	out := make([]infer.Pairs, 40)
	for k := range out {
		for range 2 {
			out[k].Add(1+mean+sd*float64(1-2*(k%2)), 1)
		}
	}
	return out
}
