package report

import (
	"fmt"
	"slices"
	"strings"

	"whatbout/fighter"
	"whatbout/tactics"
)

// ruleWords says what a rule asks for, as a coach would: when, what never, what more and what less.
func ruleWords(r *tactics.Rule) string {
	var never, none, rest []string
	for _, m := range r.Multiples {
		what := asked(r.At, m.What)
		switch {
		case m.By == 0 && strings.HasSuffix(what, "s"): // a group
			none = append(none, what)
		case m.By == 0:
			never = append(never, what)
		case r.At == tactics.Believe:
			rest = append(rest, "believe it "+fold(m.By, "as readily"))
		default:
			rest = append(rest, what+" "+fold(m.By, "as often"))
		}
	}
	var parts []string
	if len(r.Only) > 0 {
		only := make([]string, len(r.Only))
		for i, w := range r.Only {
			only[i] = asked(r.At, w)
		}
		parts = append(parts, "only "+orList(only))
	}
	if len(never) > 0 {
		parts = append(parts, "never "+orList(never))
	}
	if len(none) > 0 {
		parts = append(parts, "no "+orList(none))
	}
	return strings.Join(append(append([]string{occasion(r)}, parts...), rest...), ", ")
}

// asked is a word of the vocabulary in a sentence.
func asked(at tactics.Point, what string) string {
	switch {
	case what == "none" && at == tactics.Continue:
		return "stop after one act"
	case what == "none":
		return "do nothing"
	case what == "real":
		return "believe it"
	case what == "hand_fight":
		return "hand-fight"
	}
	return plain(what)
}

// fold says a multiple.
func fold(by float64, how string) string {
	switch by {
	case .5:
		return "half " + how
	case 1:
		return "just " + how
	case 2:
		return "twice " + how
	}
	return fmt.Sprintf("%.3g times %s", by, how)
}

// moments are the choice points as a coach says them.
var moments = [tactics.NumPoints]string{
	tactics.Initiate: "when nothing is on", tactics.Believe: "when something moves", tactics.Defend: "when it comes", tactics.Answer: "straight after a defence",
	tactics.Continue: "straight after an own act", tactics.Survive: "when hurt or down",
}

// occasion says when a rule holds.
func occasion(r *tactics.Rule) string {
	out := moments[r.At]
	for f := range tactics.NumFacts {
		if values := r.When[f]; len(values) > 0 {
			out += ", " + factValues(f, values)
		}
	}
	return out
}

// factValues says the values that count, one or another.
func factValues(f tactics.Fact, values []int) string {
	values = slices.Sorted(slices.Values(values))
	if f == tactics.FactRound {
		return rounds(values)
	}
	var words []string
	for _, v := range values {
		switch {
		case f == tactics.FactRange && v < len(zoneNames) && v < int(fighter.Top):
			words = append(words, zoneNames[v])
		case f == tactics.FactRange:
			words = append(words, "on the ground")
		case f == tactics.FactCue:
			words = append(words, "the "+cueWords[v])
		case v < len(factWords[f]) && factWords[f][v] != "":
			words = append(words, factWords[f][v])
		default:
			words = append(words, spaced(f.String())+": "+spaced(f.Values()[v]))
		}
	}
	return orList(onceSaid(words))
}

// onceSaid leaves out what all but the first would say again: two words or more, or what stands before a colon.
func onceSaid(all []string) []string {
	if len(all) < 2 {
		return all
	}
	first := strings.Fields(all[0])
	same := 0
	for same < len(first)-1 {
		start := strings.Join(first[:same+1], " ") + " "
		if slices.ContainsFunc(all, func(w string) bool { return !strings.HasPrefix(w, start) }) {
			break
		}
		same++
	}
	if same < 2 {
		return all
	}
	out := []string{all[0]}
	for _, w := range all[1:] {
		out = append(out, strings.TrimPrefix(w, strings.Join(first[:same], " ")+" "))
	}
	return out
}

// rounds says which; up to the last value means from there on.
func rounds(values []int) string {
	first := []string{"first", "second", "third", "fourth", "fifth"}
	last := len(first) - 1
	if values[len(values)-1] == last && values[len(values)-1]-values[0] == len(values)-1 && len(values) > 1 {
		return "from the " + first[values[0]] + " round on"
	}
	words := make([]string, len(values))
	for i, v := range values {
		words[i] = "in the " + first[v] + " round"
	}
	return orList(words)
}

func orList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
