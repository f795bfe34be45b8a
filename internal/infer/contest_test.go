package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// contestant is a nest of options on the same luck: truths normal around means with independent deviations tau, bouts with a common and an own part.
func contestants(seed uint64, draws, bouts int, means []float64, tau, sigma float64) [][]Pairs {
	r := random(seed)
	k := len(means)
	values := make([][][]float64, draws)
	for d := range values {
		truth := make([]float64, k)
		for i := range truth {
			truth[i] = means[i] + tau*r.NormFloat64()
		}
		for range bouts {
			luck := 2 * r.NormFloat64()
			row := make([]float64, k)
			for i := range row {
				row[i] = truth[i] + luck + sigma*r.NormFloat64()
			}
			values[d] = append(values[d], row)
		}
	}
	out := make([][]Pairs, k*k)
	for i := range k {
		for j := range k {
			pairs := make([]Pairs, draws)
			for d := range values {
				for _, row := range values[d] {
					pairs[d].Add(row[i], row[j])
				}
			}
			out[i*k+j] = pairs
		}
	}
	return out
}

func contestOf(k int, pairs [][]Pairs) Contest {
	return Contend(k, func(i, j int) []Group {
		out := make([]Group, len(pairs[i*k+j]))
		for d, p := range pairs[i*k+j] {
			out[d] = p.Difference()
		}
		return out
	})
}

// Exact for two: with difference N(δ, 2τ²) between truths the chance of the first is Φ(δ/√2τ) and what knowing wins over taking it √2τ·Ψ(δ/√2τ).
// 60 nests. Their simulation error moves the chance towards ½ by no more than .02 here (variance 2(τ²+σ²/n)/K = .0034 beside 2τ² = .18).
func TestContestOfTwo(t *testing.T) {
	const tau, sigma, delta, draws, bouts = .3, 1.5, .2, 200, 16
	sd := math.Sqrt2 * tau
	var chance, loss, raw, chanceError, lossError Group
	for i := range 60 {
		pairs := contestants(uint64(i), draws, bouts, []float64{delta, 0}, tau, sigma)
		c := contestOf(2, pairs)
		chance.Add(c.Chance[0])
		loss.Add(c.Loss[0] - c.Simulation[0])
		chanceError.Add(c.ChanceError[0])
		lossError.Add(c.LossError[0])
		require.InDelta(t, 1, c.Chance[0]+c.Chance[1], 1e-9)
		wins := 0.0
		for _, p := range pairs[1] {
			wins += step(p.Difference().Mean()) / draws
		}
		raw.Add(wins)
	}
	exact := distuv.UnitNormal.CDF(delta / sd)
	s := delta / sd
	exactLoss := sd * (distuv.UnitNormal.Prob(s) - s*distuv.UnitNormal.CDF(-s))
	near(t, "chance", chance, exact, .02)
	near(t, "what knowing wins", loss, exactLoss, .01)
	// Counting raw draws is off by far more: their spread is √(2τ²+2σ²/n), not √2·τ.
	naive := distuv.UnitNormal.CDF(delta / math.Sqrt(2*tau*tau+2*sigma*sigma/bouts))
	near(t, "raw count", raw, naive, .002)
	require.Greater(t, exact-naive, .05)
	// The standard errors say how far nests differ: a variance of 60 values is good to √(2/59) = .18, 4.9 of it .9; and a jackknife of 20 blocks
	// to √(2/19)/√60 on average. So within a factor of √1.9.
	for what, e := range map[string][2]Group{"chance": {chance, chanceError}, "loss": {loss, lossError}} {
		spread := math.Sqrt(e[0].squares() / 59)
		t.Logf("%s: standard error told %.4f, found %.4f", what, e[1].Mean(), spread)
		require.InDelta(t, 0, math.Log(e[1].Mean()/spread), math.Log(1.9)/2, what)
	}
}

// Many equal options: each is best with 1/k, and knowing wins τ·E[highest of k normals] (exact: 1.02938 for four; Teichroew 1956, Ann. Math. Stat.
// 27, 410–426). The raw highest of noisy means would promise more.
func TestContestOfEquals(t *testing.T) {
	const tau, sigma, draws, bouts = .4, 1.5, 200, 16
	var loss, raw, first Group
	for i := range 40 {
		pairs := contestants(100+uint64(i), draws, bouts, make([]float64, 4), tau, sigma)
		c := contestOf(4, pairs)
		best := math.Inf(1)
		for j := range 4 {
			best = min(best, c.Loss[j]-c.Simulation[j])
		}
		loss.Add(c.Remaining)
		first.Add(c.Chance[0])
		highest := 0.0
		for d := range draws {
			h := 0.0
			for j := 1; j < 4; j++ {
				h = max(h, -pairs[j][d].Difference().Mean())
			}
			highest += h / draws
		}
		raw.Add(highest)
	}
	const highest = 1.02938
	near(t, "chance of the first", first, .25, 0)
	// Means that are known up to v = (τ²+σ²/n)/K have by luck and by doubt a highest one of √2v·highest, which knowing the truth does not win.
	v := (tau*tau + sigma*sigma/bouts) / draws
	near(t, "what knowing wins", loss, highest*(math.Sqrt(tau*tau+2*v)-math.Sqrt(2*v)), .01)
	require.Greater(t, raw.Mean(), tau*highest*1.2)
}

// Exact: options that are the same share the chance of being best, and lose nothing against each other.
func TestContestOfTwins(t *testing.T) {
	pairs := contestants(5, 60, 8, []float64{0, 1}, .3, 1)
	source := []int{0, 1, 1} // the third is the second again
	c := Contend(3, func(i, j int) []Group {
		out := make([]Group, 60)
		for d := range out {
			if source[i] == source[j] {
				out[d] = Group{N: 8}
				continue
			}
			out[d] = pairs[source[i]*2+source[j]][d].Difference()
		}
		return out
	})
	require.InDelta(t, c.Chance[1], c.Chance[2], 1e-12)
	require.InDelta(t, c.Loss[1], c.Loss[2], 1e-9)
	require.InDelta(t, 1, c.Chance[0]+c.Chance[1]+c.Chance[2], 1e-9)

	// Draws that do not differ by more than luck leave what the means know.
	flat := contestOf(2, contestants(11, 50, 8, []float64{.1, 0}, 0, 1))
	for seed := uint64(12); flat.Resolved; seed++ {
		flat = contestOf(2, contestants(seed, 50, 8, []float64{.1, 0}, 0, 1))
	}
	require.InDelta(t, 1, flat.Chance[0]+flat.Chance[1], 1e-9)
	require.Equal(t, 0.0, flat.Remaining)

	same := Contend(2, func(int, int) []Group { return []Group{{N: 4}, {N: 4}, {N: 4}} })
	require.Equal(t, []float64{.5, .5}, same.Chance)
	require.Equal(t, 0.0, same.Remaining)
	require.False(t, same.Resolved)
}
