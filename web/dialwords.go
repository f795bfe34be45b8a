package web

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"whatbout/report"
	"whatbout/study"
)

// dialLabel says on a slider what a dial counts of a fighter, shorter than the dial does itself.
func dialLabel(d *study.Dial, who string) string {
	if cue, ok := strings.CutPrefix(d.Name, "bites."); ok {
		if cue == "level" {
			cue = "level-change"
		}
		return "Bites of " + who + " per ten " + cue + " feints"
	}
	if move, ok := strings.CutPrefix(d.Name, "rate."); ok {
		_, where, _ := strings.Cut(d.Plain(who), "a minute of free time ")
		return capital(moveName(move)) + " begun by " + who + ", per free minute " + where
	}
	if d.OfPlan() {
		return "Decisions of 100 at which " + who + ", fresh, follows the plan"
	}
	if words := aloneLabels[d.Name]; words != "" {
		return strings.ReplaceAll(words, "%s", who)
	}
	return capital(strings.Replace(d.Plain(who), ", as a multiple of the usual", ", × the usual", 1))
}

// aloneLabels are for dials whose unit stands beside them anyway.
var aloneLabels = map[string]string{
	"reaction.simple":   "Reaction of %s to an onset that was anticipated",
	"reaction.choice":   "Reaction of %s when it has to be chosen what to do",
	"anticipation":      "Onsets of ten that %s reads before they begin",
	"anticipation.lead": "Time that %s gains by reading an onset early",
	"step":              "Length of the steps of %s",
}

// moveName turns a name of the vocabulary into words: feint_hip is a hip feint.
func moveName(move string) string {
	words := strings.Split(move, "_")
	switch {
	case words[0] == "feint":
		return words[1] + " feint"
	case words[len(words)-1] == "body" && len(words) > 1:
		return strings.Join(words[:len(words)-1], " ") + " to the body"
	}
	return strings.Join(words, " ")
}

func title(id string) string { return report.Title(id) }

// capital begins a sentence.
func capital(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	if size == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + words[size:]
}
