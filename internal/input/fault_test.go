package input

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFaults(t *testing.T) {
	var f Faults
	require.NoError(t, f.Err())
	f.Add(Fault{"b", 1, 1, "x", "", ""})
	f.Add(Fault{"a", 2, 1, "y", "w", "h"})
	f.Add(Fault{"a", 1, 9, "z", "", "h"})
	f.Add(Fault{What: "alone"})
	f.Add(Fault{File: "a", What: "whole"})
	require.EqualError(t, f.Err(), "alone\na: whole\na:1:9: z; h\na:2:1: y; expected w; h\nb:1:1: x")
	for range 60 {
		f.Add(Fault{File: "c"})
	}
	lines := strings.Split(f.Error(), "\n")
	require.Len(t, lines, 51)
	require.Equal(t, "and 15 more", lines[50])
	for range 2000 {
		f.Add(Fault{File: "c"})
	}
	require.Len(t, f, 1000)
	require.True(t, strings.HasSuffix(f.Error(), "\nand at least 950 more"))
}

func TestNearest(t *testing.T) {
	known := []string{"jab", "cross", "lead-hook", "low-kick"}
	for word, want := range map[string]string{
		"jabb": "jab", "jba": "jab", "CROSS": "cross", "corss": "cross", "leadhook": "lead-hook", "lowkik": "low-kick",
		"elbow": "", "": "", "x": "", "cr": "", strings.Repeat("jab", 40): "",
	} {
		require.Equal(t, want, Nearest(word, known), word)
	}
	require.Equal(t, `did you mean "jab"?`, DidYouMean("jaab", known))
	require.Equal(t, "known: jab, cross, lead-hook, low-kick", DidYouMean("zzz", known))
	require.Empty(t, DidYouMean("zzz", nil))
}

// Optimal string alignment, worked by hand; kitten and sitting after Levenshtein's textbook pair (3 edits); "ca" to "abc"
// is 3 and not 2, which tells it from the unrestricted distance.
func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"ca", "abc", 3}, {"", "abc", 3}, {"abc", "", 3}, {"ab", "ba", 1}, {"same", "same", 0}} {
		require.Equal(t, c.want, edits([]rune(c.a), []rune(c.b)), c)
	}
}
