package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

func drawnGroups(r *rand.Rand, k, n int, tau, sigma float64) []Group {
	out := make([]Group, k)
	for i := range out {
		at := tau * r.NormFloat64()
		for range n {
			out[i].Add(at + sigma*r.NormFloat64())
		}
	}
	return out
}

// Two groups a layout of two values each, by hand: means 2 and 4, and 1 and 5, values 1 to either side of them. MSW is 2, of all MSB
// is 4 and so τ² 1; of the part 16 and 7. Pooled with one degree of freedom each: 4, with two.
func TestOrderedPoolsWhatIsTheWrongWayRound(t *testing.T) {
	layout := func(a, b float64) []Group {
		return []Group{{2, 2 * a, (a-1)*(a-1) + (a+1)*(a+1)}, {2, 2 * b, (b-1)*(b-1) + (b+1)*(b+1)}}
	}
	all, part := Split(layout(2, 4)), Split(layout(1, 5))
	require.Equal(t, [2]float64{1, 7}, [2]float64{all.Between, part.Between})
	a, p := Ordered(all, part)
	require.Equal(t, [2]float64{4, 4}, [2]float64{a.Between, p.Between})
	require.Equal(t, 2., a.dfBetween())
	require.Equal(t, all.SE(), a.SE(), "the mean's error stays its own")
	same, less := Ordered(part, all)
	require.Equal(t, part, same, "in order already")
	require.Equal(t, all, less)
}

// The whole's spread is never below the part's, both are what was planted on average, and the interval of the whole holds at least the part's share
// of fresh values. With τ² = 1 for both (no further doubt), 60 and 30 draws of 8 bouts, σ² = 4: of 400 layouts the mean of the whole's variance
// is 1 + a little (pooling lifts it), of the part's 1 less a little; the mean of both, weighted by degrees of freedom, is 1 without bias. Its
// standard error is √(2·(1+4/8)²/88/400) = .0113 and more where layouts differ; 4.9 of them are .055.
func TestOrderedIsWithoutBiasTogether(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	sum, lifted, lowered, violated := 0.0, 0.0, 0.0, 0
	const layouts = 400
	for range layouts {
		all, part := Split(drawnGroups(r, 60, 8, 1, 2)), Split(drawnGroups(r, 30, 8, 1, 2))
		if all.Between < part.Between {
			violated++
		}
		a, p := Ordered(all, part)
		require.GreaterOrEqual(t, a.Between, p.Between)
		sum += (59*a.Between + 29*p.Between) / 88
		lifted, lowered = lifted+a.Between-all.Between, lowered+part.Between-p.Between
	}
	require.InDelta(t, 1, sum/layouts, 4.9*math.Sqrt(2*1.5*1.5/88/layouts))
	// Without further doubt half of all layouts come out the wrong way round: .5 ± 4.9·√(.25/400).
	require.InDelta(t, .5, float64(violated)/layouts, 4.9*math.Sqrt(.25/layouts))
	require.Greater(t, lifted, 0.0)
	require.Greater(t, lowered, 0.0)
}

// Draws of all doubt that happen to lie closer than luck alone would have them are pushed out to the pooled spread, and the chance of being better
// knows it.
func TestChanceKnowsThePartsSpread(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	all, part := drawnGroups(r, 40, 8, 0, 2), drawnGroups(r, 40, 8, 2, 2)
	for i := range all {
		all[i].SumSq += 2*.5*all[i].Sum + all[i].N*.25
		all[i].Sum += .5 * all[i].N // half above none on average
	}
	a, p := SpreadBoth(all, part, .8)
	require.Equal(t, a.SD, p.SD)
	require.True(t, a.Resolved)
	require.InDelta(t, 2*1.2816*a.SD, a.Width(), .35*2*1.2816*a.SD) // 80 % of a normal; quantiles of 40 draws are good to about a tenth each
	alone, with := Better(all, false), BetterOf(all, part, false)
	require.Greater(t, alone.Value, .8)
	require.Less(t, with.Value, .75)
	require.Greater(t, with.Value, .5)
}
