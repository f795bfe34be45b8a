package tactics

import (
	"math/bits"
	"testing"

	"github.com/stretchr/testify/assert"

	"whatbout/fighter"
)

// Exact: every value of every fact is one bit of its own, in the order of the table from bit 0 on.
func TestFactsAreOneHot(t *testing.T) {
	next := 0
	for f := range NumFacts {
		assert.Equal(t, next, f.Offset(), f)
		for v, word := range f.Values() {
			var one Facts
			one.Set(f, v)
			assert.Equal(t, 1, bits.OnesCount64(one[0])+bits.OnesCount64(one[1]), "%s %s", f, word)
			assert.Equal(t, uint64(1), one[next>>6]>>(next&63), "%s %s", f, word)
			next++
		}
	}
	assert.LessOrEqual(t, next, 128)
}

func TestFactNamesDiffer(t *testing.T) {
	seen := map[string]bool{}
	for _, name := range FactNames() {
		assert.False(t, seen[name], name)
		seen[name] = true
	}
	for f := range NumFacts {
		words := map[string]bool{}
		for _, word := range f.Values() {
			assert.False(t, words[word], "%s %s", f, word)
			words[word] = true
		}
	}
}

// The engine sets these facts by the number of the word in package fighter.
func TestFactsFollowFighter(t *testing.T) {
	for v := range fighter.NumThreats {
		assert.Equal(t, v.String(), FactThreat.Values()[v])
	}
	for v := range fighter.NumCues {
		assert.Equal(t, v.String(), FactCue.Values()[v])
	}
	for v := fighter.Out; v <= fighter.Clinch; v++ {
		assert.Equal(t, v.String(), FactRange.Values()[v])
	}
	assert.Len(t, FactThreat.Values(), int(fighter.NumThreats))
	assert.Len(t, FactCue.Values(), int(fighter.NumCues))
	assert.Equal(t, "ground", FactRange.Values()[fighter.Top])
}
