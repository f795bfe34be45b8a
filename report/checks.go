package report

import (
	"fmt"
	"strings"

	"whatbout/calibrate"
	"whatbout/report/chart"
)

// HowToCheck is the line that makes the checks of a calibration; BOUT_DIR stands for the folders of coded tape.
const HowToCheck = "whatbout audit BOUT_DIR... --hold-back bout --format json > audit.json"

// checksSection is whether the model reproduces what was coded.
func (p *Page) checksSection(h *Header) Section {
	s := Section{ID: "checks", Heading: "Does the model reproduce the tape?"}
	if p.Checks == nil {
		s.Lead = []string{"No check of the calibration came with this. To make one, hold the model against the coded tape, and give the file to this command as --checks audit.json:"}
		s.Line = HowToCheck
		return s
	}
	s.Lead = []string{p.Checks.sentence() + " " + p.Checks.held()}
	for _, f := range p.Checks.unknown(h.Fighter, h.Opponent) {
		s.Lead = append(s.Lead, "These checks know nothing of "+title(f)+".")
	}
	s.Figures = []chart.Figure{p.Checks.ranksFigure("calibration-checks")}
	s.Terms = p.Checks.verdictTerms()
	return s
}

// unknown lists which of these fighters the audit has no figures of.
func (a *Audit) unknown(fighters ...string) (missing []string) {
	known := map[string]bool{}
	for i := range a.Totals {
		known[a.Totals[i].Fighter] = true
	}
	for _, f := range fighters {
		if !known[f] {
			missing = append(missing, f)
		}
	}
	return missing
}

// sentence counts the verdicts.
func (a *Audit) sentence() string {
	n := map[string]int{}
	for _, v := range a.Verdicts {
		n[v.Verdict]++
	}
	var parts []string
	for _, x := range []struct{ verdict, one, many string }{{calibrate.DoesNot, "does not fit", "do not fit"}, {calibrate.Fits, "fits", "fit"},
		{calibrate.TooLittle, "has too little tape to tell", "have too little tape to tell"}} {
		switch k := n[x.verdict]; {
		case k == 1:
			parts = append(parts, "1 "+x.one)
		case k > 1:
			parts = append(parts, fmt.Sprintf("%d %s", k, x.many))
		}
	}
	return fmt.Sprintf("Of %s of figures %s.", counted(len(a.Verdicts), "group"), list(parts))
}

// held says what was held against what.
func (a *Audit) held() string {
	return fmt.Sprintf("%s of %s, each held against the same round of %d simulated bouts%s.", counted(a.Rounds, "coded round"), counted(a.Bouts, "bout"), a.Draws, a.profiles())
}

// verdictTerms are the verdicts in words.
func (a *Audit) verdictTerms() (out []Term) {
	for i := range a.Verdicts {
		v := &a.Verdicts[i]
		words := capital(v.Verdict)
		switch v.Verdict {
		case calibrate.DoesNot:
			words += ": " + a.misfit(v)
		case calibrate.TooLittle:
			words += fmt.Sprintf(": nothing looks wrong, but %s of %s %s known so well that half of what is expected would be noticed", only(v.Telling), lookedAt(v), areOf(v.Telling))
		}
		out = append(out, Term{capital(v.Group) + ": " + groupsInWords[v.Group], words + "."})
	}
	return out
}

// ranksFigure is where every coded total stands among the simulated ones.
func (a *Audit) ranksFigure(id string) chart.Figure {
	t := chart.Table{Head: []string{"figure", "fighter", "group", "coded", "90 % of simulated", "below, of 100 simulated"}}
	var rows []chart.RankRow
	outside, all := 0, 0
	for _, v := range a.Verdicts {
		row := chart.RankRow{Name: capital(v.Group), Verdict: v.Verdict, Off: v.Verdict == calibrate.DoesNot}
		for i := range a.Totals {
			x := &a.Totals[i]
			if x.Group != v.Group {
				continue
			}
			rank := (x.Fewer + x.AtMost) / 2
			row.Ranks = append(row.Ranks, rank)
			t.Rows = append(t.Rows, []string{x.Figure, x.Fighter, x.Group, inUnit(x.Coded, x.Unit), between(x.Forecast, x.Unit), chart.Plain(100*rank, 0)})
		}
		if len(row.Ranks) > 0 {
			rows = append(rows, row)
			outside, all = outside+chart.Outside(row.Ranks), all+len(row.Ranks)
		}
	}
	finding := fmt.Sprintf("%d of %d coded totals lie in the outer twentieths of the simulated ones; of a right model about %.0f would.", outside, all, float64(all)/10)
	return chart.NewFigure(id, "Where the coded totals stand among simulated ones", finding,
		"Each mark is a figure of one fighter over all rounds: a ring within the middle nine tenths of the simulated tapes, a full diamond outside. Figures of one group go together, so the verdict beside it, not a count of marks, is the test.",
		t, func(w float64) string { return chart.Ranks(w, "fewer than simulated", "more", rows) })
}

// misfits joins the names of what does not fit, for a lead.
func (a *Audit) misfits() string {
	var names []string
	for _, v := range a.Verdicts {
		if v.Verdict == calibrate.DoesNot {
			names = append(names, strings.ToLower(v.Group))
		}
	}
	return list(names)
}
