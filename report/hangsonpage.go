package report

import (
	"fmt"
	"strings"

	"whatbout/internal/infer"
	"whatbout/report/chart"
	"whatbout/study"
)

// Answer names the largest parts, if any is told.
func (h *HangsOn) Answer() Answer {
	a := Answer{Sentence: "No bout went differently: nothing hangs on anything.", Played: fmt.Sprintf("%d bouts, %d draws of %d a plan.", h.Played, h.Draws, h.Bouts)}
	if !h.nothing() {
		a.Sentence = fmt.Sprintf("No part of what %s less %s hangs on is told.", planWords(h.Plan), planWords(h.Against))
		if lines := said(func(b *strings.Builder) { h.answerOnPage(b) }); len(lines) > 0 {
			a.Sentence = strings.Join(lines, " ")
		}
		a.Leads = said(h.edge)
	}
	a.Title, a.Under = meeting(h.Fighter, h.Opponent, h.Rules, h.OpponentPlan)
	a.Under += "; what " + planWords(h.Plan) + " less " + planWords(h.Against) + " hangs on"
	return a
}

// answerOnPage is the text's answer; of a screening it is the largest effect.
func (h *HangsOn) answerOnPage(b *strings.Builder) {
	switch p := &h.Parts[0]; {
	case p.Index != nil:
		h.answer(b, func(p *study.Hang) *infer.Ratio {
			if p.Index == nil {
				return nil
			}
			return &p.Index.Total
		})
	case p.Share != nil:
		h.answer(b, func(p *study.Hang) *infer.Ratio { return p.Share })
	case p.Effect.Told:
		fmt.Fprintf(b, "What moves it most: %s.", partName(p))
	}
}

// Sections lists the parts.
func (h *HangsOn) Sections() []Section {
	return []Section{{ID: "parts", Heading: "Part by part", Figures: []chart.Figure{h.partsFigure()}}}
}

// partsFigure shows every part's share of the variance between truths, or, of a screening, how far moving it moves the difference.
func (h *HangsOn) partsFigure() chart.Figure {
	var rows []chart.WorthRow
	t := chart.Table{Head: []string{"part", "shown by", "share or effect", "from", "to", "alone, of itself", "told"}}
	told := 0
	for i := range h.Parts {
		p := &h.Parts[i]
		row, cells, isTold := h.part(p)
		if i < chartRows {
			rows = append(rows, row)
		}
		if isTold {
			told++
		}
		t.Rows = append(t.Rows, append([]string{partName(p), p.Doubt}, append(cells, map[bool]string{true: "yes", false: "no"}[isTold])...))
	}
	unit, note := "share of the variance between possible truths, %", "Full marks: tape can show it; rings: it is assumed. The arrow ends where the share may be at most, as far as these bouts tell."
	switch {
	case h.Parts[0].Index != nil:
		note += " The small mark is what the part does by itself, the large one what it does with all interplay."
	case h.Parts[0].Share == nil:
		unit, note = "size of the change, "+h.Unit, "The size is the root mean square of the change when this part alone is moved, the luck of bouts taken off; rings: it is assumed. The arrow ends two standard errors above."
	}
	return chart.NewFigure("parts-of", "What the difference hangs on", fmt.Sprintf("Told from none: %d of %s.", told, counted(len(h.Parts), "part")),
		note+fmt.Sprintf(" The first %d; the numbers have all.", len(rows)), t, func(w float64) string { return chart.Worths(w, unit, 0, rows) })
}

// part is a part's row in the chart and in the numbers.
func (h *HangsOn) part(p *study.Hang) (row chart.WorthRow, cells []string, told bool) {
	row = chart.WorthRow{Name: capital(partName(p)), Open: p.Doubt != "tape"}
	share := func(r infer.Ratio) []string {
		if !r.Told {
			return []string{"not told", "", ""}
		}
		return []string{chart.Plain(100*max(r.Value, 0), 0), chart.Plain(100*r.Low, 0), chart.Plain(100*r.High, 0)}
	}
	shown := func(r infer.Ratio) float64 { return 100 * min(max(r.Value, 0), 1) }
	switch {
	case p.Index != nil:
		if p.Index.Total.Told {
			row.Values, row.Upper = []float64{shown(p.Index.First), shown(p.Index.Total)}, 100*min(p.Index.Total.High, 1)
		}
		return row, append(share(p.Index.Total), share(p.Index.First)[0]), p.Index.TotalTold
	case p.Share != nil:
		if p.Share.Told {
			row.Values, row.Upper = []float64{shown(*p.Share)}, 100*min(p.Share.High, 1)
		}
		return row, append(share(*p.Share), ""), p.Share.Told && p.Share.Low >= .005
	case p.Effect == nil:
		return row, []string{"", "", "", ""}, false
	}
	e := p.Effect
	row.Values, row.Upper = []float64{100 * e.Size}, 100*(e.Size+1.96*e.SizeSE)
	return row, []string{chart.Plain(100*e.Size, 1), chart.Plain(100*max(e.Size-1.96*e.SizeSE, 0), 1), chart.Plain(100*(e.Size+1.96*e.SizeSE), 1), ""}, e.Told
}
