package workload

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"whatbout/sim/kernel"
)

func TestKernelIsItsTwin(t *testing.T) {
	ps, err := Programs()
	require.NoError(t, err)
	for i := range uint64(300) {
		key := kernel.NewKey(7, i)
		require.Equal(t, ps[1].Run(key), ps[0].Run(key), "replication %d", i)
	}
}

// expected returns the exact means of actions and successes from 0 to a time in seconds: both agents' modes form a Markov chain of 25
// states with generator Q and reward rates R, and ∫ e^(Qt) R dt is the upper right part of the exponential of [[Q, R], [0, 0]].
func expected(f *figures, seconds float64) (acts, successes float64) {
	const states = modes * modes
	g := mat.NewDense(states+2, states+2, nil)
	put := func(i, j int, x float64) { g.Set(i, j, g.At(i, j)+x*seconds) }
	for s := range states {
		m := [agents]int{s / modes, s % modes}
		for agent := range agents {
			rate := f.rate[m[agent]]
			put(s, s, -rate)
			put(s, states, rate)
			for next, p := range f.next[m[agent]] {
				to := m
				to[agent] = next
				put(s, to[0]*modes+to[1], rate*p)
			}
			for a, p := range f.action[m[agent]] {
				for b, q := range f.response[m[1-agent]] {
					put(s, states+1, rate*p*q*f.success[m[agent]][a][b])
				}
			}
		}
	}
	var e mat.Dense
	e.Exp(g)
	return e.At(0, states), e.At(0, states+1)
}

func TestEveryProgramHasTheExactMeans(t *testing.T) {
	f := newFigures()
	acts, successes := expected(f, 900)
	begun, _ := expected(f, 900-f.delay) // resolves that end in time began before; the rate is stationary by then
	ps, err := Programs()
	require.NoError(t, err)
	const n = 1500
	for _, p := range ps {
		var sums, squares [4]float64
		for i := range uint64(n) {
			r := p.Run(kernel.NewKey(8, i))
			require.LessOrEqual(t, r.dropped, uint64(1))
			for j, x := range []uint64{r.actions, r.successes, r.resolves, r.good} {
				sums[j] += float64(x)
				squares[j] += float64(x) * float64(x)
			}
		}
		for j, exact := range []float64{acts, successes, f.resolve * begun, f.good * f.resolve * begun} {
			mean := sums[j] / n
			se := math.Sqrt((squares[j]/n - mean*mean) / (n - 1))
			require.Positive(t, se)
			require.Less(t, math.Abs(mean-exact), 4.9*se, "%s, count %d: %g, want %g", p.Name, j, mean, exact)
		}
	}
}

func TestKernelTakesNoMemory(t *testing.T) {
	ps, err := Programs()
	require.NoError(t, err)
	for _, i := range []int{0, 2} {
		require.Zero(t, testing.AllocsPerRun(5, func() { ps[i].Run(kernel.NewKey(9)) }), ps[i].Name)
	}
}

func BenchmarkPrograms(b *testing.B) {
	ps, err := Programs()
	if err != nil {
		b.Fatal(err)
	}
	for _, p := range ps {
		b.Run(p.Name, func(b *testing.B) {
			b.ReportAllocs()
			events := uint64(0)
			for i := range b.N {
				t := p.Run(kernel.NewKey(1, uint64(i)))
				events += t.Events()
			}
			b.ReportMetric(float64(events)/b.Elapsed().Seconds()/1e6, "Mevents/s")
		})
	}
}
