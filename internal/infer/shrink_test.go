package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

var baseball = []float64{18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7} // hits of 45

// Efron & Morris 1975, J. Am. Stat. Assoc. 70, 311–319, Table 1 (data: dataset EfronMorris of R package pscl; prints from memory): the
// arcsine scale runs from -1.35 to -5.10.
func TestArcsineScale(t *testing.T) {
	x := make([]float64, len(baseball))
	for i, hits := range baseball {
		x[i] = ArcsineShare(hits, 45)
	}
	relative(t, "first", x[0], -1.3507499960855933, 1e-9)
	relative(t, "last", x[17], -5.097933694186519, 1e-9)
	relative(t, "mean", PullToMean(x, 1).Mean, -3.316563136143551, 1e-9)
}

// Efron & Morris 1977, Sci. Am. 236(5), 119–127 (from memory): grand average .265, factor .212, estimates .294 to .242; total squared error
// .077 against .022 (from three-digit data .0754, .0213: the print is held to .002).
func TestBaseball(t *testing.T) {
	remainder := []float64{.346, .298, .276, .222, .273, .270, .263, .210, .269, .230, .264, .256, .303, .264, .226, .285, .316, .200}
	y := make([]float64, len(baseball))
	for i, hits := range baseball {
		y[i] = math.Round(1000*hits/45) / 1000 // the article works from three digits
	}
	mean := stat.Mean(y, nil)
	p := PullToMean(y, mean*(1-mean)/45)
	relative(t, "average", p.Mean, 0.26538888888888884, 1e-9)
	relative(t, "factor", p.Factor, 0.2123905377045563, 1e-9)
	relative(t, "first", p.Values[0], 0.2939790151587855, 1e-9)
	relative(t, "eighth", p.Values[7], 0.26573107364407955, 1e-9)
	relative(t, "last", p.Values[17], 0.24215572395887378, 1e-9)
	plain, shrunken := 0.0, 0.0
	for i, truth := range remainder {
		plain += (y[i] - truth) * (y[i] - truth)
		shrunken += (p.Values[i] - truth) * (p.Values[i] - truth)
	}
	relative(t, "error of averages", plain, 0.075374, 1e-5)
	relative(t, "error of estimates", shrunken, 0.02130976309713251, 1e-9)
}

func TestPullEnds(t *testing.T) {
	same := PullToMean([]float64{2, 2, 2, 2}, 1)
	require.Equal(t, Pull{Mean: 2, Factor: 0, Values: []float64{2, 2, 2, 2}}, same)
	require.Equal(t, 0.0, PullToMean([]float64{1, 2, 3, 4}, 100).Factor) // never past the mean
	require.Equal(t, []float64{1, 2, 3, 4}, PullToMean([]float64{1, 2, 3, 4}, 0).Values)
	require.Panics(t, func() { PullToMean([]float64{1, 2, 3}, 1) })
}

// Gelman et al. 2013, sections 5.1–5.3, Table 5.1 (data: the authors' R demonstrations; prints from memory): 70 historical groups of rats,
// mean .136, sd .103, fit (1.4, 8.6), and 4 of 14 under it: .223, .083.
func TestRats(t *testing.T) {
	y, n := rats()
	sums := [4]float64{}
	var shares []float64
	for i := range y {
		sums = [4]float64{sums[0] + y[i], sums[1] + n[i], sums[2] + y[i]*y[i], sums[3] + y[i]*n[i]}
		shares = append(shares, y[i]/n[i])
	}
	require.Equal(t, [4]float64{267, 1739, 2021, 8822}, sums) // checksums of the table
	b, ok := BetaByMoments(shares[:70])
	require.True(t, ok)
	relative(t, "a", b.A, 1.356149391031933, 1e-9)
	relative(t, "b", b.B, 8.615057891320788, 1e-9)
	current := b.Update(4, 14, 1)
	relative(t, "mean", current.Mean(), 0.22344095263716893, 1e-9)
	relative(t, "sd", current.SD(), 0.08335830194692306, 1e-9)
	for _, none := range [][]float64{{.5}, {.2, .2}, {0, 1}, {-.1, .3}} {
		_, ok := BetaByMoments(none)
		require.False(t, ok, "%v", none)
	}
}

// rats are the tumours and sizes of 71 groups, the current one last.
func rats() (y, n []float64) {
	y = []float64{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 2, 2,
		1, 5, 2, 5, 3, 2, 7, 7, 3, 3, 2, 9, 10, 4, 4, 4, 4, 4, 4, 4, 10, 4, 4, 4, 5, 11, 12, 5, 5, 6, 5, 6, 6, 6, 6, 16, 15, 15, 9, 4}
	n = []float64{20, 20, 20, 20, 20, 20, 20, 19, 19, 19, 19, 18, 18, 17, 20, 20, 20, 20, 19, 19, 18, 18, 25, 24, 23, 20, 20, 20, 20,
		20, 20, 10, 49, 19, 46, 27, 17, 49, 47, 20, 20, 13, 48, 50, 20, 20, 20, 20, 20, 20, 20, 48, 19, 19, 19, 22, 46, 49, 20, 20, 23,
		19, 22, 20, 20, 20, 52, 46, 47, 24, 14}
	return y, n
}
