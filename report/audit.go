package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/calibrate"
	"whatbout/internal/infer"
)

// AuditSchema names the form of the JSON.
const AuditSchema = "whatbout.audit/1"

// Audit is whether the model reproduces coded rounds, with what is needed to say it and to run it again.
type Audit struct {
	Schema  string  `json:"schema"`
	Version string  `json:"version"`
	Seed    uint64  `json:"seed"`
	Inputs  []Input `json:"inputs"`
	calibrate.Audit

	Again string `json:"-"`
}

// JSON writes the audit as one object, six digits a number.
func (a *Audit) JSON(w io.Writer) error { return writeJSON(w, a) }

// shownOutside is how many rounds outside their interval the text lists; JSON and CSV have all rounds.
const shownOutside = 20

// Text writes the audit for an analyst: verdicts first.
func (a *Audit) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Does the model reproduce what was coded? Coded rounds: %d, of bouts: %d. Predictive rounds for each: %d, each with figures and mechanics of its own.\n\n", a.Rounds, a.Bouts,
		a.Draws)
	a.verdicts(&b)
	a.totals(&b)
	a.coverage(&b)
	a.rivals(&b)
	a.pit(&b)
	a.outside(&b)
	for _, n := range a.Notes {
		fmt.Fprintf(&b, "Note: %s\n", harmless(n))
	}
	b.WriteString("Note: simulated rounds are whole, with nobody stopped; a coded round that a stoppage ended is compared up to its end.\n")
	fmt.Fprintf(&b, "\nAgain: %s\n", harmless(a.Again))
	_, err := io.WriteString(w, b.String())
	return err
}

func (a *Audit) verdicts(b *strings.Builder) {
	t := newAgreeTable()
	t.AppendRow(table.Row{"Verdict", "", "p", "called wrong at", "totals off, p", "PIT off, p", "telling totals"})
	for _, v := range a.Verdicts {
		t.AppendRow(table.Row{"  " + v.Group, v.Verdict, fmt.Sprintf("%.3f", v.P), fmt.Sprintf("%.3f", v.Level), fmt.Sprintf("%.3f", v.Off),
			fmt.Sprintf("%.3f", v.Shape), fmt.Sprintf("%d of %d", v.Telling, v.Totals)})
	}
	b.WriteString(trimmed(t) + "\n")
	b.WriteString("  p: how often tape that the model itself makes is as far off. Telling: half of what is expected would lie outside the interval; with fewer than half\n" +
		"  of them telling, what is not called wrong is too little tape to tell.\n")
	for _, v := range a.Verdicts {
		if v.Verdict == calibrate.DoesNot {
			fmt.Fprintf(b, "  %s: %s.\n", v.Group, misfit(v))
		}
	}
	b.WriteString("\n")
}

// misfit says what is off in a group that does not fit.
func misfit(v calibrate.AuditVerdict) string {
	if len(v.Worst) == 0 {
		return "no total alone lies outside its interval; it is how totals go together, or how rounds spread (see the PIT)"
	}
	return "farthest off over all rounds: " + harmless(strings.Join(v.Worst, ", "))
}

func (a *Audit) totals(b *strings.Builder) {
	t := newAgreeTable()
	t.AppendRow(table.Row{"Over all rounds", "figure", "coded", "forecast", "90 % interval", ""})
	for i := range a.Totals {
		x := &a.Totals[i]
		t.AppendRow(table.Row{"  " + harmless(x.Fighter), x.Figure, inUnit(x.Coded, x.Unit), inUnit(x.Forecast.Centre, x.Unit), between(x.Forecast, x.Unit),
			outsideMark(x.Forecast, x.Coded)})
	}
	render(b, t)
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

func (a *Audit) coverage(b *strings.Builder) {
	t := newAgreeTable()
	t.AppendRow(table.Row{"Coded values inside their interval", "level", "expected of counts", "inside", "95 % (Wilson)", "of"})
	for _, c := range a.Coverage {
		t.AppendRow(table.Row{"  " + c.Group, fmt.Sprintf("%.0f %%", 100*c.Level), fmt.Sprintf("%.1f %%", 100*c.Expected), fmt.Sprintf("%.1f %%", 100*c.Share.Centre),
			fmt.Sprintf("%.1f to %.1f %%", 100*c.Share.Low, 100*c.Share.High), c.Share.Count})
	}
	render(b, t)
}

func (a *Audit) rivals(b *strings.Builder) {
	if len(a.Against) == 0 {
		b.WriteString("Against plain rates: nobody has another round to take rates from.\n\n")
		return
	}
	t := newAgreeTable()
	t.AppendRow(table.Row{"Against plain rates (CRPS, less is better)", "model", "rates", "model better by (95 %)", "rounds", ""})
	for _, r := range a.Against {
		t.AppendRow(table.Row{"  " + r.Group, fmt.Sprintf("%.3f", r.Model), fmt.Sprintf("%.3f", r.Rival),
			fmt.Sprintf("%+.3f (%+.3f to %+.3f)", r.Less.Centre, r.Less.Low, r.Less.High), r.Rounds, r.Verdict})
	}
	b.WriteString(trimmed(t) + "\n  Rates: a Poisson forecast from the fighter's other rounds.")
	if a.InSample {
		b.WriteString(" In-sample, the model may have seen the round and they have not: it must win here, and not to win says much.")
	}
	b.WriteString("\n\n")
}

func (a *Audit) pit(b *strings.Builder) {
	t := newAgreeTable()
	header := table.Row{"PIT at"}
	for _, p := range a.Verdicts[0].PIT {
		header = append(header, fmt.Sprintf("%.1f", p.U))
	}
	t.AppendRow(header)
	for _, v := range a.Verdicts {
		row, band := table.Row{"  " + v.Group}, table.Row{"    90 % of draws"}
		for _, p := range v.PIT {
			row, band = append(row, fmt.Sprintf("%.2f", p.PIT)), append(band, fmt.Sprintf("%.2f-%.2f", p.Low, p.High))
		}
		t.AppendRow(row)
		t.AppendRow(band)
	}
	render(b, t)
}

// outside lists rounds outside their 90 % interval in the order of the tape.
func (a *Audit) outside(b *strings.Builder) {
	t, n := newAgreeTable(), 0
	t.AppendRow(table.Row{"Outside the 90 % interval", "", "", "", "coded", "90 % interval"})
	for i := range a.Cells {
		c := &a.Cells[i]
		if c.Forecast.Holds(c.Coded) {
			continue
		}
		if n++; n <= shownOutside {
			t.AppendRow(table.Row{"  " + harmless(c.Bout), fmt.Sprintf("round %d", c.Round), harmless(c.Fighter), c.Figure, inUnit(c.Coded, c.Unit), between(c.Forecast, c.Unit)})
		}
	}
	if n > 0 {
		b.WriteString(trimmed(t) + "\n")
	}
	fmt.Fprintf(b, "%d of %d figures of rounds lie outside", n, len(a.Cells))
	if n > shownOutside {
		fmt.Fprintf(b, "; the first %d are shown, JSON and CSV have all", shownOutside)
	}
	b.WriteString(".\n\n")
}

var auditColumns = []string{"section", "bout", "round", "corner", "fighter", "group", "figure", "unit", "coded", "low", "high", "centre", "level", "seconds", "fewer",
	"at_most", "crps", "p", "verdict"}

// CSV writes one row a verdict, total, coverage, rival, point of the PIT and figure of a round (RFC 4180).
func (a *Audit) CSV(w io.Writer) error {
	rows := [][]string{auditColumns}
	add := func(cells map[string]string) {
		row := make([]string, len(auditColumns))
		for i, name := range auditColumns {
			row[i] = cells[name]
		}
		rows = append(rows, row)
	}
	for _, v := range a.Verdicts {
		add(map[string]string{"section": "verdict", "group": v.Group, "p": number(v.P), "level": number(v.Level), "verdict": v.Verdict})
		for _, p := range v.PIT {
			add(map[string]string{"section": "pit", "group": v.Group, "figure": "PIT at " + number(p.U), "coded": number(p.PIT), "low": number(p.Low), "high": number(p.High),
				"level": "0.9"})
		}
	}
	for i := range a.Totals {
		t := &a.Totals[i]
		add(withInterval(t.Forecast, map[string]string{"section": "total", "fighter": t.Fighter, "group": t.Group, "figure": t.Figure, "unit": t.Unit,
			"coded": number(t.Coded), "fewer": number(t.Fewer), "at_most": number(t.AtMost)}))
	}
	for _, c := range a.Coverage {
		row := withInterval(c.Share, map[string]string{"section": "coverage", "group": c.Group, "figure": "share inside", "coded": number(c.Share.Centre)})
		row["level"], row["centre"] = number(c.Level), number(c.Expected)
		add(row)
	}
	for _, r := range a.Against {
		add(withInterval(r.Less, map[string]string{"section": "against rates", "group": r.Group, "figure": "CRPS of the rates less the model's", "crps": number(r.Model),
			"verdict": r.Verdict}))
	}
	for i := range a.Cells {
		c := &a.Cells[i]
		add(withInterval(c.Forecast, map[string]string{"section": "round", "bout": c.Bout, "round": strconv.Itoa(int(c.Round)), "corner": c.Corner, "fighter": c.Fighter,
			"group": c.Group, "figure": c.Figure, "unit": c.Unit, "coded": number(c.Coded), "seconds": number(c.Seconds), "fewer": number(c.Fewer),
			"at_most": number(c.AtMost), "crps": number(c.CRPS)}))
	}
	return csv.NewWriter(w).WriteAll(rows)
}

func withInterval(i infer.Interval, cells map[string]string) map[string]string {
	cells["low"], cells["high"], cells["centre"], cells["level"] = number(i.Low), number(i.High), number(i.Centre), number(i.Level)
	return cells
}
