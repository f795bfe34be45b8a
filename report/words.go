package report

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"whatbout/internal/infer"
)

// title makes a name for a sentence of an id: "no-such" becomes "No such".
func title(id string) string {
	words := strings.Join(strings.FieldsFunc(id, func(r rune) bool { return r == '-' || r == '_' || unicode.IsSpace(r) }), " ")
	if words == "" {
		return "The fighter"
	}
	return capital(words)
}

// capital begins a sentence.
func capital(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	if size == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + words[size:]
}

// plain makes words of a name of the vocabulary.
func plain(name string) string { return strings.ReplaceAll(name, "_", " ") }

// quoted sets a plan's name apart from the sentence, but for "as usual", which reads as part of it.
func quoted(plan string) string {
	if plan == "as usual" {
		return plan
	}
	return "with \"" + plan + "\""
}

// signed writes a number with its sign; what rounds to nothing has none.
func signed(x float64, digits int) string {
	s := fmt.Sprintf("%+.*f", digits, x)
	if strings.Trim(s, "+-0.") == "" {
		return s[1:]
	}
	return s
}

// points writes a range of shares as bouts in 100.
func points(low, high float64) string { return signed(100*low, 1) + " to " + signed(100*high, 1) }

// percent writes a chance in whole per cent, but never as certain: it rests on a finite number of draws.
func percent(p float64) string {
	switch {
	case p > .99 && p < 1 || p == 1:
		return "over 99 %"
	case p < .01:
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

// told reports whether an interval over draws says anything: draws that are not told apart, or that are all but a few equal, have none.
func told(s infer.Spreading) bool { return s.Resolved && s.Width() > 0 }

// spread says an interval over draws and what it means, or that the draws differ no more than the luck of their bouts does.
func spread(s infer.Spreading, meaning string) string {
	switch {
	case told(s):
		return points(s.Low, s.High) + " around " + signed(100*s.Centre, 1) + " (" + meaning + ")"
	case s.AtMost == 0:
		return "none at all"
	}
	return fmt.Sprintf("not resolved: the draws differ no more than luck does (standard deviation at most %.1f); more bouts a draw would tell", 100*s.AtMost)
}

// roughly writes a number that is good to two digits.
func roughly(x float64) string {
	if x < 10 {
		return fmt.Sprintf("%.1f", x)
	}
	scale := math.Pow(10, math.Floor(math.Log10(x))-1)
	return fmt.Sprintf("%.0f", math.Round(x/scale)*scale)
}
