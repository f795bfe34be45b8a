package report

import (
	"fmt"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/calibrate"
)

// rivals says first in words what all counts together tell, then shows every group.
func (a *Audit) rivals(b *strings.Builder) {
	if len(a.Against) == 0 {
		b.WriteString("Against plain rivals: nobody has another round to go by.\n\n")
		return
	}
	b.WriteString("Does the model forecast counts better than plain arithmetic?\n\n")
	for i := range a.Against {
		r := &a.Against[i]
		if r.Group == "all" && r.Score == calibrate.ScoreLog {
			fmt.Fprintf(b, "  %s: %s.\n", contest(r), a.outcome(r))
		}
	}
	if a.InSample && a.Against[0].HeldBack == "" {
		b.WriteString("  In-sample: the model may have seen the rounds, and the rivals have not. It must win here, and not to win says much.\n")
	}
	b.WriteString("\n")
}

// contest names who met whom.
func contest(r *calibrate.AuditRival) string {
	return strings.TrimPrefix(heldBackFrom(r.HeldBack)+", against "+rivalsInWords[r.Rival], ", ")
}

var rivalsInWords = map[string]string{
	calibrate.RivalRates: "the fighter's own rates in all other rounds",
	calibrate.RivalLast:  "the fighter's last round before",
}

func heldBackFrom(what string) string {
	switch kind, which, named := strings.Cut(what, "="); {
	case what == "":
		return ""
	case !named:
		return "each " + kind + " held back"
	case kind == calibrate.HoldRounds:
		return "round " + which + " held back"
	default:
		return harmless(which) + " held back"
	}
}

// outcome puts both scores into a sentence.
func (a *Audit) outcome(r *calibrate.AuditRival) string {
	for i := range a.Against {
		c := &a.Against[i]
		if c.HeldBack != r.HeldBack || c.Rival != r.Rival || c.Group != r.Group || c.Score == r.Score {
			continue
		}
		if c.Verdict == r.Verdict {
			if r.Verdict == calibrate.CannotTell {
				return verdictInWords[r.Verdict] + " by either score"
			}
			return verdictInWords[r.Verdict] + " by both scores"
		}
		return fmt.Sprintf("%s by the %s, %s by the %s", verdictInWords[r.Verdict], r.Score, verdictInWords[c.Verdict], c.Score)
	}
	return verdictInWords[r.Verdict]
}

var verdictInWords = map[string]string{
	calibrate.Beats: "the model beats this rival", calibrate.DoesNotBeat: "the model does not beat this rival", calibrate.CannotTell: "who is better cannot be told",
}

func (a *Audit) scores(b *strings.Builder) {
	if len(a.Against) == 0 {
		return
	}
	t := newAgreeTable()
	t.AppendRow(table.Row{"Scores, less is better", "", "model", "rival", "model better by (95 %)", "of", ""})
	before := ""
	for i := range a.Against {
		r := &a.Against[i]
		if now := contest(r); now != before {
			before = now
			t.AppendRow(table.Row{" " + now})
		}
		better := fmt.Sprintf("%+.3f (%+.3f to %+.3f)", r.Less.Centre, r.Less.Low, r.Less.High)
		if r.Units < 2 {
			better = fmt.Sprintf("%+.3f (no interval)", r.Less.Centre)
		}
		t.AppendRow(table.Row{"  " + r.Group, r.Score, fmt.Sprintf("%.3f", r.Model), fmt.Sprintf("%.3f", r.Other), better, counted(r.Units, r.Unit), shortVerdict[r.Verdict]})
	}
	b.WriteString(trimmed(t) + "\n")
	b.WriteString("  Log score: minus the logarithm of the chance that was given to the count that came. CRPS: how far off, in acts. Both a figure and round.\n" +
		"  The rivals are given the coded time and forecast by a rate that they know from few acts (negative binomial).\n" +
		"  Every row is looked at alone: of rows in which both are alike, one in 20 is told by luck.\n")
	if slices.ContainsFunc(a.Against, func(r calibrate.AuditRival) bool { return r.Units > 1 && r.Unit == calibrate.HoldRounds }) {
		b.WriteString("  The rounds of a bout depend on each other, so that intervals over rounds are too narrow; from five bouts on they are over bouts.\n")
	}
	b.WriteString("\n")
}

var shortVerdict = map[string]string{calibrate.Beats: "beats", calibrate.DoesNotBeat: "does not beat", calibrate.CannotTell: "cannot be told"}
