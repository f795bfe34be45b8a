package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"

	"whatbout/report/chart"
)

// sheetWidth is that of the text, in letters.
const sheetWidth = 96

// Text writes the sheet.
func (s *Sheet) Text(w io.Writer) error {
	var b strings.Builder
	put := func(first, words string) {
		b.WriteString(wrapped(first+words, sheetWidth, strings.Repeat(" ", len(first))))
	}
	put("", strings.ToUpper(s.Plan))
	put("", s.Title)
	b.WriteString("\n")
	put("", s.Sentence)
	put("", s.Lead)
	if s.Warning != "" {
		put("", s.Warning)
	}
	b.WriteString("\nDO\n")
	for i, t := range s.Things {
		put(fmt.Sprintf("  %d  ", i+1), t.Do)
		for _, how := range t.How {
			put("     - ", how)
		}
		for _, words := range t.small() {
			put("     ", words)
		}
	}
	if len(s.Also) > 0 {
		put("     ", "Also in the plan: "+strings.Join(s.Also, "; ")+".")
	}
	b.WriteString("\nTHE SIGN\n")
	for _, x := range s.Signs {
		put("  ", x)
	}
	b.WriteString("\nTHEN\n")
	put("  ", s.Then)
	b.WriteString("\nTHE PRICE\n")
	for _, x := range s.Price {
		put("  ", x)
	}
	fmt.Fprintf(&b, "\n%s\n%s\n\n", StopLine, DrillLine)
	for _, n := range s.Notes {
		put("Note: ", n)
	}
	fmt.Fprintf(&b, "The same again: %s\n\n%s", s.Again, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// small is what stands under a thing.
func (t *Thing) small() (out []string) {
	if t.Worth != "" {
		out = append(out, "Worth: "+t.Worth+".")
	}
	if t.Moved != "" {
		out = append(out, "It moves "+t.Moved+".")
	} else {
		out = append(out, "Nothing that is counted shows it.")
	}
	return out
}

// Small is what stands under a thing, a sentence each.
func (t Thing) Small() []string { return t.small() }

//go:embed sheet.gohtml
var sheetSource string

//go:embed sheet.css
var sheetStyle string

var sheetTemplate = template.Must(template.New("sheet").Funcs(template.FuncMap{"tied": tied, "next": func(i int) int { return i + 1 }}).Parse(sheetSource))

// HTML writes the sheet as one page that prints on one sheet and asks for nothing.
func (s *Sheet) HTML(w io.Writer) error {
	return sheetTemplate.Execute(w, map[string]any{"S": s, "Stop": StopLine, "Drill": DrillLine, "Cautions": Cautions, "Style": template.CSS(chart.Variables() + sheetStyle)})
}
