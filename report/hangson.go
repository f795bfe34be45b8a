package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/internal/infer"
	"whatbout/study"
)

// HangsOnSchema names the JSON form of what a plan's edge hangs on.
const HangsOnSchema = "whatbout.hangs-on/1"

// HangsOn is what a plan's edge hangs on, with everything needed to say it and to run it again. Values are in the unit of what counts, per bout.
type HangsOn struct {
	Schema       string         `json:"schema"`
	Version      string         `json:"version"`
	Seed         uint64         `json:"seed"`
	How          study.How      `json:"how"`
	Draws        int            `json:"draws"` // rows of two draws where parts are moved
	Screened     int            `json:"rows_screened,omitempty"`
	ScreenTold   int            `json:"told_by_screening,omitempty"`
	Bouts        int            `json:"bouts_per_draw"`
	Played       int            `json:"bouts"`
	Level        float64        `json:"level"`
	Rules        string         `json:"rules"`
	Fighter      string         `json:"fighter"`
	Opponent     string         `json:"opponent"`
	OpponentPlan string         `json:"opponent_plan"`
	Plan         string         `json:"plan"`
	Against      string         `json:"against"`
	Counts       string         `json:"what_counts"`
	Unit         string         `json:"unit_in_100"` // of a hundred times that
	Stated       bool           `json:"stated"`      // parts are figures over ranges, not what is believed
	Difference   study.Estimate `json:"difference"`
	SD           float64        `json:"sd_between_truths"`
	SDTold       bool           `json:"sd_told"`
	Columns      float64        `json:"columns,omitempty"` // of the regression
	Parts        []study.Hang   `json:"parts"`             // the largest first
	Inputs       []Input        `json:"inputs"`
	Warnings     []string       `json:"warnings"`
	Again        string         `json:"again"`
}

// NewHangsOn describes a result. Version, what was read, warnings and the line to repeat it are left to the caller.
func NewHangsOn(q *study.HangsOn, r *study.HangsOnResult) *HangsOn {
	for i := range r.Parts {
		if m := r.Parts[i].Moved; m != nil {
			r.Parts[i].Name = m.Lever.Dial.Plain(title(m.Of))
		}
	}
	return &HangsOn{Schema: HangsOnSchema, Seed: q.Seed, How: q.How, Draws: r.Draws, Screened: r.Screened, ScreenTold: r.ScreenTold, Bouts: r.Bouts, Played: r.Total, Level: q.Level, Rules: q.Rules.Name,
		Fighter: q.Fighter.ID, Opponent: q.Opponent.ID, OpponentPlan: planNamed(q.OpponentPlan), Plan: planNamed(q.Plan), Against: planNamed(q.Against),
		Counts: q.Value.Text, Unit: unitOf(q.Value), Stated: len(q.Levers) > 0, Difference: r.Difference, SD: r.SD, SDTold: r.SDTold, Columns: r.Explained, Parts: r.Parts}
}

func (h *HangsOn) lacks() string {
	if len(h.Parts) == 0 {
		return "it has no parts"
	}
	first := h.Parts[0]
	for _, p := range h.Parts {
		switch {
		case p.Share == nil && p.Effect == nil && p.Index == nil:
			return fmt.Sprintf("nothing is known of %q", p.Name)
		case (p.Share == nil) != (first.Share == nil) || (p.Index == nil) != (first.Index == nil) || first.Index == nil && (p.Effect == nil) != (first.Effect == nil):
			return fmt.Sprintf("of %q other things are known than of the others", p.Name)
		}
	}
	return ""
}

// JSON writes it as one object, six digits a number.
func (h *HangsOn) JSON(w io.Writer) error { return writeJSON(w, h) }

// CSV writes one row a part; what was not asked of it is empty.
func (h *HangsOn) CSV(w io.Writer) error {
	rows := [][]string{{"part", "of", "doubt", "figures", "unit", "low", "high", "share", "share_low", "share_high", "first", "first_low", "first_high", "total", "total_low", "total_high",
		"total_told", "total_uncorrected", "effect_mean", "effect_absolute", "absolute_by_luck", "effect_size", "effect_size_se", "effect_sd", "effect_told"}}
	ratio := func(r infer.Ratio) []string { return []string{number(r.Value), number(r.Low), number(r.High)} }
	for _, p := range h.Parts {
		row := []string{p.Name, p.Of, p.Doubt, strconv.Itoa(p.Figures)}
		if m := p.Moved; m != nil {
			row = append(row, m.Unit, number(m.Low), number(m.High))
		} else {
			row = append(row, "", "", "")
		}
		if p.Share != nil {
			row = append(row, ratio(*p.Share)...)
		} else {
			row = append(row, "", "", "")
		}
		if x := p.Index; x != nil {
			row = append(append(append(row, ratio(x.First)...), ratio(x.Total)...), strconv.FormatBool(x.TotalTold), number(x.TotalRaw))
		} else {
			row = append(row, "", "", "", "", "", "", "", "")
		}
		if e := p.Effect; e != nil {
			row = append(row, number(e.Mean), number(e.Absolute), number(e.ByNoise), number(e.Size), number(e.SizeSE), number(e.SD), strconv.FormatBool(e.Told))
		} else {
			row = append(row, "", "", "", "", "", "", "")
		}
		rows = append(rows, row)
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// Text writes it for a coach: what the edge hangs on, then every part, then how far that may be believed.
func (h *HangsOn) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s against %s, %s: what %s less %s hangs on\n\n", title(h.Fighter), title(h.Opponent), h.Rules, h.Plan, h.Against)
	h.edge(&b)
	switch {
	case h.nothing():
		b.WriteString("No bout went differently: nothing hangs on anything.\n\n")
	case h.Parts[0].Index != nil:
		h.indices(&b)
	case h.Parts[0].Share != nil:
		h.shares(&b)
	default:
		h.screening(&b)
	}
	for _, warning := range h.Warnings {
		fmt.Fprintf(&b, "Note: %s\n", warning)
	}
	fmt.Fprintf(&b, "\nSeed %d. The same again: %s\n\n%s", h.Seed, h.Again, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// edge is the difference itself, with its doubts.
func (h *HangsOn) edge(b *strings.Builder) {
	d := h.Difference
	fmt.Fprintf(b, "The difference is %s %s (simulation %s, %.0f %%).\n", hundred(d.Mean), h.Unit, points(d.Simulation.Low, d.Simulation.High), 100*h.Level)
	switch {
	case h.Parts[0].Share == nil && h.Parts[0].Index == nil || h.nothing():
	case h.SDTold:
		fmt.Fprintf(b, "Between what may be true it differs by a standard deviation of about %.1f%s.\n", 100*h.SD, h.straight())
	default:
		fmt.Fprintf(b, "How far it differs between what may be true is not told by so many bouts%s: shares are then not told either; more --draws would.\n", h.straight())
	}
	b.WriteString("\n")
}

func (h *HangsOn) straight() string {
	if h.Parts[0].Share != nil {
		return ", as far as straight lines go"
	}
	return ""
}

func (h *HangsOn) nothing() bool {
	return h.Difference.Mean == 0 && h.Difference.Simulation.Width() == 0
}

// partName says a part with whose it is.
func partName(p *study.Hang) string {
	switch {
	case p.Moved != nil:
		return fmt.Sprintf("%s (%s to %s)", p.Name, at(p.Moved.Unit, p.Moved.Low), at(p.Moved.Unit, p.Moved.High))
	case p.Of == "":
		return p.Name
	}
	return strings.Replace(p.Name, p.Of, title(p.Of), 1)
}

// perCent writes a share with its interval; where the whole is not told, so.
func perCent(r infer.Ratio) string {
	if !r.Told {
		return "not told"
	}
	return fmt.Sprintf("%.0f %% (%.0f to %.0f)", max(100*r.Value, 0), 100*r.Low, 100*r.High)
}

// answer names the largest parts in one sentence.
func (h *HangsOn) answer(b *strings.Builder, of func(*study.Hang) *infer.Ratio) {
	var told []string
	for i := range h.Parts {
		if r := of(&h.Parts[i]); r != nil && r.Told && r.Low >= .005 && len(told) < 3 {
			told = append(told, fmt.Sprintf("%s, %.0f %% (%.0f to %.0f)", partName(&h.Parts[i]), 100*r.Value, 100*r.Low, 100*r.High))
		}
	}
	doubt := "the doubt about this plan"
	if h.Stated {
		doubt = "what it differs by over these ranges"
	}
	first := of(&h.Parts[0])
	switch {
	case len(told) == 0 && first.Told:
		fmt.Fprintf(b, "No single part of %s is told from none. The largest on the average: %s, %s.\n\n", doubt, partName(&h.Parts[0]), perCent(*first))
	case len(told) == 0:
	case first.Low > .5:
		fmt.Fprintf(b, "Most of %s is %s.\n\n", doubt, strings.Join(told, "; then "))
	default:
		fmt.Fprintf(b, "The largest told part of %s is %s.\n\n", doubt, strings.Join(told, "; then "))
	}
}

// shownParts is how many the text shows; JSON and CSV have all.
const shownParts = 20

func (h *HangsOn) shares(b *strings.Builder) {
	h.answer(b, func(p *study.Hang) *infer.Ratio { return p.Share })
	if h.Parts[0].Share.Told {
		h.shareTable(b)
	} else {
		fmt.Fprintf(b, "So there is nothing to share out among its %d parts.", len(h.Parts))
		if h.Counts == "win" {
			b.WriteString(" The judges' margin (--value margin) is told by fewer bouts.")
		}
		b.WriteString("\n\n")
	}
	fmt.Fprintf(b, "Played: %d bouts, %d draws of %d a plan; one sample serves all %d parts. To move each in turn over as many draws would have taken %d.\n"+
		"Shares are of what straight lines in %.0f figures explain (standardized regression, first-order indices); curves and interplay are not seen:\n"+
		"--how indices sees them, at a higher price.\n", h.Played, h.Draws, h.Bouts, len(h.Parts), h.Played*(len(h.Parts)+1), h.Columns)
}

func (h *HangsOn) shareTable(b *strings.Builder) {
	t := rightTable(2)
	t.AppendRow(table.Row{"What it hangs on", "share of the variance", "", "shown by"})
	for i := range h.Parts[:min(len(h.Parts), shownParts)] {
		p := &h.Parts[i]
		t.AppendRow(table.Row{partName(p), perCent(*p.Share), shareBar(*p.Share), p.Doubt})
	}
	b.WriteString(trimmed(t) + "\n")
	h.more(b)
	fmt.Fprintf(b, "(In brackets: %.0f %% for the error of the simulation. o the share, = its interval, from 0 to 100 %%.)\n\n", 100*h.Level)
}

func (h *HangsOn) more(b *strings.Builder) {
	if n := len(h.Parts) - shownParts; n > 0 {
		fmt.Fprintf(b, "(%d more in --format csv)\n", n)
	}
}

const barWidth = 31

// shareBar draws a share with its interval on a line from 0 to 1.
func shareBar(r infer.Ratio) string {
	line := []byte(strings.Repeat(" ", barWidth))
	if !r.Told {
		return string(line)
	}
	place := func(x float64) int { return int(min(max(x, 0), 1)*(barWidth-1) + .5) }
	for i := place(r.Low); i <= place(r.High); i++ {
		line[i] = '='
	}
	line[place(r.Value)] = 'o'
	return string(line)
}

func (h *HangsOn) screening(b *strings.Builder) {
	var told []string
	for i := range h.Parts {
		if e := h.Parts[i].Effect; e.Told && len(told) < 5 {
			told = append(told, fmt.Sprintf("%s (%.1f)", partName(&h.Parts[i]), 100*e.Size))
		}
	}
	if len(told) == 0 {
		fmt.Fprintf(b, "None of %d parts is told to move the difference; more rows (--draws) would tell. The largest on the average: %s.\n\n", len(h.Parts), partName(&h.Parts[0]))
	} else {
		fmt.Fprintf(b, "Told to move the difference, with the size of a change in %s: %s.\n\n", h.Unit, strings.Join(told, "; "))
	}
	t := rightTable(5)
	t.AppendRow(table.Row{"Moved alone, each from its own place", "size ± error", "on average", "absolute (by luck alone)", "shown by"})
	for i := range h.Parts[:min(len(h.Parts), shownParts)] {
		p := &h.Parts[i]
		e, star := p.Effect, "  "
		if e.Told {
			star = "* "
		}
		t.AppendRow(table.Row{star + partName(p), fmt.Sprintf("%.1f ± %.1f", 100*e.Size, 100*e.SizeSE), hundred(e.Mean), fmt.Sprintf("%.1f (%.1f)", 100*e.Absolute, 100*e.ByNoise), p.Doubt})
	}
	b.WriteString(trimmed(t) + "\n")
	h.more(b)
	step := "from one possible truth to another"
	if h.Stated {
		step = "over the whole range (everything else: from one possible truth to another)"
	}
	fmt.Fprintf(b, "(Size: root mean square of the change %s, luck taken off; 0.0 where luck has it all. * told from none although %d parts\n"+
		"were looked at. Elementary effects after Morris, one row a base with every part moved once.)\n\n", step, len(h.Parts))
	fmt.Fprintf(b, "Played: %d bouts, %d rows of %d a plan and part; a pair of its own for each part would have taken %d.\n", h.Played, h.Draws, h.Bouts, 4*h.Draws*h.Bouts*len(h.Parts))
}

func (h *HangsOn) indices(b *strings.Builder) {
	h.answer(b, func(p *study.Hang) *infer.Ratio { return &p.Index.Total })
	t := rightTable(4)
	t.AppendRow(table.Row{"What it hangs on", "by itself (first-order)", "in all (total)", "uncorrected", "", "shown by"})
	for i := range h.Parts {
		p := &h.Parts[i]
		star := "  "
		if p.Index.TotalTold {
			star = "* "
		}
		t.AppendRow(table.Row{star + partName(p), perCent(p.Index.First), perCent(p.Index.Total), fmt.Sprintf("%.0f %%", 100*p.Index.TotalRaw), shareBar(p.Index.Total), p.Doubt})
	}
	b.WriteString(trimmed(t) + "\n")
	fmt.Fprintf(b, "(In brackets: %.0f %% for the error of the simulation. * the part is told from none. Uncorrected: what luck would have made of the total.\n"+
		"In all less by itself is interplay with other parts.)\n\n", 100*h.Level)
	if n := len(h.Parts) - 1; h.Screened > 0 && h.ScreenTold < n {
		fmt.Fprintf(b, "The screening told %d of these %d to move the difference; the others were kept as the largest on the average, which luck may have made them.\n", h.ScreenTold, n)
	}
	if !h.SDTold {
		b.WriteString("Where truths differ so little beside luck, --how shares tells more from as many bouts, and so does what has less luck in it (--value margin).\n")
	}
	screened := ""
	if h.Screened > 0 {
		screened = fmt.Sprintf("%d rows to screen, then ", h.Screened)
	}
	fmt.Fprintf(b, "Played: %d bouts: %s%d rows of %d a plan and part. A double loop of %d draws in %d for each part would have taken %d.\n", h.Played, screened,
		h.Draws, h.Bouts, h.Draws, h.Draws, 2*h.Draws*h.Draws*h.Bouts*len(h.Parts))
}
