package infer

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// Draws with expected values from a normal law of spread .1 and bouts of spread .5 about them: the 80 % bands are 2 × 1.2816 × .1 wide
// (standard normal quantile at .9, exact), though a draw of four bouts is off by .25. τ² is pooled over 40 points of 199 degrees of freedom; its
// standard error a point is √2(τ²+σ²/n)/√199 = 1.414 × .0725/14.1 = .0073, over 40 points .00115, so τ is known within
// 4.9 × .00115/(2 × .1) = .028. An order statistic's own error, .1 × √(.09)/(.1755 × √200) = .012 a bound, averages out over 40 points.
func TestBandsTakeTheLuckOut(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	points := make([][]Group, 40)
	for i := range points {
		for range 200 {
			mean := 3 + .1*random.NormFloat64()
			g := Group{}
			for range 4 {
				g.Add(mean + .5*random.NormFloat64())
			}
			points[i] = append(points[i], g)
		}
	}
	width := 0.0
	for _, b := range Bands(points, .8) {
		require.True(t, b.Low < b.Mean && b.Mean < b.High)
		width += (b.High - b.Low) / 40
	}
	require.InDelta(t, 2*1.2816*.1, width, 2*1.2816*(.028+.003))
}

func TestBandsOfTooLittle(t *testing.T) {
	one := Group{N: 1, Sum: 3, SumSq: 9}
	require.Equal(t, []Band{{}, {3, 3, 3}, {3, 3, 3}}, Bands([][]Group{nil, {one}, {one, one}}, .8))
	same := Group{N: 2, Sum: 6, SumSq: 20}
	require.Equal(t, []Band{{3, 3, 3}}, Bands([][]Group{{same, same}}, .8), "draws that luck explains have no band")
	require.Empty(t, Bands(nil, .8))
}
