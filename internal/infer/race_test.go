package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// truths is a case with a known best: the next draw of all options.
type truths struct {
	name      string
	tolerance float64
	means     []float64
	draw      func(r *rand.Rand, out []float64)
}

// normals have a common part of standard deviation shared from draw to draw, and own ones.
func normals(name string, shared float64, sds, means []float64) truths {
	return truths{name, .02, means, func(r *rand.Rand, out []float64) {
		common := shared * r.NormFloat64()
		for i := range out {
			out[i] = means[i] + common + sds[i]*r.NormFloat64()
		}
	}}
}

// bernoulli are shares of bouts won out of 24 on luck that is partly common, which is what draws of a study are like: in half of the bouts one number
// decides for all options.
func bernoulli(name string, means ...float64) truths {
	return truths{name, .002, means, func(r *rand.Rand, out []float64) {
		clear(out)
		for range 24 {
			common, same := r.Float64(), r.Float64() < .5
			for i, p := range means {
				u := r.Float64()
				if same {
					u = common
				}
				if u < p {
					out[i] += 1. / 24
				}
			}
		}
	}}
}

func all(n int) (in []bool) {
	for range n {
		in = append(in, true)
	}
	return in
}

func repeatedly(x float64, n int) (out []float64) {
	for range n {
		out = append(out, x)
	}
	return out
}

// ran is a race that is over.
type ran struct {
	Standing
	values [][]float64
	looks  int
}

func (r *ran) played() (n int) {
	for _, v := range r.values {
		n += len(v)
	}
	return n
}

// run plays a race; equally gives all options the same draws, with the same rule for stopping.
func (c truths) run(r *rand.Rand, rule Race, equally bool) *ran {
	k := len(c.means)
	out, in := &ran{values: make([][]float64, k)}, all(k)
	var store [][]float64
	next := make([]int, k)
	for i := range next {
		next[i] = rule.First
	}
	for {
		for i, n := range next {
			for len(store) < n {
				row := make([]float64, k)
				c.draw(r, row)
				store = append(store, row)
			}
			for len(out.values[i]) < n {
				out.values[i] = append(out.values[i], store[len(out.values[i])][i])
			}
		}
		out.Standing = rule.Look(out.values, in)
		out.looks++
		if out.Next == nil {
			return out
		}
		next = out.Next
		if equally {
			n := int(math.Ceil(grow * float64(len(out.values[0]))))
			for i := range next {
				next[i] = n
			}
		}
	}
}

// holds reports whether the multiple comparisons with the best hold all true values, and the gain of the leader over the last option the true one,
// at levels that allow for the looks.
func (r *ran) holds(means []float64, level float64) (best, gain bool) {
	k := len(means)
	level = AnyLook(level, r.looks)
	mean := func(i, j int) (float64, float64, float64) {
		g := paired(r.values[i], r.values[j])
		return g.Mean(), math.Sqrt(g.squares() / (g.N - 1) / g.N), g.N - 1
	}
	low, high := Best(k, func(i, j int) float64 { m, _, _ := mean(i, j); return m }, func(i, j int) float64 {
		_, se, df := mean(i, j)
		return se * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(Together(level, k-1))
	})
	best = true
	for i := range k {
		other := math.Inf(-1)
		for j := range k {
			if j != i {
				other = max(other, means[j])
			}
		}
		best = best && low[i] <= means[i]-other && means[i]-other <= high[i]
	}
	m, se, df := mean(r.Leader, k-1)
	return best, math.Abs(m-means[r.Leader]+means[k-1]) <= se*studentQuantile(Together(level, k-1), df)
}

// The rule keeps its promise where the best is known: on average not more than the tolerance is given away, for normal and Bernoulli draws,
// paired and not, few options and many, gaps that are far larger, as large and smaller than the tolerance. 200 races a case; the tolerance of the test
// is 4.9 standard errors of the mean loss. It takes fewer draws than equal shares with the same rule for stopping, and intervals that allow for the looks
// hold what they say.
func TestRaceGivesAwayNoMoreThanAsked(t *testing.T) {
	slope := func(k int, step float64) (out []float64) {
		for i := range k {
			out = append(out, -step*float64(i))
		}
		return out
	}
	slippage := func(k int, gap float64) []float64 { return append([]float64{gap}, repeatedly(0, k-1)...) }
	gained := Group{}
	for _, c := range []truths{
		normals("two, gap six times the tolerance, where looking is most hopeful", 0, []float64{1, 1}, []float64{.12, 0}),
		normals("two, gap as the tolerance", 0, []float64{1, 1}, []float64{.02, 0}),
		normals("five, slippage", 0, repeatedly(1, 5), slippage(5, .2)),
		normals("five, slippage, paired", 3, repeatedly(1, 5), slippage(5, .1)),
		normals("five, slippage, near", 3, repeatedly(1, 5), slippage(5, .03)),
		normals("five, own variances", 1, []float64{.5, .5, 1, .5, 2}, slippage(5, .15)),
		normals("ten, evenly spaced", 1, repeatedly(1, 10), slope(10, .15)),
		normals("ten, two close", 1, repeatedly(1, 10), append([]float64{.02, 0}, repeatedly(-.3, 8)...)),
		normals("five, equal means", 1, repeatedly(1, 5), repeatedly(0, 5)),
		bernoulli("Bernoulli, demo-like", .52, .505, .47, .46, .40),
		bernoulli("Bernoulli, slippage", .55, .5, .5, .5, .5, .5),
		bernoulli("Bernoulli, near the edge", .03, .02, .01),
	} {
		t.Run(c.name, func(t *testing.T) {
			rule := Race{Tolerance: c.tolerance, First: 30, Most: 100_000}
			best := c.means[0]
			for _, m := range c.means {
				best = max(best, m)
			}
			var loss, right, draws, equal Group
			const races = 200
			held, gains := 0, 0
			for i := range races {
				r := c.run(random(uint64(i)), rule, false)
				require.True(t, r.Reached)
				loss.Add(best - c.means[r.Leader])
				right.Add(boolFloat(c.means[r.Leader] == best))
				draws.Add(float64(r.played()))
				equal.Add(float64(c.run(random(uint64(i)), rule, true).played()))
				against, gain := r.holds(c.means, .95)
				held, gains = held+int(boolFloat(against)), gains+int(boolFloat(gain))
			}
			se := math.Sqrt(loss.squares() / (races - 1) / races)
			t.Logf("given away %.4f of %.4f (standard error %.4f); right %.3f; draws %.0f, equal shares %.0f: %.2f times", loss.Mean(), rule.Tolerance, se,
				right.Mean(), draws.Mean(), equal.Mean(), equal.Mean()/draws.Mean())
			require.LessOrEqual(t, loss.Mean(), rule.Tolerance+4.9*se)
			t.Logf("held: against the best %.3f, gain of the leader %.3f", float64(held)/races, float64(gains)/races)
			require.GreaterOrEqual(t, float64(held)/races, .95-4.9*.0154) // √(.95·.05/200) = .0154
			require.GreaterOrEqual(t, float64(gains)/races, .95-4.9*.0154)
			require.GreaterOrEqual(t, equal.Mean(), .9*draws.Mean(), "where all are alike there is nothing to win")
			gained.Add(math.Log(equal.Mean() / draws.Mean()))
		})
	}
	t.Logf("equal shares take %.2f times the draws (geometric mean of the cases)", math.Exp(gained.Mean()))
	require.Greater(t, gained.Mean(), math.Log(1.1))
}

// The plain way is a two-stage procedure on separate samples (Rinott 1978): to pick the best of five, ahead by .2 standard deviations, with a
// chance of 95 % it takes 5·(h/.2)² draws on average. The race picks it as often with fewer. 400 races, standard error √(.95·.05/400) = .011.
func TestRaceAgainstRinott(t *testing.T) {
	c := normals("five, slippage", 0, repeatedly(1, 5), []float64{.2, 0, 0, 0, 0})
	plain := 5 * math.Pow(Rinott(.95, 5, 29)/.2, 2)
	var right, draws Group
	for i := range 400 {
		r := c.run(random(uint64(i)), Race{Tolerance: .02, First: 30, Most: 100_000}, false)
		right.Add(boolFloat(r.Leader == 0))
		draws.Add(float64(r.played()))
	}
	t.Logf("right %.3f; draws %.0f, two-stage %.0f: %.2f times", right.Mean(), draws.Mean(), plain, plain/draws.Mean())
	require.GreaterOrEqual(t, right.Mean(), .95-4.9*.011)
	require.Less(t, draws.Mean(), plain)
}

// A race knows options that are the same, one that is alone, a limit that comes before the tolerance, and who is not in it.
func TestRaceAtItsEdges(t *testing.T) {
	r := random(3)
	values := make([][]float64, 3)
	for range 50 {
		x := r.NormFloat64()
		values[0], values[1], values[2] = append(values[0], x), append(values[1], x), append(values[2], x+100+.1*r.NormFloat64())
	}
	rule := Race{Tolerance: .01, First: 50, Most: 80}
	same := rule.Look(values, []bool{true, true, false})
	require.Equal(t, 0, same.Leader, "of equals the first")
	require.True(t, same.Reached)
	require.Zero(t, same.Total)
	require.Nil(t, same.Next)
	require.Equal(t, 2, rule.Look(values, all(3)).Leader)
	require.Equal(t, 1, rule.Look(values, []bool{false, true, false}).Leader)
	require.Panics(t, func() { rule.Look(values, make([]bool, 3)) })

	near := [][]float64{nil, nil}
	for range 80 {
		near[0], near[1] = append(near[0], r.NormFloat64()), append(near[1], r.NormFloat64())
	}
	stuck := rule.Look(near, all(2))
	require.False(t, stuck.Reached)
	require.Nil(t, stuck.Next)
	require.Greater(t, stuck.Needed, 80)
	more := rule.Look([][]float64{near[0][:50], near[1][:50]}, all(2))
	require.NotNil(t, more.Next)
	for _, n := range more.Next {
		require.LessOrEqual(t, n, 80)
	}
}
