package report

import (
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"unicode"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/calibrate"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// AgreementSchema names the form of the JSON.
const AgreementSchema = "whatbout.agree/1"

// Agreement is how far codings agree, with what is needed to say it and to run it again.
type Agreement struct {
	Schema  string  `json:"schema"`
	Version string  `json:"version"`
	Seed    uint64  `json:"seed"` // of the bootstraps
	Inputs  []Input `json:"inputs"`
	calibrate.Agreement

	Again string `json:"-"`
}

// JSON writes the agreement as one object, six digits a number.
func (a *Agreement) JSON(w io.Writer) error {
	data, err := json.Marshal(a)
	if err != nil {
		return err
	}
	var copied Agreement
	if err := json.Unmarshal(data, &copied); err != nil {
		return err
	}
	roundDeep(reflect.ValueOf(&copied))
	out := json.NewEncoder(w)
	out.SetIndent("", " ")
	return out.Encode(&copied)
}

// shownDisagreements is how many the text lists; JSON and CSV have all.
const shownDisagreements = 25

// shownConfusions is how many pairs of acts the text lists.
const shownConfusions = 15

// Text writes the agreement for an analyst. It ends with the largest disagreements in the order of the clock.
func (a *Agreement) Text(w io.Writer) error {
	var b strings.Builder
	a.heading(&b)
	for i := range a.Pairs {
		a.pair(&b, &a.Pairs[i])
	}
	if a.All != nil {
		a.all(&b)
	}
	a.errors(&b)
	b.WriteString("* rough: hardly any unit differs, or there are few; the JSON says why.\n")
	for _, warning := range a.Warnings {
		fmt.Fprintf(&b, "Note: %s\n", harmless(warning))
	}
	fmt.Fprintf(&b, "\nAgain: %s\n", harmless(a.Again))
	for i := range a.Pairs {
		largest(&b, &a.Pairs[i])
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (a *Agreement) heading(b *strings.Builder) {
	fmt.Fprintf(b, "Agreement of coders on %s: %s\n", harmless(a.Bout), harmless(strings.Join(a.Codings, ", ")))
	if a.Invented {
		b.WriteString("The bout is invented.\n")
	}
	fmt.Fprintf(b, "Events match within %.3g s of each other, one to one. In brackets: %.3g %% intervals.\n", a.Window, 100*a.Level)
	if len(a.NotLookedFor) > 0 {
		fmt.Fprintf(b, "Not looked for, and so left out: %s.\n", strings.Join(a.NotLookedFor, ", "))
	}
	b.WriteString("\n")
}

func (a *Agreement) pair(b *strings.Builder, p *calibrate.PairAgreement) {
	first, second := harmless(p.First), harmless(p.Second)
	fmt.Fprintf(b, "%s and %s\n", first, second)
	offset(b, p)
	fmt.Fprintf(b, "Events: %d by %s, %d by %s, %d of them the same: positive agreement %s.\n", p.Events.First, first, p.Events.Second, second, p.Events.Matched,
		bracketed(p.Events.Agreement))
	if p.Offset.Corrected {
		fmt.Fprintf(b, "  Before the correction: %d the same, %s.\n", p.Uncorrected.Matched, bracketed(p.Uncorrected.Agreement))
	}
	if n := p.Unseen[0] + p.Unseen[1]; n > 0 {
		fmt.Fprintf(b, "  %d acts at moments that the other did not see or code are not judged.\n", n)
	}
	if p.Clocks.Apart.Count > 0 {
		fmt.Fprintf(b, "Clocks of events that both call the same: half lie within %.3f s (%.3f to %.3f) of each other; alpha on clocks (interval) %s.\n", p.Clocks.Apart.Centre,
			p.Clocks.Apart.Low, p.Clocks.Apart.High, coefficient(&p.Clocks.Alpha))
	}
	b.WriteString("\n")
	presences(b, p)
	codes(b, "Do they call a matched event the same?", p.Codes)
	states(b, p)
	curve(b, p)
	confused(b, p)
}

func offset(b *strings.Builder, p *calibrate.PairAgreement) {
	o, ahead := p.Offset, "ahead of"
	first, second := harmless(p.First), harmless(p.Second)
	switch {
	case o.Count == 0:
		b.WriteString("Clock offset: no events match, so that none can be told.\n")
	case !o.Corrected:
		fmt.Fprintf(b, "Clock offset: none that can be told from zero: %+.3f s (%+.3f to %+.3f).\n", o.Centre, o.Low, o.High)
	default:
		low, high := o.Low, o.High
		if o.Centre < 0 {
			ahead, low, high = "behind", -o.High, -o.Low
		}
		fmt.Fprintf(b, "Clock offset: %s is %.3f s (%.3f to %.3f) %s %s throughout. It is taken out of what follows.\n", second, abs(o.Centre),
			low, high, ahead, first)
	}
}

func abs(x float64) float64 { return max(x, -x) }

func presences(b *strings.Builder, p *calibrate.PairAgreement) {
	t := newAgreeTable()
	t.AppendRow(table.Row{"Did they see the same events?", p.First, p.Second, "same", "in another group", "positive agreement", "missed by " + p.First, "missed by " + p.Second,
		"events there were"})
	for i := range p.Groups {
		g := &p.Groups[i]
		if g.First+g.Second == 0 {
			continue
		}
		t.AppendRow(table.Row{"  " + g.Group, g.First, g.Second, g.Matched, g.Confused, bracketed(g.Agreement), bracketed(g.MissFirst), bracketed(g.MissSecond),
			fmt.Sprintf("%.0f (%.0f to %.0f)", g.TotalEvents.Centre, g.TotalEvents.Low, g.TotalEvents.High)})
	}
	render(b, t)
}

func codes(b *strings.Builder, question string, all []calibrate.CodeAgreement) {
	t := newAgreeTable()
	several := slices.ContainsFunc(all, func(c calibrate.CodeAgreement) bool { return c.Fleiss != nil })
	kappa, weighted := "Cohen's kappa", "weighted kappa"
	if several {
		kappa, weighted = "Fleiss' kappa", ""
	}
	t.AppendRow(table.Row{question, "events", "same", kappa, weighted, "Krippendorff's alpha", "Gwet's AC1"})
	for i := range all {
		c := &all[i]
		k := c.Kappa
		if several {
			k = c.Fleiss
		}
		name := c.Code
		if name == "act" {
			name = "act within " + c.Group
		}
		t.AppendRow(table.Row{"  " + name, c.Units, bracketed(c.Same), coefficient(k), coefficient(c.Weighted), coefficient(&c.Alpha), coefficient(&c.AC1)})
	}
	render(b, t)
}

func states(b *strings.Builder, p *calibrate.PairAgreement) {
	t := newAgreeTable()
	t.AppendRow(table.Row{"Do their states agree, by time?", "seconds", "share of time", "Cohen's kappa", "Krippendorff's alpha", "Gwet's AC1", "blocks of"})
	shownAny := false
	for i := range p.States {
		s := &p.States[i]
		if s.Seconds > 0 {
			shownAny = true
			t.AppendRow(table.Row{"  " + s.State, fmt.Sprintf("%.0f", s.Seconds), coefficient(&s.Share), coefficient(&s.Kappa), coefficient(&s.Alpha), coefficient(&s.AC1),
				fmt.Sprintf("%.0f s", s.Block)})
		}
	}
	if shownAny {
		render(b, t)
	}
	for i := range p.States {
		if s := &p.States[i]; s.Seconds == 0 {
			fmt.Fprintf(b, "  %s: there is no moment at which both have one.\n\n", s.State)
		}
	}
}

func curve(b *strings.Builder, p *calibrate.PairAgreement) {
	t := newAgreeTable()
	t.AppendRow(table.Row{"How wide a window?", "same event", "positive agreement", "of those, same act"})
	for i := range p.Curve {
		w := &p.Curve[i]
		t.AppendRow(table.Row{fmt.Sprintf("  %.2g s", w.Window), w.Events.Matched, bracketed(w.Events.Agreement), bracketed(w.SameAct)})
	}
	render(b, t)
}

// confused shows the table by group and the acts that are taken for each other most often.
func confused(b *strings.Builder, p *calibrate.PairAgreement) {
	t := newAgreeTable()
	header := table.Row{"What " + p.First + " calls (down), " + p.Second + " calls (across)"}
	for _, g := range p.ByGroup.Groups {
		header = append(header, strings.ReplaceAll(g, "_", " "))
	}
	t.AppendRow(header)
	for i, g := range p.ByGroup.Groups {
		row := table.Row{"  " + strings.ReplaceAll(g, "_", " ")}
		for _, n := range p.ByGroup.Counts[i] {
			if n == 0 {
				row = append(row, ".")
			} else {
				row = append(row, n)
			}
		}
		t.AppendRow(row)
	}
	render(b, t)
	var lines []string
	for _, c := range p.Confusions {
		if c.First != c.Second && c.First != "" && c.Second != "" && len(lines) < shownConfusions {
			lines = append(lines, fmt.Sprintf("%s / %s %d", c.First, c.Second, c.Count))
		}
	}
	if len(lines) > 0 {
		fmt.Fprintf(b, "Acts that differ most often (%s / %s, times): %s.\n\n", harmless(p.First), harmless(p.Second), strings.Join(lines, "; "))
	}
}

// all: three coders and more.
func (a *Agreement) all(b *strings.Builder) {
	fmt.Fprintf(b, "All %d together: %d events that anybody saw\n\n", len(a.Codings), a.All.Events)
	t := newAgreeTable()
	header := table.Row{"How many coders saw an event?"}
	for k := range a.Codings {
		header = append(header, k+1)
	}
	t.AppendRow(header)
	for _, g := range a.All.Groups {
		row := table.Row{"  " + g.Group}
		for _, n := range g.SeenBy {
			row = append(row, n)
		}
		t.AppendRow(row)
	}
	render(b, t)
	codes(b, "Do they call an event the same?", a.All.Codes)
}

func (a *Agreement) errors(b *strings.Builder) {
	t := newAgreeTable()
	t.AppendRow(table.Row{"Each coder's error", "group", "misses", "calls it another act", "makes up"})
	for i := range a.Errors {
		e := &a.Errors[i]
		if e.Estimate && e.Miss.Count == 0 {
			continue
		}
		extra := "cannot be told"
		if e.Extra != nil {
			extra = bracketed(*e.Extra)
		}
		t.AppendRow(table.Row{"  " + e.Coder, e.Group, bracketed(e.Miss), bracketed(e.Confused), extra})
	}
	b.WriteString(strings.TrimRight(trimmed(t), "\n") + "\n")
	if len(a.Errors) > 0 {
		fmt.Fprintf(b, "  From %s.\n\n", a.Errors[0].Source)
	}
}

// largest lists the weightiest disagreements in the order of the clock, for coders to look at.
func largest(b *strings.Builder, p *calibrate.PairAgreement) {
	if len(p.Disagreements) == 0 {
		fmt.Fprintf(b, "\n%s and %s differ nowhere.\n", harmless(p.First), harmless(p.Second))
		return
	}
	list := slices.Clone(p.Disagreements)
	slices.SortStableFunc(list, func(x, y calibrate.Disagreement) int {
		switch {
		case x.Weight > y.Weight:
			return -1
		case x.Weight < y.Weight:
			return 1
		}
		return 0
	})
	least := list[min(shownDisagreements, len(list))-1].Weight
	count, room := 0, 0
	for _, d := range list[:min(shownDisagreements, len(list))] {
		if d.Weight == least {
			room++
		}
	}
	t := newAgreeTable()
	t.AppendRow(table.Row{"  round", "clock of " + p.First, "of " + p.Second, "corner", "what", p.First, p.Second})
	for _, d := range p.Disagreements {
		if d.Weight < least || d.Weight == least && room == 0 {
			continue
		}
		if d.Weight == least {
			room--
		}
		count++
		t.AppendRow(disagreementRow(d))
	}
	fmt.Fprintf(b, "\nLook at these together: the %d largest of %d disagreements of %s and %s, by clock\n", count, len(p.Disagreements), harmless(p.First), harmless(p.Second))
	b.WriteString(trimmed(t) + "\n")
}

func disagreementRow(d calibrate.Disagreement) table.Row {
	what := d.What
	if d.Seconds > 0 {
		what = fmt.Sprintf("%s, %.1f s", what, d.Seconds)
	}
	return table.Row{fmt.Sprintf("  %d", d.Round), clock(d.FirstClock), clock(d.SecondClock), d.Corner, what, orDash(d.First), orDash(d.Second)}
}

func orDash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

// clock shows tenths; a moment before the bell, which the other coder's clock may give, is the bell.
func clock(s float64) string {
	return tape.FormatClock(int64(max(s, 0)*10+.5) * 100_000)
}

func bracketed(i infer.Interval) string {
	if i.Count == 0 && i.Method != "judgement" {
		return "-"
	}
	return fmt.Sprintf("%.2f (%.2f to %.2f)", i.Centre, i.Low, i.High)
}

// coefficient shows a coefficient, or a dash where it is not defined; a star warns that its bounds are rough.
func coefficient(c *infer.Coefficient) string {
	switch {
	case c == nil || !c.Defined:
		return "-"
	case len(c.Warnings) > 0:
		return bracketed(c.Interval) + "*"
	}
	return bracketed(c.Interval)
}

func newAgreeTable() table.Writer {
	t := table.NewWriter()
	style := table.StyleDefault
	style.Options = table.OptionsNoBordersAndSeparators
	t.SetStyle(style)
	return t
}

// trimmed renders without blanks at the ends of lines.
func trimmed(t table.Writer) string {
	lines := strings.Split(t.Render(), "\n")
	for i, line := range lines {
		lines[i] = strings.TrimRight(line, " ")
	}
	return strings.Join(lines, "\n")
}

func render(b *strings.Builder, t table.Writer) { b.WriteString(trimmed(t) + "\n\n") }

// harmless keeps what a user's name may carry off the terminal's control.
func harmless(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsPrint(r) {
			return r
		}
		return ' '
	}, s)
}
