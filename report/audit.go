package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/calibrate"
)

// AuditSchema names the form of the JSON.
const AuditSchema = "whatbout.audit/2"

// Audit is whether the model reproduces coded rounds, with what is needed to say it and to run it again.
type Audit struct {
	Schema  string  `json:"schema"`
	Version string  `json:"version"`
	Seed    uint64  `json:"seed"`
	Inputs  []Input `json:"inputs"`
	calibrate.Audit

	Again string `json:"again"`
	Full  bool   `json:"-"` // text with all totals and rounds, not only those outside their interval
}

// JSON writes the audit as one object, six digits a number.
func (a *Audit) JSON(w io.Writer) error { return writeJSON(w, a) }

// Text writes the audit: first what a coach needs, then what a statistician would ask for.
func (a *Audit) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Does the model reproduce the coded rounds? %s of %s, each held against the same round of %d simulated bouts%s.\n\n",
		counted(a.Rounds, "round"), counted(a.Bouts, "bout"), a.Draws, a.profiles())
	a.verdicts(&b)
	a.rivals(&b)
	b.WriteString("For a statistician\n\n")
	a.ranks(&b)
	a.scores(&b)
	a.totals(&b)
	a.times(&b)
	a.landing(&b)
	a.coverage(&b)
	a.pit(&b)
	a.outside(&b)
	for _, n := range a.Notes {
		fmt.Fprintf(&b, "Note: %s\n", harmless(n))
	}
	b.WriteString("Note: simulated rounds are whole, with nobody stopped; a coded round that a stoppage ended is compared up to its end.\n")
	fmt.Fprintf(&b, "\nSeed %d. The same again: %s\n\n%s", a.Seed, harmless(a.Again), Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// profiles says what the profiles know.
func (a *Audit) profiles() string {
	kind, which, named := strings.Cut(a.HeldBack, "=")
	switch {
	case a.HeldBack == "" && a.InSample:
		return ", in-sample (see the note below)"
	case a.HeldBack == "":
		return ""
	case !named:
		return ", with profiles made without that " + kind
	case kind == calibrate.HoldRounds:
		return ", with profiles made without any round " + which
	}
	return ", with profiles made without the bout " + harmless(which)
}

// groupsInWords says what each group of figures is.
var groupsInWords = map[string]string{
	calibrate.AuditActs:     "how many strikes, takedowns, feints and steps back",
	calibrate.AuditClean:    "how many strikes landed clean",
	calibrate.AuditBites:    "how many feints were bitten on",
	calibrate.AuditRange:    "how long at which range",
	calibrate.AuditMoves:    "how often from one range to another",
	calibrate.AuditPosition: "how long in the centre, and with the back on the fence",
	calibrate.AuditTiming:   "when acts were begun: how they bunch and spread",
	calibrate.AuditChances:  "whether strikes landed as often as the model says",
}

func (a *Audit) verdicts(b *strings.Builder) {
	t := newAgreeTable()
	for i := range a.Verdicts {
		v := &a.Verdicts[i]
		t.AppendRow(table.Row{"  " + v.Group, groupsInWords[v.Group], v.Verdict})
	}
	b.WriteString(trimmed(t) + "\n\n")
	if !slices.ContainsFunc(a.Verdicts, func(v calibrate.AuditVerdict) bool { return v.Verdict == calibrate.DoesNot }) {
		b.WriteString("  Nothing is called wrong.\n")
	}
	for i := range a.Verdicts {
		v := &a.Verdicts[i]
		switch v.Verdict {
		case calibrate.DoesNot:
			fmt.Fprintf(b, "  %s: %s.\n", v.Group, a.misfit(v))
		case calibrate.TooLittle:
			fmt.Fprintf(b, "  %s: nothing looks wrong, but %s of %s %s known so well that half of what is expected would be noticed; code more.\n", v.Group,
				only(v.Telling), lookedAt(v), areOf(v.Telling))
		}
	}
	b.WriteString("\n")
}

func only(n int) string {
	if n == 0 {
		return "none"
	}
	return fmt.Sprintf("only %d", n)
}

func areOf(n int) string {
	if n < 2 {
		return "is"
	}
	return "are"
}

// lookedAt names what is telling or not.
func lookedAt(v *calibrate.AuditVerdict) string {
	switch v.Group {
	case calibrate.AuditTiming:
		return counted(v.Looked, "fighter")
	case calibrate.AuditChances:
		return fmt.Sprintf("%d classes of strikes", v.Looked)
	}
	return counted(v.Looked, "total")
}

// misfit says what is off in a group that does not fit.
func (a *Audit) misfit(v *calibrate.AuditVerdict) string {
	odd := ""
	if v.OddBout != "" {
		odd = "; of the bouts, " + harmless(v.OddBout) + " is farthest off"
	}
	if len(v.Worst) == 0 {
		return "nothing alone lies outside its interval; it is how figures go together, or how rounds spread (see the PIT)" + odd
	}
	said := []string{}
	for _, name := range v.Worst {
		said = append(said, name+a.numbers(v.Group, name))
	}
	return "farthest off: " + harmless(strings.Join(said, "; ")) + odd
}

// numbers gives what stands behind the name of a total.
func (a *Audit) numbers(group, name string) string {
	for i := range a.Totals {
		t := &a.Totals[i]
		if t.Group == group && slices.Contains([]string{"above", "below"}, strings.TrimPrefix(name, t.Fighter+" "+t.Figure+" ")) {
			return fmt.Sprintf(" (%s, expected %s)", inUnit(t.Coded, t.Unit), between(t.Forecast, t.Unit))
		}
	}
	return ""
}

// ranks shows what verdicts rest on.
func (a *Audit) ranks(b *strings.Builder) {
	t := newAgreeTable()
	t.AppendRow(table.Row{"Verdict", "p", "called wrong at", "of", "telling"})
	for _, v := range a.Verdicts {
		var parts []string
		for _, p := range v.Parts {
			parts = append(parts, fmt.Sprintf("%s %.3f", p.Name, p.P))
		}
		t.AppendRow(table.Row{"  " + v.Group, fmt.Sprintf("%.4f", v.P), fmt.Sprintf("%.4f", v.Level), strings.Join(parts, ", "), fmt.Sprintf("%d of %d", v.Telling, v.Looked)})
	}
	b.WriteString(trimmed(t) + "\n")
	b.WriteString("  p: how often a tape that the model itself makes is as far off, by its rank among the simulated ones (the smallest of the ranks behind it, ranked again).\n" +
		"  All groups together are called wrong without reason at most once in 20 audits. Telling: half of what is expected would lie outside the 90 %\n" +
		"  interval; of times, 50 gaps and more.\n\n")
}
