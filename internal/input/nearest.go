package input

import (
	"slices"
	"strings"
)

// Nearest gives the known word with the fewest edits (insert, delete, replace, swap of neighbours) from word, letters of
// either case alike; of equals one with just the same letters in another order, or else the first; "" when none is
// within a third of the length of word (at least 1 edit, at most 3).
func Nearest(word string, known []string) string {
	if len(word) > 64 {
		return ""
	}
	a := []rune(strings.ToLower(word))
	best, least, swapped := "", min(3, max(1, len(a)/3)), false
	for _, k := range known {
		b := []rune(strings.ToLower(k))
		d := edits(a, b)
		if d > least || d >= max(len(a), len(b)) {
			continue
		}
		if same := reordered(a, b); best == "" || d < least || same && !swapped {
			best, least, swapped = k, d, same
		}
	}
	return best
}

func reordered(a, b []rune) bool {
	return slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b)))
}

// DidYouMean gives a hint with the nearest known word, or else the known words themselves when they are few; it may be "".
func DidYouMean(word string, known []string) string {
	if near := Nearest(word, known); near != "" {
		return `did you mean "` + near + `"?`
	}
	if len(known) > 0 && len(known) <= 40 {
		return "known: " + strings.Join(known, ", ")
	}
	return ""
}

// edits is the optimal string alignment distance (Damerau 1964, in the form of Wagner and Fischer 1974).
func edits(a, b []rune) int {
	var older []int
	old := make([]int, len(b)+1)
	for j := range old {
		old[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 0
			if a[i-1] != b[j-1] {
				change = 1
			}
			row[j] = min(old[j]+1, row[j-1]+1, old[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], older[j-2]+1)
			}
		}
		older, old = old, row
	}
	return old[len(b)]
}
