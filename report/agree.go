package report

import (
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"strings"
	"unicode"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/calibrate"
	"whatbout/internal/infer"
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
	if len(a.Pairs) > 0 {
		b.WriteString("* rough: hardly any unit differs, or there are few; the JSON says why.  - nothing was counted, or one code only, on which chance alone agrees.\n")
	}
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
	heading := "Each coder's error, estimated"
	if len(a.Pairs) == 0 {
		heading = "Each coder's error, an assumption"
	}
	t.AppendRow(table.Row{heading, "group", "misses", "calls it another act", "makes up"})
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
