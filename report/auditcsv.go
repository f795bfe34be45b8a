package report

import (
	"encoding/csv"
	"io"
	"strconv"

	"whatbout/calibrate"
	"whatbout/internal/infer"
)

var auditColumns = []string{"section", "held_back", "bout", "round", "corner", "fighter", "group", "figure", "unit", "coded", "low", "high", "centre", "level", "seconds",
	"count", "fewer", "at_most", "crps", "log_score", "p", "rival", "score", "model", "other", "verdict"}

// auditRows gathers rows of the CSV.
type auditRows [][]string

func (r *auditRows) add(section string, cells map[string]string) {
	row := make([]string, len(auditColumns))
	for i, name := range auditColumns {
		row[i] = cells[name]
	}
	row[0] = section
	*r = append(*r, row)
}

// curve adds one row a point; low and high are the band of 90 % of the draws.
func (r *auditRows) curve(section string, points []calibrate.AuditPoint, cells map[string]string) {
	for _, p := range points {
		cells["centre"], cells["coded"], cells["low"], cells["high"], cells["level"] = number(p.U), number(p.Share), number(p.Low), number(p.High), "0.9"
		r.add(section, cells)
	}
}

// CSV writes one row a verdict and its parts, total, coverage, comparison with a rival, point of a curve, and figure of a round (RFC 4180).
func (a *Audit) CSV(w io.Writer) error {
	rows := auditRows{auditColumns}
	for i := range a.Verdicts {
		v := &a.Verdicts[i]
		rows.add("verdict", map[string]string{"held_back": a.HeldBack, "group": v.Group, "p": number(v.P), "level": number(v.Level), "bout": v.OddBout, "verdict": v.Verdict})
		for _, p := range v.Parts {
			rows.add("part", map[string]string{"group": v.Group, "figure": p.Name, "p": number(p.P)})
		}
		rows.curve("pit", v.PIT, map[string]string{"group": v.Group, "figure": "PIT"})
	}
	a.totalRows(&rows)
	for i := range a.Times {
		t := &a.Times[i]
		rows.add("times", map[string]string{"fighter": t.Fighter, "group": calibrate.AuditTiming, "figure": "distance", "coded": number(t.Distance), "high": number(t.Limit),
			"level": "0.95", "count": strconv.Itoa(t.Gaps), "p": number(t.P)})
		rows.add("times", map[string]string{"fighter": t.Fighter, "group": calibrate.AuditTiming, "figure": "KS", "coded": number(t.KS), "count": strconv.Itoa(t.Gaps)})
		for _, s := range t.Settings {
			rows.add("setting", map[string]string{"fighter": t.Fighter, "group": calibrate.AuditTiming, "figure": s.Name, "unit": "share of acts", "coded": number(s.Share),
				"low": number(s.Low), "high": number(s.High), "level": "0.9", "count": strconv.Itoa(s.Acts), "p": number(t.PSettings)})
		}
		rows.curve("times curve", t.Curve, map[string]string{"fighter": t.Fighter, "group": calibrate.AuditTiming, "figure": "share of gaps"})
	}
	a.landingRows(&rows)
	a.rivalRows(&rows)
	a.cellRows(&rows)
	return csv.NewWriter(w).WriteAll(rows)
}

func (a *Audit) totalRows(rows *auditRows) {
	for i := range a.Totals {
		t := &a.Totals[i]
		rows.add("total", withInterval(t.Forecast, map[string]string{"fighter": t.Fighter, "group": t.Group, "figure": t.Figure, "unit": t.Unit,
			"coded": number(t.Coded), "fewer": number(t.Fewer), "at_most": number(t.AtMost), "count": strconv.Itoa(t.Rounds)}))
	}
	for _, c := range a.Coverage {
		row := withInterval(c.Share, map[string]string{"group": c.Group, "figure": "share inside", "coded": number(c.Share.Centre), "count": number(c.Share.Count)})
		row["level"], row["centre"] = number(c.Level), number(c.Expected)
		rows.add("coverage", row)
	}
}

func (a *Audit) landingRows(rows *auditRows) {
	l := a.Landing
	if l == nil {
		return
	}
	for _, x := range []struct {
		name  string
		value float64
	}{{"Brier", l.Brier}, {"resolution", l.Resolution}, {"uncertainty", l.Uncertainty}, {"within", l.Within}, {"skill", l.Skill}} {
		rows.add("landing", map[string]string{"group": calibrate.AuditChances, "figure": x.name, "coded": number(x.value), "count": strconv.Itoa(l.Strikes)})
	}
	rows.add("landing", withInterval(l.Usual, map[string]string{"group": calibrate.AuditChances, "figure": "reliability", "coded": number(l.Reliability),
		"count": strconv.Itoa(l.Strikes), "p": number(l.P)}))
	for _, b := range l.Curve {
		rows.add("landing curve", map[string]string{"group": calibrate.AuditChances, "figure": "share landed", "centre": number(b.Chance), "coded": number(b.Landed),
			"low": number(b.Low), "high": number(b.High), "level": "0.9", "count": strconv.Itoa(b.Strikes)})
	}
}

func (a *Audit) rivalRows(rows *auditRows) {
	for i := range a.Against {
		r := &a.Against[i]
		rows.add("against", withInterval(r.Less, map[string]string{"held_back": r.HeldBack, "group": r.Group, "rival": r.Rival, "score": r.Score, "model": number(r.Model),
			"other": number(r.Other), "unit": r.Unit, "count": strconv.Itoa(r.Units), "verdict": r.Verdict}))
	}
}

func (a *Audit) cellRows(rows *auditRows) {
	for i := range a.Cells {
		c := &a.Cells[i]
		row := withInterval(c.Forecast, map[string]string{"bout": c.Bout, "round": strconv.Itoa(int(c.Round)), "corner": c.Corner, "fighter": c.Fighter,
			"group": c.Group, "figure": c.Figure, "unit": c.Unit, "coded": number(c.Coded), "seconds": number(c.Seconds), "fewer": number(c.Fewer),
			"at_most": number(c.AtMost), "crps": number(c.CRPS)})
		if c.Unit == calibrate.AuditCount {
			row["log_score"] = number(c.LogScore)
		}
		rows.add("round", row)
	}
}

func withInterval(i infer.Interval, cells map[string]string) map[string]string {
	cells["low"], cells["high"], cells["centre"], cells["level"] = number(i.Low), number(i.High), number(i.Centre), number(i.Level)
	return cells
}
