package study

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

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
