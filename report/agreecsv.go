package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

	"whatbout/calibrate"
	"whatbout/internal/infer"
)

var agreeColumns = []string{"section", "first", "second", "item", "figure", "estimate", "low", "high", "count",
	"round", "first_clock", "second_clock", "corner", "first_code", "second_code"}

// agreeTable collects the rows of the CSV.
type agreeTable struct {
	first, second string
	rows          [][]string
}

// CSV writes one row a figure, then one a confusion and one a disagreement, all of them; clocks in seconds since the bell.
func (a *Agreement) CSV(w io.Writer) error {
	var t agreeTable
	for i := range a.Pairs {
		t.pair(&a.Pairs[i])
	}
	t.first, t.second = "", ""
	if a.All != nil {
		for i := range a.All.Codes {
			t.code("code of all", &a.All.Codes[i])
		}
	}
	for i := range a.Errors {
		e := &a.Errors[i]
		t.first = e.Coder
		section := "coder error, estimate"
		if !e.Estimate {
			section = "coder error, assumption"
		}
		t.interval(section, e.Group, "miss", e.Miss)
		t.interval(section, e.Group, "confused", e.Confused)
		if e.Extra != nil {
			t.interval(section, e.Group, "extra", *e.Extra)
		}
	}
	out := csv.NewWriter(w)
	return out.WriteAll(append([][]string{agreeColumns}, t.rows...))
}

func (t *agreeTable) pair(p *calibrate.PairAgreement) {
	t.first, t.second = p.First, p.Second
	t.interval("offset", "clock", "second less first, s", p.Offset.Interval)
	t.interval("events", "all, before correction", "positive agreement", p.Uncorrected.Agreement)
	t.interval("events", "all", "positive agreement", p.Events.Agreement)
	t.interval("events", "clock", "median distance, s", p.Clocks.Apart)
	t.coefficient("events", "clock", "alpha, interval", &p.Clocks.Alpha)
	for i := range p.Groups {
		g := &p.Groups[i]
		t.interval("events", g.Group, "positive agreement", g.Agreement)
		t.interval("events", g.Group, "missed by first", g.MissFirst)
		t.interval("events", g.Group, "missed by second", g.MissSecond)
		t.interval("events", g.Group, "events there were", g.TotalEvents)
	}
	for i := range p.Codes {
		t.code("code", &p.Codes[i])
	}
	for i := range p.States {
		s := &p.States[i]
		t.coefficient("state", s.State, "share of time", &s.Share)
		t.coefficient("state", s.State, "kappa", &s.Kappa)
		t.coefficient("state", s.State, "alpha", &s.Alpha)
		t.coefficient("state", s.State, "ac1", &s.AC1)
	}
	for i := range p.Curve {
		item := fmt.Sprintf("%g s", p.Curve[i].Window)
		t.interval("window", item, "positive agreement", p.Curve[i].Events.Agreement)
		t.interval("window", item, "same act", p.Curve[i].SameAct)
	}
	for _, c := range p.Confusions {
		t.add(map[string]string{"section": "confusion", "item": "act", "count": strconv.Itoa(c.Count), "first_code": c.First, "second_code": c.Second})
	}
	for _, d := range p.Disagreements {
		row := map[string]string{"section": "disagreement", "item": d.What, "figure": "weight", "estimate": digits(d.Weight), "round": strconv.Itoa(int(d.Round)),
			"first_clock": digits(d.FirstClock), "second_clock": digits(d.SecondClock), "corner": d.Corner, "first_code": d.First, "second_code": d.Second}
		if d.Seconds > 0 {
			row["figure"], row["estimate"] = "seconds", digits(d.Seconds)
		}
		t.add(row)
	}
}

func (t *agreeTable) code(section string, c *calibrate.CodeAgreement) {
	item := c.Code
	if item == "act" {
		item = "act within " + c.Group
	}
	t.interval(section, item, "same", c.Same)
	t.coefficient(section, item, "kappa", c.Kappa)
	t.coefficient(section, item, "weighted kappa", c.Weighted)
	t.coefficient(section, item, "fleiss kappa", c.Fleiss)
	t.coefficient(section, item, "alpha", &c.Alpha)
	t.coefficient(section, item, "ac1", &c.AC1)
}

// coefficient leaves out what is not defined.
func (t *agreeTable) coefficient(section, item, figure string, c *infer.Coefficient) {
	if c != nil && c.Defined {
		t.interval(section, item, figure, c.Interval)
	}
}

// interval leaves out what nothing was counted for.
func (t *agreeTable) interval(section, item, figure string, i infer.Interval) {
	if i.Count == 0 && i.Method != "judgement" {
		return
	}
	t.add(map[string]string{"section": section, "item": item, "figure": figure, "estimate": digits(i.Centre), "low": digits(i.Low), "high": digits(i.High),
		"count": digits(i.Count)})
}

func (t *agreeTable) add(cells map[string]string) {
	cells["first"], cells["second"] = t.first, t.second
	row := make([]string, len(agreeColumns))
	for i, name := range agreeColumns {
		row[i] = cells[name]
	}
	t.rows = append(t.rows, row)
}

func digits(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
