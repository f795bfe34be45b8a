package infer

import (
	"encoding/json"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// published are rows of testdata/selection.json, each with its source there.
type published struct {
	ID, What, Source string
	Value            json.RawMessage
}

func (p published) values(t *testing.T) (out []float64) {
	t.Helper()
	if json.Unmarshal(p.Value, &out) != nil {
		out = make([]float64, 1)
		require.NoError(t, json.Unmarshal(p.Value, &out[0]))
	}
	return out
}

// rows gives the published rows of a kind, at least n of them.
func rows(t *testing.T, id string, n int) (out []published) {
	t.Helper()
	data, err := os.ReadFile("testdata/selection.json")
	require.NoError(t, err)
	var all []published
	require.NoError(t, json.Unmarshal(data, &all))
	for _, p := range all {
		if base, _, _ := strings.Cut(p.ID, "~"); base == id {
			out = append(out, p)
		}
	}
	require.GreaterOrEqual(t, len(out), n)
	return out
}

// after reads the number behind a word of a row's description.
func numberAfter(t *testing.T, what, word string) float64 {
	t.Helper()
	_, rest, found := strings.Cut(what, word)
	require.True(t, found, "%q in %q", word, what)
	text := strings.FieldsFunc(rest, func(r rune) bool { return r == ' ' || r == ',' })[0]
	if text == "inf" {
		return math.Inf(1)
	}
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return x
}

// Rinott (1978); Bechhofer, Santner & Goldsman (1995), Table 2.13; rows to 1e-5 as computed, the three of a library's self-test as printed.
func TestRinott(t *testing.T) {
	for _, p := range rows(t, "G7.1t", 9) {
		for i, k := range []int{2, 3, 4, 5, 10} {
			h := Rinott(numberAfter(t, p.What, "P*="), k, numberAfter(t, p.What, "n0=")-1)
			require.InDelta(t, p.values(t)[i], h, 1e-5, "%s, k = %d", p.What, k)
		}
	}
	for _, p := range rows(t, "G7.1", 3) {
		h := Rinott(numberAfter(t, p.What, "P*="), int(numberAfter(t, p.What, "k=")), numberAfter(t, p.What, "nu="))
		require.InDelta(t, p.values(t)[0], h, 1e-5, p.What)
	}
}

// Dunnett (1955, 1964): critical values at 5 %, one to five comparisons. The digits behind the two printed ones are computed, and for finite df only
// good to 2e-4: for one comparison the value is Student's quantile (exact), which they miss by as much.
func TestDunnett(t *testing.T) {
	for id, of := range map[string]func(float64, int, float64) float64{"G7.7o": Dunnett, "G7.7": DunnettBothSides} {
		for _, p := range rows(t, id, 3) {
			for i, want := range p.values(t) {
				require.InDelta(t, want, of(.95, i+1, numberAfter(t, p.What, "df=")), 2e-4, "%s, k = %d", p.What, i+1)
			}
		}
	}
}

// Exact: one comparison is Student's t; more need more, but less than independent ones (Šidák 1967).
func TestDunnettExact(t *testing.T) {
	for _, df := range []float64{3, 5, 27, 99} {
		student := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
		require.InDelta(t, student.Quantile(.95), Dunnett(.95, 1, df), 1e-7)
		require.InDelta(t, student.Quantile(.975), DunnettBothSides(.95, 1, df), 1e-7)
	}
	for k := 2; k < 10; k++ {
		d := DunnettBothSides(.95, k, math.Inf(1))
		require.Less(t, d, distuv.UnitNormal.Quantile((1+math.Pow(.95, 1/float64(k)))/2), "correlated comparisons need less than independent ones")
		require.Greater(t, d, DunnettBothSides(.95, k-1, math.Inf(1)))
	}
}

// Hsu's multiple comparisons with the best, smaller being better there: means 10, 11.2, 13, standard deviation 2, ten values each. Tolerances are
// those of the row's Dunnett value (see TestDunnett).
func TestBest(t *testing.T) {
	want := rows(t, "G7.12", 1)[0].values(t)
	d := Dunnett(.95, 2, 27)
	require.InDelta(t, want[0], d, 3e-5)
	w := d * 2 * math.Sqrt(2./10)
	require.InDelta(t, want[1], w, 3e-5)
	means := []float64{10, 11.2, 13}
	low, high := Best(3, func(i, j int) float64 { return means[j] - means[i] }, func(int, int) float64 { return w })
	for i := range means { // the row is of the value less the best of the others, so that signs and bounds change places
		require.InDelta(t, want[2+i], -high[i], 3e-5)
		require.InDelta(t, want[5+i], -low[i], 3e-5)
	}
}

// Exact: of options that are told apart the best one's lower bound is 0 and no other's upper bound is above 0.
func TestBestTellsOneApart(t *testing.T) {
	means := []float64{3, 1, 2}
	low, high := Best(3, func(i, j int) float64 { return means[i] - means[j] }, func(int, int) float64 { return .25 })
	require.Equal(t, []float64{0, -2.25, -1.25}, low)
	require.Equal(t, []float64{1.25, 0, 0}, high)
}

// The intervals hold all true values together in 95 % at least, for independent equal samples with Dunnett's value, whatever the means. Least
// favourable is one option far ahead of equal ones, where it is Dunnett's own statement; 4000 cases, standard error √(.95·.05/4000) = .0034.
func TestBestCovers(t *testing.T) {
	const cases, n = 4000, 6
	for _, means := range [][]float64{{5, 0, 0, 0}, {0, 1, 1, .3}} {
		r := random(71)
		w := Dunnett(.95, 3, 4*(n-1))
		hits := 0
		for range cases {
			groups := make([]Group, 4)
			pooled := 0.0
			for i := range groups {
				for range n {
					groups[i].Add(means[i] + r.NormFloat64())
				}
				pooled += groups[i].squares() / (4 * (n - 1))
			}
			half := w * math.Sqrt(pooled*2/n)
			low, high := Best(4, func(i, j int) float64 { return groups[i].Mean() - groups[j].Mean() }, func(int, int) float64 { return half })
			all := true
			for i := range means {
				best := math.Inf(-1)
				for j := range means {
					if j != i {
						best = max(best, means[j])
					}
				}
				all = all && low[i] <= means[i]-best && means[i]-best <= high[i]
			}
			if all {
				hits++
			}
		}
		t.Logf("means %v: covered %.4f", means, float64(hits)/cases)
		require.GreaterOrEqual(t, float64(hits)/cases, .95-4.9*.0034)
	}
}

// Exact: E max(0, se·T - gap), by adding up Student's density.
func TestExpectedLoss(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gap, se, df := rapid.Float64Range(-3, 3).Draw(t, "gap"), rapid.Float64Range(.1, 2).Draw(t, "se"), rapid.Float64Range(3, 99).Draw(t, "df")
		d := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
		sum := 0.0
		const steps = 20000
		for i := range steps { // in x = tan u, so that the tails are in it
			u := (float64(i)+.5)/steps*math.Pi - math.Pi/2
			x := math.Tan(u)
			sum += max(se*x-gap, 0) * d.Prob(x) * (1 + x*x) * math.Pi / steps
		}
		require.InDelta(t, sum, ExpectedLoss(gap, se, df), 2e-4)
	})
	// Equal means: se·φ(0) in the limit. Without error nothing is lost but what is seen.
	require.InDelta(t, 1/math.Sqrt(2*math.Pi), ExpectedLoss(0, 1, 1e6), 1e-6)
	require.Equal(t, 0.0, ExpectedLoss(1, 0, 9))
	require.Equal(t, 2.0, ExpectedLoss(-2, 0, 9))
}
