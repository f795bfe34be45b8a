package report

import (
	"fmt"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/calibrate"
)

func presences(b *strings.Builder, p *calibrate.PairAgreement) {
	t := newAgreeTable()
	t.AppendRow(table.Row{"Did they see the same events?", p.First, p.Second, "same", "other group", "agreement", "missed by " + p.First, "missed by " + p.Second,
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
	b.WriteString("Strikes here count kicks too; further down, what is called what has them apart.\n\n")
}

// codes shows two coders' kappas, plain and weighted, or that of several.
func codes(b *strings.Builder, question string, all []calibrate.CodeAgreement) {
	t := newAgreeTable()
	kappas := table.Row{"Cohen's kappa", "weighted kappa"}
	several := slices.ContainsFunc(all, func(c calibrate.CodeAgreement) bool { return c.Fleiss != nil })
	if several {
		kappas = table.Row{"Fleiss' kappa"}
	}
	t.AppendRow(slices.Concat(table.Row{question, "events", "same"}, kappas, table.Row{"Krippendorff's alpha", "Gwet's AC1"}))
	for i := range all {
		c := &all[i]
		name := c.Code
		if name == "act" {
			name = "act within " + c.Group
		}
		kappas = table.Row{coefficient(c.Kappa), coefficient(c.Weighted)}
		if several {
			kappas = table.Row{coefficient(c.Fleiss)}
		}
		t.AppendRow(slices.Concat(table.Row{"  " + name, c.Units, bracketed(c.Same)}, kappas, table.Row{coefficient(&c.Alpha), coefficient(&c.AC1)}))
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
		s := &p.States[i]
		if s.Seconds == 0 {
			fmt.Fprintf(b, "  %s: there is no moment at which both have one.\n\n", s.State)
			continue
		}
		for _, warning := range s.Warnings {
			fmt.Fprintf(b, "  %s: %s.\n\n", s.State, warning)
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
