package kernel

import (
	"encoding/binary"
	"math/bits"

	//lint:ignore SA1019 pinned; the fastest by-value source measured, and a change of source is a change in this file alone
	"golang.org/x/exp/rand"
)

// Key names one stream of random numbers by the words absorbed so far, in their order. Keys are values: copy them freely. The zero
// Key has absorbed nothing.
type Key struct{ high, low uint64 }

// The increments by which the two halves of a key walk before each finaliser: the golden ratio that SplitMix64 uses, and the
// fractional bits of the square root of 2 made odd, so that no word leaves both halves equal.
const (
	goldenStep = 0x9e3779b97f4a7c15
	rootStep   = 0x6a09e667f3bcc909
)

// NewKey returns the key of words (seed, draw, replication, ...), in this order. Every word counts, zero like any other, and so does
// their number: NewKey(1) and NewKey(1, 0) name different streams.
func NewKey(words ...uint64) Key {
	var k Key
	for _, word := range words {
		k = k.With(word)
	}
	return k
}

// With returns the key that absorbs one more word: each half takes one step and one SplitMix64 finaliser of its own (Steele, Lea &
// Flood 2014). For a given key, different words give different keys, and for a given word, different keys give different keys;
// any other two chains of words meet with chance 2^-128.
func (k Key) With(word uint64) Key {
	return Key{
		high: finalise((k.high ^ bits.RotateLeft64(word, 32)) + rootStep),
		low:  finalise((k.low ^ word) + goldenStep),
	}
}

// finalise is the output function of SplitMix64: a bijection of 64 bits in which every input bit reaches every output bit.
func finalise(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// Stream returns the stream of the key, at its first number.
func (k Key) Stream() Stream {
	var state [16]byte
	binary.BigEndian.PutUint64(state[:8], k.high)
	binary.BigEndian.PutUint64(state[8:], k.low)
	var s Stream
	if err := s.source.UnmarshalBinary(state[:]); err != nil {
		panic("kernel: the source refuses a full state: " + err.Error())
	}
	return s
}

// Stream is a sequence of random numbers (PCG XSL-RR 128/64, O'Neill 2014) by value: a copy repeats the numbers of the original. A
// *Stream is a math/rand/v2.Source. Take one from a [Key]; the zero Stream works, but it is nobody's.
type Stream struct{ source rand.PCGSource }

// Uint64 returns the next number, uniform over 64 bits. Its two halves serve as two independent 32-bit draws.
func (s *Stream) Uint64() uint64 { return s.source.Uint64() }

// Uint32 returns the upper half of the next number.
func (s *Stream) Uint32() uint32 { return uint32(s.source.Uint64() >> 32) }

// Below returns a whole number from 0 to n-1 and always takes one number of the stream. The chances differ by less than n/2^64. It
// panics if n is 0.
func (s *Stream) Below(n uint64) uint64 {
	if n == 0 {
		panic("kernel: nothing lies below 0")
	}
	high, _ := bits.Mul64(s.source.Uint64(), n)
	return high
}

// Chance reports whether an event of that threshold happens; it takes one number of the stream, whatever the threshold.
func (s *Stream) Chance(threshold uint64) bool { return uint64(s.Uint32()) < threshold }
