package study

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

func two() (red, blue *fighter.Profile) {
	body := fighter.AverageBody()
	long := body
	long.Span, long.Leg = 1.92, 1
	return fighter.Population("stoat", body), fighter.Population("egret", long)
}

func rules(t *testing.T) *tape.RuleSet {
	r, err := tape.RuleSetNamed("kickboxing-3x3")
	require.NoError(t, err)
	return r
}

func noStep() *tactics.Plan {
	return &tactics.Plan{Name: "no step back", Adherence: tactics.UsualAdherence, Rules: []tactics.Rule{
		{Name: "none", At: tactics.Defend, Multiples: []tactics.Multiple{{What: "step_back", By: 0}}}}}
}

// Every dial stands where it was set, and setting it where it stands changes nothing it can see; its limits are within reach.
func TestDialsHold(t *testing.T) {
	p, _ := two()
	seen := map[string]bool{}
	for _, d := range Dials() {
		require.False(t, seen[d.Name], d.Name)
		seen[d.Name] = true
		require.NotEmpty(t, d.Plain("Stoat"), d.Name)
		require.NotContains(t, d.Plain("Stoat"), "%", d.Name)
		if d.adherence || d.check(p) != nil {
			continue
		}
		for _, share := range []float64{0, .2, .7, 1} {
			draw := p.Draw(5, 1, true)
			x := d.Low + share*(d.High-d.Low)
			if others := fighter.Define(d.main).Law == fighter.Weight && x < 10; others && math.IsNaN(d.get(draw)) {
				continue
			}
			d.set(draw, p.Centre(), x)
			require.InDelta(t, x, d.get(draw), 1e-9*max(d.High, 1), "%s at %v", d.Name, x)
		}
	}
	_, err := DialNamed("bites.hips")
	require.ErrorContains(t, err, "bites.hip")
	require.Greater(t, len(seen), 150)
}

// "x of ten" is what the bout does: with learning switched off, empty hip onsets that the fighter is free to react to are believed at
// x/10 (exact, but for log-odds rounded to 1/128, which moves the chance by at most 0.002). |est-exact| < 4.9 sqrt(p(1-p)/n) + 0.002.
func TestBitesOfTen(t *testing.T) {
	red, blue := two()
	bites, err := DialNamed("bites.hip")
	require.NoError(t, err)
	feints, err := DialNamed("rate.feint_hip")
	require.NoError(t, err)
	learning, err := DialNamed("learning")
	require.NoError(t, err)
	for _, x := range []float64{0, 2, 7, 10} {
		d, e := red.Centre(), blue.Centre()
		feints.set(d, red.Centre(), 40)
		learning.set(e, blue.Centre(), 0)
		bites.set(e, blue.Centre(), x)
		b := sim.NewBout()
		b.Setup(rules(t), sim.AverageWorld())
		require.NoError(t, b.Sides[0].Load(red.Body, d, nil, nil, rules(t)))
		require.NoError(t, b.Sides[1].Load(blue.Body, e, nil, nil, rules(t)))
		n, k := 0.0, 0.0
		for i := range 30 {
			trace := &sim.Tracer{}
			b.Watch = trace
			b.Run(kernel.NewKey(9, 0, uint64(i)))
			for j := range trace.Choices {
				c := &trace.Choices[j]
				if c.Corner == 1 && c.At == tactics.Believe && c.Belief.Cue == fighter.Hip && !c.Belief.Real {
					n++
					k += float64(c.Chosen)
				}
			}
		}
		require.Greater(t, n, 500.0)
		p := x / 10
		require.InDelta(t, p, k/n, 4.9*math.Sqrt(p*(1-p)/n)+.002*math.Min(1, 4*p*(1-p)), "x = %v, %v onsets", x, n)
	}
}

func sweep(t *testing.T, d *Dial, at ...float64) *Sweep {
	red, blue := two()
	return &Sweep{Meeting: Meeting{Fighter: red, Opponent: blue, Rules: rules(t), Seed: 3}, Plans: []*tactics.Plan{noStep()}, Dial: d, Whose: 1, At: at, Draws: 6, Bouts: 3, Level: .9}
}

// A sweep that moves nothing plays the bouts of a comparison, and its points do not differ: same seed, draw and bout, same luck.
func TestSweepStandsOnTheSameBouts(t *testing.T) {
	still := &Dial{Name: "still", High: 9, main: 0, get: func(fighter.Draw) float64 { return 1 }, set: func(_, _ fighter.Draw, _ float64) {}}
	q := sweep(t, still, 1, 2)
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	c := &Comparison{Fighter: q.Fighter, Opponent: q.Opponent, Plans: []*tactics.Plan{noStep()}, Rules: q.Rules, Seed: 3, Draws: 6, Bouts: 3, Level: .9}
	want, err := c.Run(context.Background())
	require.NoError(t, err)
	alike := 0
	defer func() { require.Positive(t, alike) }()
	for _, m := range SweepMeasures {
		for _, p := range r.Curves[0] {
			if MeasureNamed(m.Name) >= 0 {
				require.Equal(t, want.Plans[0].Outcomes[m.Name].Mean, p.Outcomes[m.Name].Mean, m.Name)
				if d := want.Plans[0].Outcomes[m.Name]; d.AllDoubt.SD > d.Tape.SD { // else a comparison pools the two, and a sweep has no tape's
					require.Equal(t, d.AllDoubt.Interval, p.Outcomes[m.Name].AllDoubt, m.Name)
					alike++
				}
			}
		}
		require.Zero(t, r.Curves[0][1].FromFirst[m.Name].Mean)
		require.Zero(t, r.Curves[0][1].FromFirst[m.Name].Simulation.High)
	}
}

// The same points come out whatever the number of workers, and whichever other points stand beside them.
func TestSweepDoesNotDependOnWorkersOrNeighbours(t *testing.T) {
	d, err := DialNamed("rate.low_kick_calf")
	require.NoError(t, err)
	q := sweep(t, d, 0, 3, 12)
	q.Workers = 1
	one, err := q.Run(context.Background())
	require.NoError(t, err)
	q.Workers = 8
	eight, err := q.Run(context.Background())
	require.NoError(t, err)
	require.Equal(t, one, eight)
	q = sweep(t, d, 0, 12)
	fewer, err := q.Run(context.Background())
	require.NoError(t, err)
	require.Equal(t, one.Curves[0][2], fewer.Curves[0][1])
	require.True(t, one.Curves[0][2].Extrapolated)
	require.Equal(t, fighter.FromPopulation, one.Source)
	_, blue := two()
	perSecond := blue.Figures[fighter.Initiate(fighter.Kicking, tape.MoveLowKickCalf)]
	require.InDelta(t, 60*perSecond.A/perSecond.B, one.Calibrated, 1e-9, "a rate a second at kicking range, a minute (exact)")
}

// A dial that acts, acts: an opponent who kicks the calf twelve times as often lands more clean kicks. 180 bouts each on the same luck;
// more than 4.9 standard errors of the mean difference.
func TestSweepMoves(t *testing.T) {
	d, err := DialNamed("rate.low_kick_calf")
	require.NoError(t, err)
	q := sweep(t, d, 0, 12)
	q.Draws, q.Bouts, q.Level = 60, 3, .999999 // of 60 draw means: 5.5 standard errors either way (Student, 59 degrees of freedom)
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	require.Greater(t, r.Curves[0][1].FromFirst["kicks_taken_clean_per_minute"].Simulation.Low, 0.0)
}

func TestSweepRefuses(t *testing.T) {
	d, err := DialNamed("bites.hand")
	require.NoError(t, err)
	for _, bad := range []func(*Sweep){
		func(q *Sweep) { q.At = []float64{1} },
		func(q *Sweep) { q.At = []float64{3, 2} },
		func(q *Sweep) { q.At = []float64{0, 10.5} },
		func(q *Sweep) { q.At = []float64{math.NaN(), 1} },
		func(q *Sweep) { q.Plans = nil },
		func(q *Sweep) { q.Draws = 3 },
		func(q *Sweep) { q.Level = 1 },
		func(q *Sweep) { q.Opponent = q.Fighter },
		func(q *Sweep) { q.Dial, _ = DialNamed("adherence") }, // of the opponent
		func(q *Sweep) {
			q.Whose = 1
			q.Opponent.Figures[fighter.Initiate(fighter.Long, tape.MoveJab)].A = 0
			q.Dial, _ = DialNamed("rate.jab")
		},
	} {
		q := sweep(t, d, 0, 5)
		bad(q)
		_, err := q.Run(context.Background())
		require.Error(t, err)
	}
}

// The bout shown is the bout compared: all bouts of a comparison, one by one, give its means. Mean and sum agree to rounding.
func TestOneIsABoutOfTheComparison(t *testing.T) {
	red, blue := two()
	c := &Comparison{Fighter: red, Opponent: blue, Plans: []*tactics.Plan{noStep()}, Rules: rules(t), Seed: 3, Draws: 4, Bouts: 3, Level: .9}
	want, err := c.Run(context.Background())
	require.NoError(t, err)
	sums := make([]float64, len(Measures))
	b := sim.NewBout()
	for k := range 4 {
		for i := range 3 {
			one := One{Fighter: red, Opponent: blue, Plan: noStep(), Rules: rules(t), Seed: 3, Draw: k, Bout: i}
			o, err := one.Play(b)
			require.NoError(t, err)
			for m := range Measures {
				sums[m] += Measures[m].of(&o, 0) / 12
			}
		}
	}
	for m := range Measures {
		require.InDelta(t, want.Plans[0].Outcomes[Measures[m].Name].Mean, sums[m], 1e-9, Measures[m].Name)
	}
	_, err = (&One{Fighter: red, Opponent: red, Rules: rules(t)}).Play(b)
	require.Error(t, err)
}
