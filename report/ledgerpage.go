package report

import (
	"fmt"
	"strings"

	"whatbout/report/chart"
	"whatbout/study"
)

// ledgerParts are the parts of a ledger in the order of all reports, with how they are drawn.
func ledgerParts(l *study.Ledger) []struct {
	name    string
	part    study.Part
	texture chart.Texture
} {
	return []struct {
		name    string
		part    study.Part
		texture chart.Texture
	}{{"luck of a single bout", l.Luck, "blank"}, {"tape", l.Tape, "rising"}, {"assumption", l.Assumption, "cross"}, {"simulation", l.Simulation, "solid"}}
}

// ledgerFigure shows where the doubt about a figure comes from; unit is of a hundred times it.
func ledgerFigure(id string, l *study.Ledger, unit string) chart.Figure {
	var patches []chart.Patch
	t := chart.Table{Head: []string{"part", "standard deviation, " + unit, "its standard error", "upper 95 % limit", "told from none", "what would shrink it"}}
	for _, p := range ledgerParts(l) {
		ways := strings.Join(waysOf(l, firstWord(p.name), &p.part), "; ")
		patch := chart.Patch{Name: p.name, SD: 100 * p.part.SD, Texture: p.texture}
		size, told := fmt.Sprintf("%s \u00b1 %s", chart.Plain(100*p.part.SD, 2), chart.Plain(100*p.part.SDError, 2)), "yes"
		switch {
		case p.part.AtMost == 0:
			size, patch.SD, told = "none", 0, "no"
		case !p.part.Told:
			size, told = "at most "+chart.Plain(100*p.part.AtMost, 1), "no"
			patch.SD, patch.Open = 100*p.part.AtMost, true
		}
		patch.Words = size
		if ways != "" {
			patch.Words += "; " + ways
		}
		patches = append(patches, patch)
		t.Rows = append(t.Rows, []string{p.name, chart.Plain(100*p.part.SD, 2), chart.Plain(100*p.part.SDError, 2), chart.Plain(100*p.part.AtMost, 2), told, ways})
	}
	return chart.NewFigure(id, "Where the doubt comes from, and what would shrink it", ledgerFinding(l),
		fmt.Sprintf("About %s less %s, in %s. The side of a square is a standard deviation; a dotted square is an upper limit of what is not told from none.", planWords(l.Plan), planWords(l.Against), unit), t,
		func(w float64) string { return chart.Ledger(w, patches) })
}

// ledgerFinding names the largest part that something can be done about.
func ledgerFinding(l *study.Ledger) string {
	best, size := "", 0.0
	for _, p := range ledgerParts(l)[1:] {
		if p.part.Told && p.part.SD > size {
			best, size = p.name, p.part.SD
		}
	}
	luck := "One bout against another goes by luck"
	if l.Luck.SD == 0 {
		luck = "No bout goes differently"
	}
	if best == "" {
		return luck + "; of the rest, no part is told from none."
	}
	return fmt.Sprintf("%s; of the doubt about the mean, most comes from %s.", luck, map[string]string{"tape": "how little tape there is", "assumption": "what is assumed",
		"simulation": "how few bouts were played"}[best])
}
