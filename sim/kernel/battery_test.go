package kernel

import (
	"math"
	"math/bits"
	"slices"
	"testing"
)

// The battery runs over numbers taken in the ways in which a model takes them: with one stream, and across the streams of neighbouring
// keys. Limits: exact null laws at p = 1e-6 (L12.20, L12.21, L12.22, L12.25, computed); with fixed keys the outcome is fixed.
const (
	batterySize = 1 << 20
	limitZ      = 4.89164
)

func TestBattery(t *testing.T) {
	one := NewKey(1).Stream()
	agent := NewKey(1, 2, 3, 4, 0).With(wordKeys)
	var tick Stream
	for _, source := range []struct {
		name string
		draw func(i int) uint64
	}{
		{"one stream", func(int) uint64 { return one.Uint64() }},
		{"first numbers of ticks", func(i int) uint64 { s := agent.With(uint64(i)).Stream(); return s.Uint64() }},
		{"first numbers of replications", func(i int) uint64 { s := NewKey(1, 0, uint64(i), 0, 0).Stream(); return s.Uint64() }},
		{"first numbers of seeds", func(i int) uint64 { s := NewKey(uint64(i)).Stream(); return s.Uint64() }},
		{"four numbers of each tick", func(i int) uint64 {
			if i%4 == 0 {
				tick = agent.With(uint64(i / 4)).Stream()
			}
			return tick.Uint64()
		}},
	} {
		t.Run(source.name, func(t *testing.T) {
			draws := make([]uint64, batterySize)
			for i := range draws {
				draws[i] = source.draw(i)
			}
			testBits(t, draws)
			testBins(t, draws)
			testSerial(t, draws)
			testPermutations(t, draws)
			testBirthdays(t, draws)
			testCoupons(t, draws)
			testKolmogorov(t, draws)
		})
	}
}

func testBits(t *testing.T, draws []uint64) {
	ones, n := 0, float64(len(draws))
	var each [64]float64
	for _, d := range draws {
		ones += bits.OnesCount64(d)
		for b := range each {
			each[b] += float64(d >> b & 1)
		}
	}
	within(t, "monobit", (2*float64(ones)-64*n)/math.Sqrt(64*n), -limitZ, limitZ)
	for b, e := range each {
		within(t, "bit "+string(rune('0'+b/10))+string(rune('0'+b%10)), (2*e-n)/math.Sqrt(n), -limitZ, limitZ)
	}
}

func testBins(t *testing.T, draws []uint64) {
	bytes, tenths := make([]float64, 256), make([]float64, 10)
	for _, d := range draws {
		for b := range 8 {
			bytes[d>>(8*b)&255]++
		}
		tenth, _ := bits.Mul64(d, 10)
		tenths[tenth]++
	}
	within(t, "bytes", chiSquare(bytes), 161.65, 377.078)
	within(t, "tenths", chiSquare(tenths), 0.22838, 44.8109)
}

func chiSquare(counts []float64) (sum float64) {
	total := 0.0
	for _, c := range counts {
		total += c
	}
	expected := total / float64(len(counts))
	for _, c := range counts {
		sum += (c - expected) * (c - expected) / expected
	}
	return sum
}

func testSerial(t *testing.T, draws []uint64) {
	for _, lag := range []int{1, 2, 16} {
		within(t, "serial correlation", correlation(draws[lag:], draws[:len(draws)-lag]), -limitZ, limitZ)
	}
}

// correlation returns √n times the correlation of two sequences of uniforms.
func correlation(a, b []uint64) float64 {
	sum := 0.0
	for i := range a {
		sum += (math.Ldexp(float64(a[i]), -64) - 0.5) * (math.Ldexp(float64(b[i]), -64) - 0.5)
	}
	return 12 * sum / math.Sqrt(float64(len(a))) // a uniform has variance 1/12
}

func testPermutations(t *testing.T, draws []uint64) {
	counts := make([]float64, 24)
	for q := range slices.Chunk(draws, 4) {
		rank := 0
		for i := range 4 { // Lehmer code
			below := 0
			for j := i + 1; j < 4; j++ {
				if q[j] < q[i] {
					below++
				}
			}
			rank = rank*(4-i) + below
		}
		counts[rank]++
	}
	within(t, "permutations", chiSquare(counts), 0, 70.5496)
}

func testBirthdays(t *testing.T, draws []uint64) {
	equal := 0
	for repeat := range 1000 {
		days := make([]int, 512)
		for i := range days {
			days[i] = int(draws[512*repeat+i] >> 40)
		}
		slices.Sort(days)
		spaces := make([]int, 511)
		for i := range spaces {
			spaces[i] = days[i+1] - days[i]
		}
		slices.Sort(spaces)
		for i := 1; i < len(spaces); i++ {
			if spaces[i] == spaces[i-1] {
				equal++
			}
		}
	}
	within(t, "birthday spacings", float64(equal), 2000-219, 2000+219)
}

func testCoupons(t *testing.T, draws []uint64) {
	var lengths sample
	seen, length := 0, 0.0
	for _, d := range draws {
		coupon, _ := bits.Mul64(d, 5)
		length++
		if seen |= 1 << coupon; seen == 31 {
			lengths.add(length)
			seen, length = 0, 0
		}
	}
	// L12.24 (exact): mean 11.4166667; variance 25(1+¼+1/9+1/16+1/25) - 5(1+½+⅓+¼+1/5) = 25.1736.
	near(t, "coupon collector", lengths.mean(), 11.416666666666666, math.Sqrt(25.1736/lengths.n))
}

func testKolmogorov(t *testing.T, draws []uint64) {
	first := slices.Clone(draws[:1000])
	slices.Sort(first)
	distance := 0.0
	for i, d := range first {
		u := math.Ldexp(float64(d), -64)
		distance = max(distance, u-float64(i)/1000, float64(i+1)/1000-u)
	}
	within(t, "Kolmogorov-Smirnov", math.Sqrt(1000)*distance, 0, 2.69)
}

func within(t *testing.T, what string, x, low, high float64) {
	t.Helper()
	if !(x > low && x < high) {
		t.Errorf("%s: %g outside %g to %g", what, x, low, high)
	}
}

func TestNeighbouringStreamsDoNotCorrelate(t *testing.T) {
	for _, prefix := range []Key{NewKey(), NewKey(1), NewKey(1, 0, 0, 0, 0, wordKeys)} {
		numbers := func(i int) []uint64 {
			s := prefix.With(uint64(i)).Stream()
			draws := make([]uint64, 1<<14)
			for j := range draws {
				draws[j] = s.Uint64()
			}
			return draws
		}
		last := numbers(0)
		for i := range 64 {
			next := numbers(i + 1)
			within(t, "correlation of neighbours", correlation(last, next), -5.7, 5.7)
			last = next
		}
	}
}

func TestBatterySeesUnmixedKeys(t *testing.T) {
	// A counter put straight into either half of the state, without the finaliser, must fail: a battery that passes it shows nothing.
	for name, state := range map[string]func(i uint64) Key{
		"upper": func(i uint64) Key { return Key{high: i} },
		"lower": func(i uint64) Key { return Key{low: i} },
	} {
		bytes := make([]float64, 256)
		for i := range uint64(batterySize) {
			s := state(i).Stream()
			for draw, b := s.Uint64(), 0; b < 8; b++ {
				bytes[draw>>(8*b)&255]++
			}
		}
		if x := chiSquare(bytes); x > 161.65 && x < 377.078 {
			t.Errorf("%s half: a bare counter passes with chi-square %g", name, x)
		}
	}
}
