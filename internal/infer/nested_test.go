package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

func TestQuantilesOfType6(t *testing.T) {
	// Hyndman & Fan 1996, definition 6: of 1 … 9 the p-quantile is 10p, held to the range.
	nine := []float64{9, 3, 1, 8, 2, 7, 4, 6, 5}
	limits(t, "80 %", Central(nine, .8), 1, 9, 1e-12)
	limits(t, "50 %", Central(nine, .5), 2.5, 7.5, 1e-12)
	wide := Central(nine, .95)
	limits(t, "95 %", wide, 1, 9, 0)
	require.Equal(t, []string{"9 draws are too few for this level: the bounds are their whole range"}, wide.Warnings)
	require.Equal(t, 5.0, wide.Centre)
	require.Equal(t, []float64{9, 3, 1, 8, 2, 7, 4, 6, 5}, nine) // not sorted in place
	// Equal draws stand at their mean ranks, here 2 and 5 of 1 … 6: 7·0.4 = 2.8 lies at 0.8/3 of the way, 7·0.6 at 2.2/3.
	ties := Central([]float64{0, 1, 0, 1, 0, 1}, .2)
	limits(t, "ties", ties, .8/3, 2.2/3, 1e-12)
	limits(t, "all alike", Central([]float64{4, 4, 4}, .5), 4, 4, 0)
	require.Panics(t, func() { Central([]float64{1}, .9) })
}

// A further draw falls inside with the level's probability, whatever the distribution: exact on the uniform scale, where interpolation
// between order statistics has the expectation p.
func TestCentralHoldsAFurtherDraw(t *testing.T) {
	for _, k := range []int{19, 39, 200} {
		var content Group
		r := random(uint64(k))
		draws := make([]float64, k)
		for range 2000 {
			for i := range draws {
				draws[i] = r.Float64()
			}
			content.Add(Central(draws, .9).Width())
		}
		near(t, "content", content, .9, 0)
	}
}

func TestShrunkHaveTheSpreadBetween(t *testing.T) {
	groups := groupsOf(dyestuff...)
	s := Shrunk(groups)
	relative(t, "variance", stat.Variance(s, nil), 1764.05, 1e-9) // of the dyestuff batches; see TestDyestuff
	relative(t, "mean", stat.Mean(s, nil), 1527.5, 1e-9)
}

// The simulation interval covers the true mean with its level: exactly for normal values, and nearly for skewed ones.
func TestSimulationCovers(t *testing.T) {
	for _, c := range []struct{ k, n int }{{5, 4}, {30, 20}, {100, 2}} {
		hits := 0
		for r := range 2000 {
			if Split(normalGroups(uint64(r)+5000, c.k, c.n, 1, 2)).Simulation(.95).Holds(0) {
				hits++
			}
		}
		covers(t, "normal", hits, 2000, .95, 0)
	}
	for _, c := range []struct {
		k, n int
		a, b float64
	}{{50, 20, 6, 4}, {100, 20, 1, 9}, {200, 5, 2, 2}} {
		hits := 0
		for r := range 2000 {
			if Split(betaGroups(uint64(r), c.k, c.n, c.a, c.b, 0)).Simulation(.95).Holds(c.a / (c.a + c.b)) {
				hits++
			}
		}
		// Student's t of skewed draw means misses by about skewness²/K or less: allowed 0.5 %.
		covers(t, "beta-binomial", hits, 2000, .95, .005)
	}
}

// betaGroups are k draws with chances Beta(a, b), each with n bouts of values 1-off or -off.
func betaGroups(seed uint64, k, n int, a, b, off float64) []Group {
	src := rand.NewPCG(seed, 0x62657461)
	out := make([]Group, k)
	for i := range out {
		hits := distuv.Binomial{N: float64(n), P: distuv.Beta{Alpha: a, Beta: b, Src: src}.Rand(), Src: src}.Rand()
		miss := float64(n) - hits
		out[i] = Group{float64(n), hits*(1-off) - miss*off, hits*(1-off)*(1-off) + miss*off*off}
	}
	return out
}

// The interval over shrunken draws against the known distribution of true expected values, N(0, 1): how much of it the interval holds, in
// expectation over replicates. Were τ known it would be the level exactly (type 6). An estimated τ loses ½·C″·Var τ̂/τ², C(s) = 2Φ(zs)-1,
// C″ = -2z³φ(z), Var τ̂ ≈ Var τ̂²/4: at 90 % z = 1.645, C″ = -0.918, and Var τ̂² of TestTwoLevels' formula.
func TestSpreadHoldsTheTrueDraws(t *testing.T) {
	for _, c := range []struct {
		k, n  int
		sigma float64
	}{{100, 20, 2}, {400, 10, 2}, {400, 20, 5}} {
		var content, sd Group
		for r := range 1000 {
			s := Spread(normalGroupsFast(uint64(r)+9000, c.k, c.n, 1, c.sigma), .9)
			content.Add(distuv.UnitNormal.CDF(s.High) - distuv.UnitNormal.CDF(s.Low))
			sd.Add(s.SD * s.SD)
		}
		n, k, ss := float64(c.n), float64(c.k), c.sigma*c.sigma
		variance := 2 / (n * n) * (math.Pow(n+ss, 2)/(k-1) + ss*ss/(k*(n-1)))
		near(t, "content", content, .9-.918/2*variance/4, .002)
		near(t, "τ²", sd, 1, 0)
	}
}

// normalGroupsFast is normalGroups from its sufficient statistics: the mean, and σ²χ² on n-1 degrees of freedom.
func normalGroupsFast(seed uint64, k, n int, tau, sigma float64) []Group {
	src := rand.NewPCG(seed, 0x66617374)
	r := rand.New(src)
	chi := distuv.ChiSquared{K: float64(n - 1), Src: src}
	out := make([]Group, k)
	for i := range out {
		mean := tau*r.NormFloat64() + sigma*r.NormFloat64()/math.Sqrt(float64(n))
		out[i] = Group{float64(n), float64(n) * mean, sigma*sigma*chi.Rand() + float64(n)*mean*mean}
	}
	return out
}

// Chances Beta(a, b) seen in n bouts: the content of the interval is exact by the beta distribution. Shrinking restores mean and spread
// but not shape: content may be off by a hundredth. (Means of few bouts lie on a lattice, in the last case of steps of 0.4 τ; were equal draws
// not at their mean rank, its content would be 0.878.)
func TestSpreadOfChances(t *testing.T) {
	for _, c := range []struct {
		k, n int
		a, b float64
	}{{400, 20, 6, 4}, {400, 50, 12, 28}, {1000, 20, 30, 30}} {
		var content Group
		truth := distuv.Beta{Alpha: c.a, Beta: c.b}
		for r := range 400 {
			s := Spread(betaGroups(uint64(r)+77, c.k, c.n, c.a, c.b, 0), .9)
			content.Add(truth.CDF(s.High) - truth.CDF(s.Low))
		}
		near(t, "content", content, .9, .01)
	}
}

func TestUnresolved(t *testing.T) {
	alike := []Group{{4, 2, 2}, {4, 2, 2}, {4, 2, 2}}
	require.Equal(t, []float64{.5, .5, .5}, Shrunk(alike))
	s := Spread(alike, .9)
	require.False(t, s.Resolved)
	limits(t, "collapsed", s.Interval, .5, .5, 0)
	require.Equal(t, .5, Above([]float64{-1, 1, 0, 0}))

	// Groups that differ less than their luck, mean 0.25 ± 0.1: not 1 by its sign, but what Student's t says of the mean.
	groups := groupsOf([]float64{2, -1.5}, []float64{-2, 2.2}, []float64{3, -2.2})
	c := Split(groups)
	require.False(t, c.Resolved())
	p := Better(groups, false)
	require.False(t, p.Resolved)
	relative(t, "chance", p.Value, distuv.StudentsT{Sigma: 1, Nu: 2}.CDF(c.Mean/c.SE()), 1e-12)
	relative(t, "lower is better", Better(groups, true).Value, 1-p.Value, 1e-12)
	require.Len(t, p.Warnings, 2)
	sp := Spread(groups, .9)
	require.Len(t, sp.Warnings, 1)
	require.Greater(t, sp.AtMost, 0.0)

	equal := make([]Group, 40)
	for i := range equal {
		equal[i] = Group{20, 0, 0}
	}
	same := Better(equal, false) // equal plans differ by exactly zero
	require.Equal(t, Probability{Value: .5, Count: 40, Warnings: []string{"no difference in any bout"}}, same)
	require.Equal(t, 0.0, Spread(equal, .9).AtMost)
}

// Draws without luck and far from zero: a plain count, and an error that is not zero at a share of one.
func TestBetterCounts(t *testing.T) {
	groups := make([]Group, 100)
	for i := range groups {
		x := 10.0
		if i < 20 {
			x = -10
		}
		groups[i] = Group{2, 2 * x, 2 * x * x}
	}
	p := Better(groups, false)
	require.InDelta(t, .8, p.Value, 1e-6)
	for i := range groups {
		groups[i] = Group{2, 20 + float64(i%2), (20 + float64(i%2)) * (20 + float64(i%2)) / 2}
	}
	p = Better(groups, false)
	require.InDelta(t, 1, p.Value, 1e-9)
	relative(t, "error at one", p.SE, math.Sqrt(101./102*1/102/100), 1e-6)
}

// The chance that a draw's expected value is above zero, draws N(μ, τ²): Φ(μ/√(τ²+SE²)) by the smoothing, within O(1/K). The standard error
// told must be the spread over replicates, to a tenth.
func TestBetterIsRight(t *testing.T) {
	for _, c := range []struct {
		k, n      int
		mu, sigma float64
	}{{200, 20, .5, 2}, {400, 20, 1, 5}, {200, 10, 0, 1}} {
		var values, told Group
		for r := range 300 {
			groups := normalGroupsFast(uint64(r)+400, c.k, c.n, 1, c.sigma)
			for i, g := range groups {
				groups[i] = Group{g.N, g.Sum + c.mu*g.N, g.SumSq + 2*c.mu*g.Sum + c.mu*c.mu*g.N}
			}
			p := Better(groups, false)
			values.Add(p.Value)
			told.Add(p.SE)
		}
		se2 := (1 + c.sigma*c.sigma/float64(c.n)) / float64(c.k)
		near(t, "chance", values, distuv.UnitNormal.CDF(c.mu/math.Sqrt(1+se2)), .004)
		seen := math.Sqrt(values.squares() / 299)
		t.Logf("standard error: told %.5f, seen %.5f", told.Mean(), seen)
		// A spread from 300 replicates has the relative standard error 1/√600 = 0.041, 4.9 of which are 0.2.
		require.InEpsilon(t, seen, told.Mean(), .2)
	}
}

// The same for chances: Beta(6, 4) above ½ has an exact probability. Shape and lattice are off by what shrinking cannot restore.
func TestBetterOfChances(t *testing.T) {
	var values Group
	for r := range 300 {
		values.Add(Better(betaGroups(uint64(r), 400, 20, 6, 4, .5), false).Value)
	}
	near(t, "chance", values, distuv.Beta{Alpha: 6, Beta: 4}.Survival(.5), .02)
}

// Over a sweep of τ from nothing to much the chance moves without a jump, although draws go from unresolved to resolved.
func TestBetterHasNoJump(t *testing.T) {
	groups := normalGroupsFast(3, 200, 20, 0, 2)
	last := -1.0
	for step := range 400 {
		spread := float64(step) / 1000
		moved := make([]Group, len(groups))
		for i, g := range groups {
			d := spread*float64(i%2*2-1) + .02
			moved[i] = Group{g.N, g.Sum + d*g.N, g.SumSq + 2*d*g.Sum + d*d*g.N}
		}
		p := better(Split(moved), moved)
		if last >= 0 {
			require.InDelta(t, last, p, .02, "at %v", spread)
		}
		last = p
	}
}
