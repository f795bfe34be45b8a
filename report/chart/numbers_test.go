package chart

import (
	"encoding/csv"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Whatever the shares, whole numbers of a hundred come out, the first is the nearest, and none is off by one or more from its part of what
// the first leaves.
func TestHundred(t *testing.T) {
	require.Equal(t, []int{47, 51, 2}, Hundred(.471, .508, .021))
	require.Equal(t, []int{100, 0}, Hundred(1, 0))
	require.Equal(t, []int{0, 50, 50}, Hundred(0, .5, .5))
	require.Empty(t, Hundred())
	rapid.Check(t, func(t *rapid.T) {
		raw := rapid.SliceOfN(rapid.Float64Range(0, 1), 2, 8).Draw(t, "shares")
		total := 0.0
		for _, x := range raw {
			total += x
		}
		if total == 0 {
			return
		}
		for i := range raw {
			raw[i] /= total
		}
		got, sum := Hundred(raw...), 0
		for i, n := range got {
			require.GreaterOrEqual(t, n, 0)
			require.InDelta(t, 100*raw[i], n, 1.51)
			sum += n
		}
		require.Equal(t, 100, sum)
		require.InDelta(t, 100*raw[0], got[0], .5+1e-9)
	})
}

// Exact: the quantiles at (i+½)/n of 1 to 100 are the means of the hundredths' middles: ten of them are 5.5, 15.5, …
func TestQuantiles(t *testing.T) {
	values := make([]float64, 100)
	for i := range values {
		values[i] = float64(100 - i)
	}
	q := Quantiles(values, 10)
	for i, x := range q {
		require.InDelta(t, 5.5+10*float64(i), x, 1e-9)
	}
	require.Equal(t, []float64{3, 3}, Quantiles([]float64{3}, 2))
	require.Nil(t, Quantiles(nil, 3))
}

func TestSteps(t *testing.T) {
	for span, want := range map[float64]float64{10: 2, 7: 1, 8: 1, .9: .2, 31: 5, 0: 1} {
		require.InDelta(t, want, step(span, 8), 1e-12, span)
	}
	s, ticks := around(-3.2, 4.1, 8, 0, 100)
	require.InDeltaSlice(t, []float64{-4, -3, -2, -1, 0, 1, 2, 3, 4, 5}, ticks, 1e-9)
	require.Equal(t, 0.0, s.at(-4))
	require.Equal(t, 100.0, s.at(5))
	require.Equal(t, 1, digitsOf(.2))
	require.Equal(t, 0, digitsOf(1))
	require.Equal(t, 2, digitsOf(.05))
}

func TestFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.StringMatching(`[a-zé ]{0,80}`).Draw(t, "words")
		width := rapid.Float64Range(30, 400).Draw(t, "width")
		for _, line := range append(fit(words, width), short(words, width)) {
			require.LessOrEqual(t, widthOf(line), max(width, 4*7.2)+14.4)
		}
	})
}

// A table is read back as it was, but for cells that a spreadsheet would run.
func TestDownload(t *testing.T) {
	table := Table{Head: []string{"plan", "difference"}, Rows: [][]string{{`=HYPERLINK("x")`, "\u22124.5"}, {"@a, \"b\"\nc", "+1.2"}, {"-", "−"}}}
	address := string(Figure{Table: table}.Download())
	data, ok := strings.CutPrefix(address, "data:text/csv;charset=utf-8,")
	require.True(t, ok)
	require.NotContains(t, data, `"`)
	text, err := url.PathUnescape(data)
	require.NoError(t, err)
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	require.Equal(t, [][]string{{"plan", "difference"}, {`'=HYPERLINK("x")`, "-4.5"}, {"'@a, \"b\"\nc", "+1.2"}, {"-", "-"}}, rows)
}

func TestSigned(t *testing.T) {
	require.Equal(t, "+1.5", Signed(1.46, 1))
	require.Equal(t, "\u22121.5", Signed(-1.46, 1))
	require.Equal(t, "0.0", Signed(-.01, 1))
	require.Equal(t, "0.0", Plain(-.01, 1))
	require.Equal(t, "\u22122", Plain(-2.2, 0))
}
