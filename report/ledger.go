package report

import (
	"fmt"
	"strings"

	"whatbout/study"
)

// ledgerText says where the doubt about a figure comes from and what would shrink each part, in hundredths of its unit, as standard deviations.
func ledgerText(b *strings.Builder, l *study.Ledger, unit string) {
	fmt.Fprintf(b, "Where the doubt about %s less %s comes from (standard deviations, %s):\n", planWords(l.Plan), planWords(l.Against), unit)
	for _, p := range []struct {
		name string
		part study.Part
	}{{"luck of a single bout", l.Luck}, {"tape", l.Tape}, {"assumption", l.Assumption}, {"simulation", l.Simulation}} {
		line := fmt.Sprintf("  %-22s %s  %s", p.name, partSize(&p.part), strings.Join(waysOf(l, firstWord(p.name), &p.part), "; "))
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	b.WriteString("\n")
}

func planWords(plan string) string {
	if plan == "as usual" {
		return plan
	}
	return "\"" + plan + "\""
}

func firstWord(s string) string {
	word, _, _ := strings.Cut(s, " ")
	return word
}

// partSize is a standard deviation with its standard error, in a column.
func partSize(p *study.Part) string {
	switch {
	case p.AtMost == 0:
		return fmt.Sprintf("%-12s", " none")
	case !p.Told:
		return fmt.Sprintf("%-12s", fmt.Sprintf("at most %.1f", 100*p.AtMost))
	}
	return fmt.Sprintf("%5.2f ± %-4.2f", 100*p.SD, 100*p.SDError)
}

// waysOf says what shrinks a part, the cheapest first; what is not there needs no shrinking.
func waysOf(l *study.Ledger, part string, size *study.Part) (out []string) {
	if size.AtMost == 0 {
		return nil
	}
	if !size.Told && size.AtMost > 0 && (part == "tape" || part == "assumption") {
		out = append(out, "not told from none: more bouts a draw would tell")
	}
	for _, w := range l.Ways {
		if w.Part == part {
			if words := wayWords(&w, size); words != "" {
				out = append(out, words)
			}
		}
	}
	return out
}

func wayWords(w *study.Way, size *study.Part) string {
	switch {
	case w.How == study.MoreDraws:
		return fmt.Sprintf("four times the draws halve it: %d bouts more", w.Bouts)
	case w.How == study.MoreBouts:
		return fmt.Sprintf("spent on four times the bouts a draw instead, to %.2f", 100*w.To[0])
	case w.Part == "luck":
		return "nothing shrinks it: one bout is one bout"
	case w.Part == "assumption":
		return "neither tape nor bouts; what is drilled and measured in the gym"
	case !size.Told:
		return "twice the coded rounds would take up to three tenths off it"
	case w.Played:
		return fmt.Sprintf("twice the coded rounds: to about %.1f (played)", 100*w.To[0])
	}
	return fmt.Sprintf("twice the coded rounds: to between %.1f and %.1f (only what the population carries too shrinks less)", 100*w.To[0], 100*w.To[1])
}
