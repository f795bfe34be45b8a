package kernel

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestExponentialTableIsTheLogarithm(t *testing.T) {
	// Exact: -ln(u/2^64); linear interpolation over cells of relative width 1/1024 errs by at most (1/1024)²/8 = 1.2e-7.
	s := NewKey(4).Stream()
	worst := 0.0
	for i := range 1 << 20 {
		u := s.Uint64() >> (i % 64)
		got := math.Ldexp(float64(unitExponential(u)), -variateBits)
		worst = max(worst, math.Abs(got+math.Log(float64(u|1))-64*math.Ln2))
	}
	require.Less(t, worst, 1.3e-7)
	require.Greater(t, worst, 1e-8, "the error was measured")
	for _, octave := range []uint{0, 1, 20, 53} { // at the nodes, exact but for the rounding of this float64 comparison
		u := uint64(1<<63|5<<53) >> octave
		require.InDelta(t, -math.Log(float64(u|1))+64*math.Ln2, math.Ldexp(float64(unitExponential(u)), -variateBits), 2e-14)
	}
}

func TestExponentialFallsWithTheDraw(t *testing.T) {
	last := uint64(math.MaxUint64)
	for octave := 63; octave >= 0; octave-- {
		for _, part := range []uint64{0, 1, 1 << 52, 1<<53 - 1, 1 << 53, 1<<53 + 1, 1<<62 + 12345, 1<<63 - 1} {
			u := (1<<63 | part) >> octave
			got := unitExponential(u)
			require.LessOrEqual(t, got, last, "u = %x", u)
			last = got
		}
	}
	require.Equal(t, int64(1), Exponential(math.MaxUint64, MeanGap(1)), "no gap is 0")
	require.Equal(t, int64(44361420), Exponential(0, MeanGap(1)), "the longest: 64·ln 2 = 44.36141956 s")
}

func TestExponentialGapsHaveTheirMoments(t *testing.T) {
	// The ceiling is geometric: P(gap = k) = (1-q)·q^(k-1), q = e^(-1/mean), mean 1/(1-q), variance q/(1-q)².
	const n = 1 << 20
	for _, rate := range []float64{0.01, 3, 1e4, 2e5, 1e6} {
		s := NewKey(5, math.Float64bits(rate)).Stream()
		q := math.Exp(-rate / 1e6)
		sum, ones := 0.0, 0
		for range n {
			gap := Exponential(s.Uint64(), MeanGap(rate))
			sum += float64(gap)
			if gap == 1 {
				ones++
			}
		}
		near(t, "mean gap", sum/n, 1/(1-q), math.Sqrt(q/n)/(1-q))
		nearShare(t, "gaps of 1", ones, n, 1-q)
	}
}

func TestExponentialGapsFitTheirLaw(t *testing.T) {
	// Kolmogorov-Smirnov against 1 - e^(-x): √n·D < 2.69 at p = 1e-6 (asymptotic law; K11.7 of Miller 1956 for the usual levels).
	const n = 200_000
	s := NewKey(6).Stream()
	gaps := make([]float64, n)
	for i := range gaps {
		gaps[i] = float64(Exponential(s.Uint64(), MeanGap(1))) / 1e6
	}
	slices.Sort(gaps)
	distance := 0.0
	for i, g := range gaps {
		f := -math.Expm1(-g)
		distance = max(distance, f-float64(i)/n, float64(i+1)/n-f)
	}
	within(t, "Kolmogorov-Smirnov", math.Sqrt(n)*distance, 0, 2.69)
}

func TestMeanGap(t *testing.T) {
	require.Equal(t, Mean(64*1e6), MeanGap(1))
	require.Equal(t, Mean(64), MeanGap(1e6))
	for _, bad := range []float64{0, -1, 9e-7, 1.1e6, math.NaN(), math.Inf(1)} {
		require.PanicsWithValue(t, "kernel: a rate lies from 1e-6 to 1e6 a second", func() { MeanGap(bad) })
	}
}

// quantile is the exact normal quantile in standard deviations (Go's math.Erfinv).
func quantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

func TestNormalIsTheQuantile(t *testing.T) {
	s := NewKey(7).Stream()
	worst := 0.0
	for i := range 1 << 19 {
		u := s.Uint32() >> (i % 33)
		for _, draw := range []uint32{u, ^u} {
			exact := quantile((float64(min(draw, ^draw)) + 0.5) / (1 << 32))
			if draw>>31 == 1 {
				exact = -exact
			}
			worst = max(worst, math.Abs(float64(Normal(draw))/NormalUnit-exact))
		}
	}
	require.Less(t, worst, 0.0006)
	require.Greater(t, worst, 0.0004, "rounding to 1/1024 alone errs by up to 0.00049")
}

func TestNormalIsOddAndGrows(t *testing.T) {
	last := int32(math.MinInt32)
	for i := range uint64(1 << 18) {
		u := uint32(i << 14)
		z := Normal(u)
		require.GreaterOrEqual(t, z, last)
		require.Equal(t, -z, Normal(^u))
		last = z
	}
	for row := range uint32(32) { // and across the edges of octaves
		u := uint32(1) << row
		require.LessOrEqual(t, Normal(u-1), Normal(u))
		require.LessOrEqual(t, Normal(u), Normal(u+1))
	}
	require.Equal(t, int32(math.Round(NormalUnit*quantile(0.5/(1<<32)))), Normal(0), "-6.338 standard deviations")
}

func TestNormalMoments(t *testing.T) {
	// Standard normal: variance of the mean 1/n, of the mean square 2/n, of the mean fourth power (105-9)/n. Rounding to units
	// of 1/1024 adds 1/(12·1024²) = 8e-8 to the variance.
	const n = 1 << 21
	s := NewKey(8).Stream()
	var one, two, four float64
	beyond := 0
	for range n {
		z := float64(Normal(s.Uint32())) / NormalUnit
		one += z
		two += z * z
		four += z * z * z * z
		if z > 3 {
			beyond++
		}
	}
	near(t, "mean", one/n, 0, math.Sqrt(1.0/n))
	near(t, "variance", two/n, 1, math.Sqrt(2.0/n))
	near(t, "fourth moment", four/n, 3, math.Sqrt(96.0/n))
	nearShare(t, "beyond 3", beyond, n, math.Erfc(3.0005/math.Sqrt2)/2) // the next unit, 3073/1024, begins at 3.0005
}

func TestNormalDistanceIsTheQuantile(t *testing.T) {
	// Z0 of the special functions (exact): Φ(1.96) = 0.9750021048517795, Φ(-5) = 2.866515718791939e-07.
	relative(t, "1.96", normalDistance(1-0.9750021048517795), 1.96, 1e-12)
	relative(t, "5", normalDistance(2.866515718791939e-07), 5, 1e-12)
	for i := 1; i < 4000; i++ {
		p := math.Exp(-float64(i)/4000*22.8) / 2
		// Through the tail function of the standard library; a relative error e of z shows in p as about z²·e, and z² <= 40.
		relative(t, "back to p", math.Erfc(normalDistance(p)/math.Sqrt2)/2, p, 4e-14)
	}
}

func TestLogisticIsTheChance(t *testing.T) {
	for x := int32(-8 * LogitUnit); x <= 8*LogitUnit; x++ {
		exact := 1 / (1 + math.Exp(-float64(x)/LogitUnit))
		require.InDelta(t, exact*float64(Certain), float64(Logistic(x)), 0.5001, "x = %d", x)
		require.InDelta(t, float64(Certain), float64(Logistic(x)+Logistic(-x)), 1, "x = %d", x)
	}
	require.Equal(t, Certain/2, Logistic(0))
	for _, x := range []int32{math.MinInt32, -8*LogitUnit - 1} {
		require.Equal(t, Logistic(-8*LogitUnit), Logistic(x))
	}
	for _, x := range []int32{math.MaxInt32, 8*LogitUnit + 1} {
		require.Equal(t, Logistic(8*LogitUnit), Logistic(x))
	}
	require.InDelta(t, 1-0.00034, float64(Logistic(math.MaxInt32))/float64(Certain), 0.00001, "1/(1+e^-8) = 0.999665")
}

func TestLogitUndoesLogistic(t *testing.T) {
	for x := int32(-8 * LogitUnit); x <= 8*LogitUnit; x++ {
		require.Equal(t, x, Logit(float64(Logistic(x))/float64(Certain)))
	}
	for _, row := range []struct {
		p    float64
		want int32
	}{{0, -8 * LogitUnit}, {1e-300, -8 * LogitUnit}, {1, 8 * LogitUnit}, {0.9999, 8 * LogitUnit}, {0.5, 0}, {0.75, 141}} { // 128·ln 3 = 140.6
		require.Equal(t, row.want, Logit(row.p), "p = %g", row.p)
	}
	for _, bad := range []float64{math.NaN(), -0.1, 1.1} {
		require.PanicsWithValue(t, "kernel: a chance lies from 0 to 1", func() { Logit(bad) })
	}
}
