package kernel

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

var _ rand.Source = (*Stream)(nil) // what gonum v0.17 takes as its source

// twin is PCG XSL-RR 128/64 in big integers, as O'Neill (2014) describes it: state ← state·multiplier + increment, then the two halves of
// the new state, exclusive-or, rotated right by its top six bits.
type twin struct{ state, multiplier, increment *big.Int }

var modulus = new(big.Int).Lsh(big.NewInt(1), 128)

func newTwin(state, increment string) *twin {
	return &twin{number(state), number("0x2360ed051fc65da44385df649fccf645"), number(increment)}
}

func number(s string) *big.Int {
	n, ok := new(big.Int).SetString(s, 0)
	if !ok {
		panic("not a number: " + s)
	}
	return n
}

func (p *twin) next() uint64 {
	p.state.Mod(p.state.Add(p.state.Mul(p.state, p.multiplier), p.increment), modulus)
	high := new(big.Int).Rsh(p.state, 64).Uint64()
	x := high ^ new(big.Int).And(p.state, number("0xffffffffffffffff")).Uint64()
	turn := high >> 58
	return x>>turn | x<<((64-turn)&63)
}

// jump advances by n steps at once: after n steps the state is s·aⁿ + c(aⁿ-1)/(a-1).
func (p *twin) jump(n int64) {
	less := new(big.Int).Sub(p.multiplier, big.NewInt(1))
	wide := new(big.Int).Mul(modulus, less) // (aⁿ-1)/(a-1) modulo 2^128 needs aⁿ modulo 2^128·(a-1)
	power := new(big.Int).Exp(p.multiplier, big.NewInt(n), wide)
	series := new(big.Int).Div(new(big.Int).Sub(power, big.NewInt(1)), less)
	p.state.Mul(p.state, power).Add(p.state, series.Mul(series, p.increment)).Mod(p.state, modulus)
}

func TestTwinGivesThePublishedStreams(t *testing.T) {
	// L12.1: expected output of the pcg-cpp test suite, pcg64, seed 42, stream 54.
	const state, increment = "0xde2bce05be013be3d3f6c45a41e54320", "0x6d"
	p := newTwin(state, increment)
	for i, want := range []uint64{0x86b1da1d72062b68, 0x1304aa46c9853d39, 0xa3670e9e0dd50358, 0xf9090e529a7dae00, 0xc85b9fd837996f2c, 0x606121f8e3919196} {
		require.Equal(t, want, p.next(), "number %d", i)
	}
	// L12.1j (exact, two routes): the 1001st number, step by step and by a jump of 1000.
	p, q := newTwin(state, increment), newTwin(state, increment)
	for range 1000 {
		p.next()
	}
	q.jump(1000)
	require.Equal(t, uint64(0xf771891bd1a77d13), p.next())
	require.Equal(t, uint64(0xf771891bd1a77d13), q.next())
	// L12.1n: NumPy test data, PCG64, seed 0xdeadbeaf.
	p = newTwin("0xdcbf51eca8a06d6da11c0e6f95be4591", "0x6f01e045569d93c440ac10dd049310b5")
	for i, want := range []uint64{0x60d24054e17a0698, 0xd5e79d89856e4f12, 0xd254972fe64bd782, 0xf1e3072a53c72571} {
		require.Equal(t, want, p.next(), "number %d", i)
	}
}

func TestStreamIsTheTwinAtTheSourcesOwnIncrement(t *testing.T) {
	for _, key := range []Key{{}, {high: 1}, {low: 1}, {math.MaxUint64, math.MaxUint64}, NewKey(0), NewKey(1, 2, 3), NewKey(42, 0, 0, 0, 0, 0)} {
		// The increment is the one in the source of golang.org/x/exp/rand, file rng.go.
		p := newTwin("0", "117397592171526113268558934119004209487")
		p.state.SetUint64(key.high).Lsh(p.state, 64).Or(p.state, new(big.Int).SetUint64(key.low))
		s := key.Stream()
		for i := range 1000 {
			require.Equal(t, p.next(), s.Uint64(), "key %x, number %d", key, i)
		}
	}
}

func TestFinaliserIsSplitMix64(t *testing.T) {
	walk := func(seed uint64, want ...uint64) {
		for i, w := range want {
			require.Equal(t, w, finalise(seed+uint64(i+1)*goldenStep), "seed %d, number %d", seed, i)
		}
	}
	// L12.3 and L12.3b: widely used vectors of SplitMix64, from memory.
	walk(0, 0xe220a8397b1dcdaf, 0x6e789e6aa1b965f4, 0x06c45d188009454f, 0xf88bb8a8724c81ec, 0x1b39896a51a8749b)
	walk(1234567, 6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821)
	// The low half of a key absorbs its first word as SplitMix64 takes its seed.
	require.Equal(t, uint64(6457827717110365317), NewKey(1234567).low)
}

func TestKeysDiffer(t *testing.T) {
	// About 4.2 million keys over (draw, bout, round, corner, tick) with seeds side by side; two equal 128-bit states among n = 2^22
	// have chance n²/2^129 = 2^-85.
	var keys []Key
	for seed := range uint64(2) {
		for draw := range uint64(16) {
			for bout := range uint64(32) {
				for round := range uint64(4) {
					for corner := range uint64(2) {
						agent := NewKey(seed, draw, bout, round, corner)
						for tick := range uint64(512) {
							keys = append(keys, agent.With(tick))
						}
					}
				}
			}
		}
	}
	for _, n := range []int{0, 1, 2, 3, 4, 5, 7, 8, 9, 10} { // chains of zeros; that of six stands in the grid
		keys = append(keys, NewKey(make([]uint64, n)...))
	}
	require.Greater(t, len(keys), 1<<22)
	slices.SortFunc(keys, func(a, b Key) int {
		if a.high != b.high {
			if a.high < b.high {
				return -1
			}
			return 1
		}
		if a.low < b.low {
			return -1
		}
		return 1
	})
	for i := 1; i < len(keys); i++ {
		if keys[i] == keys[i-1] {
			t.Fatalf("two keys are %x", keys[i])
		}
		if keys[i].high == keys[i-1].high {
			t.Errorf("two upper halves are %x", keys[i].high) // chance 2^43/2^64 = 5e-7
		}
	}
}

func TestKeyWords(t *testing.T) {
	require.NotEqual(t, NewKey(1), NewKey(1, 0))
	require.NotEqual(t, NewKey(1, 2), NewKey(2, 1))
	require.NotEqual(t, NewKey(0), NewKey())
	require.Equal(t, NewKey(1, 2, 3), NewKey(1).With(2).With(3))
	a := NewKey(7).Stream()
	b := a
	require.Equal(t, a.Uint64(), b.Uint64(), "a copy repeats the original")
}

func TestEveryBitOfAWordReachesEveryBitOfTheKey(t *testing.T) {
	// Over 4096 prefixes, flipping one bit of the last word flips each bit of the key with chance ½:
	// SE = √(¼/4096) = 0.0078; over 64·128 pairs |z| < 5.9 has p = 8192·3.6e-9 = 3e-5.
	const n = 4096
	for bit := range 64 {
		var flips [128]int
		for i := range uint64(n) {
			prefix := NewKey(11, i)
			a, b := prefix.With(i), prefix.With(i^1<<bit)
			for out := range 64 {
				flips[out] += int((a.high ^ b.high) >> out & 1)
				flips[64+out] += int((a.low ^ b.low) >> out & 1)
			}
		}
		for out, f := range flips {
			if z := (float64(f) - n/2) / math.Sqrt(n/4); math.Abs(z) > 5.9 {
				t.Errorf("word bit %d flips key bit %d in %d of %d", bit, out, f, n)
			}
		}
	}
}

func TestDerivedDraws(t *testing.T) {
	s := NewKey(3).Stream()
	require.Equal(t, uint64(0), Threshold(0))
	require.Equal(t, Certain, Threshold(1))
	require.Equal(t, Certain/2, Threshold(0.5))
	require.Equal(t, uint64(1288490189), Threshold(0.3), "0.3·2^32 = 1288490188.8")
	for _, bad := range []float64{math.NaN(), -1e-300, math.Nextafter(1, 2), math.Inf(1)} {
		require.PanicsWithValue(t, "kernel: a chance lies from 0 to 1", func() { Threshold(bad) })
	}
	require.PanicsWithValue(t, "kernel: nothing lies below 0", func() { s.Below(0) })
	for range 1000 {
		require.True(t, s.Chance(Certain))
		require.False(t, s.Chance(0))
		require.Equal(t, uint64(0), s.Below(1))
	}
	for _, u := range []uint32{0, 1, 1 << 31, math.MaxUint32} {
		for _, threshold := range []uint64{0, 1, 1 << 31, math.MaxUint32, Certain} {
			want := uint64(0)
			if uint64(u) < threshold {
				want = 1
			}
			require.Equal(t, want, Hit(u, threshold), "%d of %d", u, threshold)
		}
	}
	const n = 1 << 20
	hits, counts := 0, [6]int{}
	for range n {
		hits += int(Hit(s.Uint32(), Threshold(0.3)))
		counts[s.Below(6)]++
	}
	nearShare(t, "chance 0.3", hits, n, 0.3)
	for face, c := range counts {
		nearShare(t, "face "+string(rune('1'+face)), c, n, 1.0/6)
	}
}

func TestStreamsTakeNoMemory(t *testing.T) {
	key, sum := NewKey(1), uint64(0)
	require.Zero(t, testing.AllocsPerRun(100, func() {
		for i := range uint64(100) {
			s := key.With(i).Stream()
			sum += s.Uint64() + s.Below(7)
		}
	}))
	require.NotZero(t, sum)
}
