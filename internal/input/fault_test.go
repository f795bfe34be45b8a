package input

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
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

func checkFaults(t *testing.T, faults Faults) {
	for _, f := range faults {
		require.Equal(t, "f", f.File)
		require.Positive(t, f.Line, f.Error())
		require.NotEmpty(t, f.What)
		require.NotContains(t, f.Error(), "\n")
	}
	require.LessOrEqual(t, len(strings.Split(faults.Error(), "\n")), printedFaults+1)
}

// A command finds the faults of user data behind any wrapping, to leave with its own exit code.
func TestFaultsAreFoundAsErrors(t *testing.T) {
	err := fmt.Errorf("reading: %w", errors.Join(errors.New("other"), Faults{{File: "a", What: "x"}}.Err()))
	var faults Faults
	require.ErrorAs(t, err, &faults)
	require.Len(t, faults, 1)
}

// A fault stays on its line and sends no control sequence to a terminal, whatever the file is called or holds.
func TestFaultIsOnePrintableLine(t *testing.T) {
	require.Equal(t, "a b:1: x [2Jy; expected é w", Fault{File: "a\nb", Line: 1, What: "x\x1b[2Jy", Want: "é\tw"}.Error())
}

// Among words at the same distance the one with two letters swapped is the likelier slip.
func TestNearestPrefersSwappedLetters(t *testing.T) {
	require.Equal(t, "clinch", Nearest("clnich", []string{"clunch", "clinch"}))
	require.Equal(t, "jab", Nearest("jba", []string{"jbb", "jab", "jca"}))
	require.Equal(t, "jbb", Nearest("jbc", []string{"jbb", "jbd"}), "else the first")
}

// The definition of optimal string alignment, recursive and slow, against the table of edits.
func TestEditsTwin(t *testing.T) {
	var slow func(a, b string) int
	slow = func(a, b string) int {
		if a == "" || b == "" {
			return max(len(a), len(b))
		}
		i, j, change := len(a)-1, len(b)-1, 1
		if a[i] == b[j] {
			change = 0
		}
		d := min(slow(a[:i], b)+1, slow(a, b[:j])+1, slow(a[:i], b[:j])+change)
		if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
			d = min(d, slow(a[:i-1], b[:j-1])+1)
		}
		return d
	}
	word := rapid.StringMatching(`[abc]{0,6}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		require.Equal(t, slow(a, b), edits([]rune(a), []rune(b)))
	})
}
