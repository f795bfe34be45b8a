package study

import (
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"whatbout/fighter"
	"whatbout/tactics"
)

func nextOf(t *testing.T, plans ...*tactics.Plan) *Next {
	t.Helper()
	q := &Next{Meeting: *comparison(t, asUsual, stayClose).meeting(), Plans: plans, Bouts: 2, Level: .95, Minutes: []float64{6, 60}}
	for whose := range q.Adds {
		for z := range fighter.NumZones {
			q.Shares[whose][z] = 1 / float64(fighter.NumZones)
			q.Adds[whose][z] = make([]float64, fighter.NumFigures())
			for f := range q.Adds[whose][z] {
				q.Adds[whose][z][f] = 10
			}
		}
	}
	q.Draws = 2*len(q.known().columns) + 2
	return q
}

// Exact: between equal plans nothing is worth knowing; the same bytes for any number of workers; a renamed plan changes nothing.
func TestNextExactly(t *testing.T) {
	twin := *asUsual
	twin.Name = "the same"
	r, err := nextOf(t, asUsual, &twin).Run(context.Background())
	require.NoError(t, err)
	require.Equal(t, Worth{}, r.Everything)
	require.Equal(t, Worth{}, r.AllTape)
	for _, x := range r.Tape {
		require.Equal(t, Worth{}, x.Worth)
	}
	renamed := *stayClose
	renamed.Name = "renamed"
	var want []byte
	for i, plan := range []*tactics.Plan{stayClose, stayClose, &renamed} {
		q := nextOf(t, asUsual, plan)
		q.Workers = []int{1, 2, 8}[i]
		r, err := q.Run(context.Background())
		require.NoError(t, err)
		got, err := json.Marshal(r)
		require.NoError(t, err)
		if want == nil {
			want = got
		}
		require.Equal(t, string(want), string(got))
		for _, x := range append([]TapeWorth{{Worth: r.Everything}, {Worth: r.AllTape}}, r.Tape...) {
			require.True(t, 0 <= x.Low && x.Low <= x.Gain && x.Gain <= x.High, "%+v", x)
		}
	}
}

// Exact, by Dirichlet, gamma and normal theory: data that add as much as stands behind a figure teach half of its variance; none teach nothing.
func TestLearned(t *testing.T) {
	q := nextOf(t, asUsual, stayClose)
	k := q.known()
	whose := make([]func(fighter.Figure) float64, 2)
	for i := range whose {
		of := map[fighter.Figure]float64{}
		for _, c := range k.columns {
			if c.whose == i && c.world == nil {
				of[c.figure] = c.worth
			}
		}
		whose[i] = func(f fighter.Figure) float64 { return of[f] }
		for j, l := range k.learned(i, whose[i]) {
			if c := k.columns[j]; c.whose == i && c.doubt == fighter.Tape {
				require.InDelta(t, .5, l*l, 1e-12, fighter.Define(c.figure).Name)
			} else {
				require.Zero(t, l)
			}
		}
		for _, l := range k.learned(i, func(fighter.Figure) float64 { return 0 }) {
			require.Zero(t, l)
		}
	}
}

func TestNextRefuses(t *testing.T) {
	q := nextOf(t, asUsual, stayClose)
	q.Draws = 40
	_, err := q.Run(context.Background())
	require.ErrorContains(t, err, "40 draws are too few to tell")
	q.Plans = q.Plans[:1]
	_, err = q.Run(context.Background())
	require.ErrorContains(t, err, "nothing to choose")
}

// Exact: what counts twice is worth twice, and wins count unless told otherwise.
func TestNextByValue(t *testing.T) {
	var results []*NextResult
	for _, text := range []string{"", "win", "2*win", "win - 0.01*head_strikes_absorbed"} {
		q := nextOf(t, asUsual, stayClose)
		if text != "" {
			v, err := ReadValue(text)
			require.NoError(t, err)
			q.Value = v
		}
		r, err := q.Run(context.Background())
		require.NoError(t, err)
		results = append(results, r)
	}
	require.Equal(t, results[0], results[1])
	one, two := results[1], results[2]
	require.InDelta(t, 2*one.Means[1], two.Means[1], 1e-12)
	require.InDelta(t, 2*one.Everything.Gain, two.Everything.Gain, 1e-12)
	require.InDelta(t, 2*one.AllTape.High, two.AllTape.High, 1e-12)
	require.Greater(t, one.AllTape.High, 0.0)
	for i := range one.Tape {
		require.InDelta(t, 2*one.Tape[i].High, two.Tape[i].High, 1e-12)
	}
	require.NotEqual(t, one.Means, results[3].Means)
}

// What hangs together with a group is known with it: of two figures with correlation .6, of which the second alone matters (variance 4 of the
// difference), knowing the first is worth what knowing .36 of that variance is: σ·.39894 with σ = √(4·.36). 4000 draws without luck: the share has a
// standard error of 2·.6·(1-.36)/√4000 = .0121, of which 4.9 move the gain by 8 %; that of the whole variance, √(2/4000), by 5.5 % more.
func TestKnownTogether(t *testing.T) {
	const n = 4000
	r := rand.New(rand.NewPCG(6, 6))
	x, y := mat.NewDense(n, 2, nil), mat.NewDense(n, 1, nil)
	for k := range n {
		a := r.NormFloat64()
		b := .6*a + .8*r.NormFloat64()
		x.SetRow(k, []float64{a, b})
		y.Set(k, 0, 2*b)
	}
	d := &gathered{mean: []float64{0}, spread: mat.NewSymDense(1, []float64{4}), draws: n, features: x, outcomes: y}
	k := &knowns{columns: []column{{group: "one"}, {group: "other"}}}
	w, figures, err := d.known(k, .95, func(c *column) bool { return c.group == "one" })
	require.NoError(t, err)
	require.Equal(t, 1, figures)
	require.InEpsilon(t, math.Sqrt(4*.36)*.398942, w.Gain, .135)
	none, _, err := d.known(k, .95, func(*column) bool { return false })
	require.NoError(t, err)
	require.Equal(t, Worth{}, none)
}

// Exact: a situation is split by stance where both take enough of a bout, a minute of either is worth the same, and on the ground nobody has one.
func TestNextByStance(t *testing.T) {
	q := nextOf(t, asUsual, stayClose)
	for z := range fighter.NumZones {
		q.Shares[0][z], q.Southpaw[0][z] = .1, 0
	}
	q.Southpaw[0][fighter.Kicking], q.Southpaw[0][fighter.Long], q.Southpaw[0][fighter.Top] = .04, .1, .1
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	shares, worths := map[string]float64{}, map[string][]float64{}
	for _, x := range r.Tape {
		if x.Of == q.Fighter.ID && x.Minutes == 6 {
			shares[x.Stance+" "+x.Zone] = x.Share
			worths[x.Zone] = append(worths[x.Zone], x.Gain)
		}
	}
	require.InDeltaMapValues(t, map[string]float64{"orthodox out": .1, "orthodox kicking": .06, "southpaw kicking": .04, "southpaw long": .1, "orthodox pocket": .1,
		" clinch": .1, " top": .1, " bottom": .1, " ": 1}, shares, 1e-12)
	require.Len(t, worths["kicking"], 2)
	require.Equal(t, worths["kicking"][0], worths["kicking"][1])
}
