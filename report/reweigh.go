package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"whatbout/study"
)

// What is worth a word: shares that change by more than a point, rates that change by more than a tenth and are not tiny.
const (
	wordyShare = .01
	wordyRate  = .1
	tinyRate   = .05 // a minute
)

// reweighted tells what the plans re-weight, in the most frequent state of every rule.
func (c *Comparison) reweighted(b *strings.Builder) {
	for _, plan := range c.Plans {
		if len(plan.Reweighted) == 0 {
			continue
		}
		fmt.Fprintf(b, "What %q re-weights, when followed, at the centre of the figures (the most frequent state of each rule; all are in the JSON):\n", plan.Name)
		for _, w := range mostFrequent(plan.Reweighted) {
			fmt.Fprintf(b, "  %s: %s %s\n    %s\n", w.Rule, pointWords[w.Point], w.Where, changes(&w))
		}
		b.WriteString("\n")
	}
}

// pointWords says when a fighter chooses.
var pointWords = map[string]string{
	"initiate": "free,", "believe": "taken as real, an onset that looks half real", "defend": "defending", "answer": "a defence is over,",
	"continue": "an own act is over,", "survive": "surviving,",
}

func changes(w *study.Reweighted) string {
	var words []string
	for _, x := range w.Changes {
		if w.Unit == study.PerMinute {
			if before, after := x.Before, x.After; math.Abs(after-before) > max(wordyRate*before, tinyRate) {
				words = append(words, fmt.Sprintf("%s %.1f to %.1f a minute", plain(x.What), before, after))
			}
			continue
		}
		if math.Abs(x.After-x.Before) > wordyShare {
			words = append(words, fmt.Sprintf("%s %.0f to %.0f %%", nameOf(x.What), 100*x.Before, 100*x.After))
		}
	}
	if len(words) == 0 {
		return "nothing by more than a point or a tenth"
	}
	return strings.Join(words, ", ")
}

func nameOf(what string) string {
	switch what {
	case "none":
		return "nothing at once"
	case "real":
		return "believed"
	}
	return plain(what)
}

// mostFrequent keeps the first table of every rule; rules that act together on the same one share it.
func mostFrequent(all []study.Reweighted) (out []study.Reweighted) {
	seen := map[string]bool{}
	for _, w := range all {
		if seen[w.Rule] {
			continue
		}
		seen[w.Rule] = true
		same := slices.IndexFunc(out, func(o study.Reweighted) bool {
			return o.Point == w.Point && o.Where == w.Where && slices.Equal(o.Changes, w.Changes)
		})
		if same < 0 {
			out = append(out, w)
			continue
		}
		out[same].Rule += " + " + w.Rule
	}
	return out
}
