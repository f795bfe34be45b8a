package infer

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func payoffs(t *testing.T, rows string) (out [][]float64) {
	t.Helper()
	for _, row := range strings.Split(rows, "/") {
		var line []float64
		for _, word := range strings.Fields(row) {
			x, err := strconv.ParseFloat(word, 64)
			require.NoError(t, err)
			line = append(line, x)
		}
		out = append(out, line)
	}
	return out
}

func mixOf(t *testing.T, words string) []float64 {
	var out []float64
	for _, word := range strings.Fields(words) {
		top, bottom, ratio := strings.Cut(word, "/")
		x, err := strconv.ParseFloat(top, 64)
		require.NoError(t, err)
		if ratio {
			y, err := strconv.ParseFloat(bottom, 64)
			require.NoError(t, err)
			x /= y
		}
		out = append(out, x)
	}
	return out
}

// best requires mixtures that guarantee the value on both sides: several may, so that they are not compared with the printed ones.
func best(t *testing.T, what string, pay [][]float64, value float64) Game {
	t.Helper()
	g, err := SolveGame(pay)
	require.NoError(t, err, what)
	require.InDelta(t, value, g.Value, 1e-9*max(1, math.Abs(value)), what)
	low, _ := Guarantee(pay, g.Row)
	high, _ := Ceiling(pay, g.Column)
	require.InDelta(t, value, low, 1e-9*max(1, math.Abs(value)), what)
	require.InDelta(t, value, high, 1e-9*max(1, math.Abs(value)), what)
	for _, mix := range [][]float64{g.Row, g.Column} {
		sum := 0.0
		for _, w := range mix {
			require.True(t, w >= 0 && w <= 1, what)
			sum += w
		}
		require.InDelta(t, 1, sum, 1e-12, what)
	}
	return g
}

// Published games, each row with its source. The printed mixtures guarantee the printed value, too, or the row would be wrong.
func TestPublishedGames(t *testing.T) {
	file, err := os.Open("testdata/games.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	records, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, records, 15)
	for _, rec := range records[1:] {
		what, pay := rec[0]+", "+rec[1], payoffs(t, rec[2])
		value := mixOf(t, rec[3])[0]
		best(t, what, pay, value)
		low, _ := Guarantee(pay, mixOf(t, rec[4]))
		high, _ := Ceiling(pay, mixOf(t, rec[5]))
		require.InDelta(t, value, low, 1e-9*max(1, math.Abs(value)), what)
		require.InDelta(t, value, high, 1e-9*max(1, math.Abs(value)), what)
	}
}

// morra is n-finger Morra: plays are (show, guess), who alone guesses the sum shown wins it. The classical game, exact.
func morra(n int) (pay [][]float64) {
	for a := range n * n {
		var row []float64
		for b := range n * n {
			sum := float64(a/n + b/n + 2)
			row = append(row, sum*(is(a%n == b/n)-is(b%n == a/n)))
		}
		pay = append(pay, row)
	}
	return pay
}

// Classical games made by their rules, exact: values and mixtures of checks J10.6, J10.7, J10.15 (Mendelsohn 1946; Ferguson, Game Theory, from
// memory), J10.27.
func TestClassicalGames(t *testing.T) {
	best(t, "three-finger Morra", morra(3), 0)
	published := []float64{2: 5. / 12, 4: 4. / 12, 6: 3. / 12, 8: 0} // (1,3), (2,2), (3,1); not the only best mixture
	low, _ := Guarantee(morra(3), published)
	require.InDelta(t, 0, low, 1e-12)
	ranges, err := Nearly(morra(3), -1e-6*12)
	require.NoError(t, err)
	for play, share := range published {
		require.True(t, ranges[play].Low-1e-9 <= share && share <= ranges[play].High+1e-9, play)
	}
	best(t, "two-finger Morra", morra(2), 0)
	mendelsohn := make([][]float64, 100)
	for i := range mendelsohn {
		mendelsohn[i] = make([]float64, 100)
		for j := range mendelsohn {
			mendelsohn[i][j] = [...]float64{2, -1, 0, 1, -2}[min(max(i-j, -2), 2)+2]
		}
	}
	g := best(t, "Mendelsohn", mendelsohn, 0)
	require.InDeltaSlice(t, []float64{.25, .5, .25}, g.Row[:3], 1e-9)
	for soldiers, plays := range map[int]int{3: 10, 4: 15, 5: 21, 6: 28} {
		pay := blotto(soldiers)
		require.Len(t, pay, plays)
		best(t, "Blotto", pay, 0)
	}
}

// blotto is the symmetric game over three fields: the sign of fields won less fields lost.
func blotto(n int) (pay [][]float64) {
	var plays [][3]int
	for a := range n + 1 {
		for b := range n - a + 1 {
			plays = append(plays, [3]int{a, b, n - a - b})
		}
	}
	for _, p := range plays {
		var row []float64
		for _, q := range plays {
			sum := 0.0
			for f := range p {
				sum += is(p[f] > q[f]) - is(p[f] < q[f])
			}
			row = append(row, is(sum > 0)-is(sum < 0))
		}
		pay = append(pay, row)
	}
	return pay
}

// Exact: a saddle point is found as one, and uniform play in the weighted game of J10.17 can be exploited by 2/3 in all (check J10.30).
func TestSaddleAndExploit(t *testing.T) {
	g := best(t, "saddle", payoffs(t, "2 1 / 2 3"), 2)
	require.True(t, g.Saddle)
	require.Equal(t, []float64{0, 1}, g.Row)
	require.Equal(t, []float64{1, 0}, g.Column)
	pay := payoffs(t, "0 -1 2 / 1 0 -3 / -2 3 0")
	g = best(t, "weighted", pay, 0)
	require.False(t, g.Saddle)
	third := []float64{1. / 3, 1. / 3, 1. / 3}
	low, reply := Guarantee(pay, third)
	high, answer := Ceiling(pay, third)
	require.InDelta(t, 0.6666666666666667, high-low, 1e-12)
	require.InDelta(t, low, Against(pay, third, reply), 0)
	require.Contains(t, []int{0, 2}, reply, "two replies hold it lowest, by 1/3")
	require.Equal(t, low, -high, "and what they do to the other side is the same")
	require.Contains(t, []int{0, 2}, answer)
}

// Exact: in two-finger Morra the share of (1,2) may lie from 4/7 to 3/5 and that of (2,1) is the rest (classical; check J10.6). A level
// of 8e-6 below the value moves an end by no more than seven times that: each share loses at least 1/7 of what it is moved by.
func TestSeveralBestMixtures(t *testing.T) {
	pay := morra(2)
	ranges, err := Nearly(pay, 0-1e-6*8)
	require.NoError(t, err)
	for i, want := range []Range{{0, 0}, {4. / 7, 3. / 5}, {2. / 5, 3. / 7}, {0, 0}} {
		require.InDelta(t, want.Low, ranges[i].Low, 6e-5, i)
		require.InDelta(t, want.High, ranges[i].High, 6e-5, i)
	}
	all, err := Nearly(payoffs(t, "7 7 / 7 7"), 7)
	require.NoError(t, err)
	require.Equal(t, []Range{{0, 1}, {0, 1}}, all, "any mixture is best")
	_, err = Nearly(pay, 1)
	require.Error(t, err, "nobody gets more than the value")
}

// Laws of any game, on payoffs with many ties: the value and its proof; a game seen from the other side has the value's opposite; the best
// mixture lies within the ranges of the best; a plan that is twice there changes nothing.
func TestGameLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows, columns := rapid.IntRange(1, 7).Draw(t, "rows"), rapid.IntRange(1, 7).Draw(t, "columns")
		pay, turned := make([][]float64, rows), make([][]float64, columns)
		for i := range pay {
			pay[i] = make([]float64, columns)
			for j := range pay[i] {
				pay[i][j] = float64(rapid.IntRange(-3, 3).Draw(t, "pay"))
				turned[j] = append(turned[j], -pay[i][j])
			}
		}
		g, err := SolveGame(pay)
		require.NoError(t, err)
		require.LessOrEqual(t, g.Gap, 6*gapAllowed)
		back, err := SolveGame(turned)
		require.NoError(t, err)
		require.InDelta(t, -g.Value, back.Value, 1e-8)
		twice, err := SolveGame(append(pay, pay[0]))
		require.NoError(t, err)
		require.InDelta(t, g.Value, twice.Value, 1e-8)
		ranges, err := Nearly(pay, g.Value-6e-6)
		require.NoError(t, err)
		for i, r := range ranges {
			require.True(t, g.Row[i] >= r.Low-1e-6 && g.Row[i] <= r.High+1e-6)
		}
	})
}

// A caller's bug panics; payoffs that are not finite are an error.
func TestGameFaults(t *testing.T) {
	for _, pay := range [][][]float64{nil, {{}}, {{1, 2}, {3}}} {
		require.Panics(t, func() { _, _ = SolveGame(pay) })
	}
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, err := SolveGame([][]float64{{1, 0}, {0, x}})
		require.ErrorContains(t, err, "finite")
	}
}
