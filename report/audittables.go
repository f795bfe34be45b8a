package report

import (
	"fmt"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/calibrate"
	"whatbout/internal/infer"
)

// shownOutside is how many rounds outside their interval the text lists; JSON and CSV have all rounds.
const shownOutside = 20

// totals lists those outside their interval, or all.
func (a *Audit) totals(b *strings.Builder) {
	t, n := newAgreeTable(), 0
	t.AppendRow(table.Row{"Over all rounds", "figure", "coded", "forecast", "90 % interval", ""})
	for i := range a.Totals {
		x := &a.Totals[i]
		mark := outsideMark(x.Forecast, x.Coded)
		if mark != "" {
			n++
		}
		if mark != "" || a.Full {
			t.AppendRow(table.Row{"  " + harmless(x.Fighter), x.Figure, inUnit(x.Coded, x.Unit), inUnit(x.Forecast.Centre, x.Unit), between(x.Forecast, x.Unit), mark})
		}
	}
	if n > 0 || a.Full {
		b.WriteString(trimmed(t) + "\n")
	}
	fmt.Fprintf(b, "  %d of %d totals over all rounds lie outside their 90 %% interval; of a right model about %.0f do.%s\n\n", n, len(a.Totals), float64(len(a.Totals))/10,
		a.more("totals"))
}

// more says where the rest is.
func (a *Audit) more(of string) string {
	if a.Full {
		return ""
	}
	return " --full shows all " + of + "."
}

func outsideMark(i infer.Interval, coded float64) string {
	switch {
	case coded < i.Low:
		return "below"
	case coded > i.High:
		return "above"
	}
	return ""
}

func inUnit(x float64, unit string) string {
	switch unit {
	case calibrate.AuditShare:
		return fmt.Sprintf("%.1f %%", 100*x)
	case calibrate.AuditSeconds:
		return fmt.Sprintf("%.0f s", x)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0")
}

func between(i infer.Interval, unit string) string {
	return inUnit(i.Low, unit) + " to " + inUnit(i.High, unit)
}

func (a *Audit) times(b *strings.Builder) {
	if len(a.Times) == 0 {
		return
	}
	t := newAgreeTable()
	t.AppendRow(table.Row{"Times of acts begun", "gaps", "from the uniform (KS)", "from the model's own", "95 % have less than", "p", "p of settings"})
	for _, x := range a.Times {
		t.AppendRow(table.Row{"  " + harmless(x.Fighter), x.Gaps, fmt.Sprintf("%.3f", x.KS), fmt.Sprintf("%.3f", x.Distance), fmt.Sprintf("%.3f", x.Limit),
			fmt.Sprintf("%.3f", x.P), fmt.Sprintf("%.3f", x.PSettings)})
	}
	b.WriteString(trimmed(t) + "\n")
	b.WriteString("  Gaps between acts that nothing set off, in acts expected by the profile at the own range in free time (time rescaling, Brown et al. 2002).\n" +
		"  Figures are fitted and clocks rounded, so that the band is that of simulated tapes read in the same way.\n")
	t = newAgreeTable()
	t.AppendRow(curveHeader("Share of gaps up to", a.Times[0].Curve))
	for _, x := range a.Times {
		addCurve(t, harmless(x.Fighter), x.Curve)
	}
	b.WriteString(trimmed(t) + "\n")
	a.settings(b)
}

// settings lists from where and on what acts were begun: those outside their band, or all.
func (a *Audit) settings(b *strings.Builder) {
	t, n, of := newAgreeTable(), 0, 0
	t.AppendRow(table.Row{"What set acts off", "of acts begun standing", "coded", "90 % of simulated tapes", ""})
	for _, x := range a.Times {
		for _, s := range x.Settings {
			band := infer.Interval{Low: s.Low, High: s.High}
			mark := outsideMark(band, s.Share)
			if of++; mark != "" {
				n++
			}
			if mark != "" || a.Full {
				t.AppendRow(table.Row{"  " + harmless(x.Fighter), s.Name, inUnit(s.Share, calibrate.AuditShare), between(band, calibrate.AuditShare), mark})
			}
		}
	}
	if n > 0 || a.Full {
		b.WriteString(trimmed(t) + "\n")
	}
	fmt.Fprintf(b, "  %d of %d shares of what set acts off lie outside; of a right model about %.0f do.%s\n\n", n, of, float64(of)/10, a.more("shares"))
}

func (a *Audit) landing(b *strings.Builder) {
	l := a.Landing
	if l == nil {
		return
	}
	t := newAgreeTable()
	t.AppendRow(table.Row{"Do strikes land as often as said?", "said", "landed", "90 % of simulated tapes", ""})
	for _, x := range l.Curve {
		band := infer.Interval{Low: x.Low, High: x.High}
		t.AppendRow(table.Row{"  " + counted(x.Strikes, "strike"), inUnit(x.Chance, calibrate.AuditShare), inUnit(x.Landed, calibrate.AuditShare), between(band, calibrate.AuditShare),
			outsideMark(band, x.Landed)})
	}
	b.WriteString(trimmed(t) + "\n")
	fmt.Fprintf(b, "  Brier score %.4f = reliability %.4f - resolution %.4f + uncertainty %.4f %+.4f within classes; skill %+.3f against one share for all.\n",
		l.Brier, l.Reliability, l.Resolution, l.Uncertainty, l.Within, l.Skill)
	fmt.Fprintf(b, "  Reliability, 0 is best: 90 %% of simulated tapes have %.4f to %.4f.\n\n", l.Usual.Low, l.Usual.High)
}

func (a *Audit) coverage(b *strings.Builder) {
	t := newAgreeTable()
	t.AppendRow(table.Row{"Coded values inside their interval", "level", "expected of counts", "inside", "95 % (Wilson)", "of"})
	for _, c := range a.Coverage {
		t.AppendRow(table.Row{"  " + c.Group, fmt.Sprintf("%.0f %%", 100*c.Level), fmt.Sprintf("%.1f %%", 100*c.Expected), fmt.Sprintf("%.1f %%", 100*c.Share.Centre),
			fmt.Sprintf("%.1f to %.1f %%", 100*c.Share.Low, 100*c.Share.High), c.Share.Count})
	}
	b.WriteString(trimmed(t) + "\n  Wilson's interval takes figures for independent, which those of one round are not: it is too narrow.\n\n")
}

func (a *Audit) pit(b *strings.Builder) {
	t := newAgreeTable()
	started := false
	for _, v := range a.Verdicts {
		if len(v.PIT) == 0 {
			continue
		}
		if !started {
			started = true
			t.AppendRow(curveHeader("PIT at", v.PIT))
		}
		addCurve(t, v.Group, v.PIT)
	}
	if started {
		render(b, t)
	}
}

func curveHeader(name string, points []calibrate.AuditPoint) table.Row {
	row := table.Row{name}
	for _, p := range points {
		row = append(row, fmt.Sprintf("%.1f", p.U))
	}
	return row
}

func addCurve(t table.Writer, name string, points []calibrate.AuditPoint) {
	row, band := table.Row{"  " + name}, table.Row{"    90 % of draws"}
	for _, p := range points {
		row, band = append(row, fmt.Sprintf("%.2f", p.Share)), append(band, fmt.Sprintf("%.2f-%.2f", p.Low, p.High))
	}
	t.AppendRow(row)
	t.AppendRow(band)
}

// outside lists rounds outside their 90 % interval in the order of the tape.
func (a *Audit) outside(b *strings.Builder) {
	t, n, expected := newAgreeTable(), 0, a.expectedOutside()
	t.AppendRow(table.Row{"Rounds outside the 90 % interval", "", "", "", "coded", "90 % interval"})
	for i := range a.Cells {
		c := &a.Cells[i]
		if c.Forecast.Holds(c.Coded) {
			continue
		}
		if n++; n <= shownOutside || a.Full {
			t.AppendRow(table.Row{"  " + harmless(c.Bout), fmt.Sprintf("round %d", c.Round), harmless(c.Fighter), c.Figure, inUnit(c.Coded, c.Unit), between(c.Forecast, c.Unit)})
		}
	}
	if n > 0 {
		b.WriteString(trimmed(t) + "\n")
	}
	fmt.Fprintf(b, "  %d of %d figures of rounds lie outside; of a right model about %.0f do.", n, len(a.Cells), expected)
	if n > shownOutside {
		b.WriteString(a.more("of them"))
	}
	b.WriteString("\n\n")
}

// expectedOutside is by what the draws themselves do.
func (a *Audit) expectedOutside() float64 {
	for _, c := range a.Coverage {
		if c.Group == "all" && c.Level == .9 {
			return float64(len(a.Cells)) * (1 - c.Expected)
		}
	}
	return 0
}
