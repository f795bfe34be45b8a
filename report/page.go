package report

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"regexp"
	"strings"

	"whatbout/report/chart"
)

// Paged is a result that has a page. A study gives what it answers and its own parts; what all pages have in common is added by [Page].
type Paged interface {
	Shown
	Answer() Answer
	Sections() []Section // in the order in which they are asked for; IDs are unique
}

// Answer is what a page says first.
type Answer struct {
	Title    string   // who meets whom, or what is looked at
	Under    string   // which rules, and the like
	Alarm    string   // what heads everything, such as harm that is accepted; "" for none
	Sentence string   // the answer
	Leads    []string // how far it is told, at what price
	Played   string   // what was played for it
}

// Page is a result as one file to hand over: it asks for nothing, runs no script and prints.
type Page struct {
	Result    Paged
	Checks    *Audit         // of the calibration; nil: that none was made is said, and how to
	Checklist []ChecklistRow // none: left out
	File      string         // the study's file and what it stands for; "" if the result comes from a command
}

// Section is a part of a page: words, figures and lists under a heading.
type Section struct {
	ID, Heading string
	Lead        []string
	Line        string // to be typed; "" for none
	Figures     []chart.Figure
	Items       []string
	Terms       []Term
}

// Term is a word with what is said of it.
type Term struct{ Name, Text string }

// PageOf makes a page of a result, in the words of its JSON form, with the checklist as far as the program knows it. Of a record it takes the
// result and the checklist that its user has filled in. Results without bouts of their own, such as an audit, have no checklist.
func PageOf(r Shown, checks *Audit) (*Page, error) {
	rounded, err := Rounded(r)
	if err != nil {
		return nil, err
	}
	p := &Page{Checks: checks}
	if record, ok := rounded.(*Record); ok {
		if rounded, err = record.Inside(); err != nil {
			return nil, err
		}
		p.Checklist, p.File = record.Checklist, fmt.Sprintf("Study %s (sha256 %.12s), which stands for: %s", record.Study.Name, record.Study.SHA256, record.Command)
	}
	var ok bool
	if p.Result, ok = rounded.(Paged); !ok {
		return nil, fmt.Errorf("this result (%T) has no page", rounded)
	}
	if _, isAudit := rounded.(*Audit); !isAudit && p.Checklist == nil {
		h, err := p.header()
		if err != nil {
			return nil, err
		}
		p.Checklist = Checklist(&h, nil)
	}
	return p, nil
}

func (p *Page) header() (Header, error) {
	var b bytes.Buffer
	if err := p.Result.JSON(&b); err != nil {
		return Header{}, err
	}
	return HeaderOf(b.Bytes())
}

// sections lists the parts of the page: the study's own, then what all have in common.
func (p *Page) sections(h *Header) []Section {
	out := p.Result.Sections()
	if _, isAudit := p.Result.(*Audit); !isAudit {
		out = append(out, p.checksSection(h))
	}
	if len(p.Checklist) > 0 {
		out = append(out, p.checklistSection())
	}
	return append(out, Section{ID: "cautions", Heading: "Cautions", Lead: []string{strings.TrimPrefix(Cautions, "Cautions. ")}, Items: h.Warnings}, p.againSection(h))
}

func (p *Page) checklistSection() Section {
	s := Section{ID: "checklist", Heading: "Reporting checklist", Lead: []string{"STRESS-DES (Monks, Currie, Onggo, Robinson, Kunc & Taylor 2019) for discrete-event simulations."}}
	gaps := 0
	for _, r := range p.Checklist {
		text := r.Text
		if text == "" {
			gaps++
			text = "Not answered: only whoever asked the question knows it."
		}
		s.Terms = append(s.Terms, Term{r.Item, text})
	}
	if gaps > 0 {
		s.Lead = append(s.Lead, fmt.Sprintf("%s not answered; a study's file answers them (whatbout run --help).", isAre(gaps, "item")))
	}
	return s
}

// isAre says "1 item is" or "2 items are".
func isAre(n int, noun string) string {
	if n == 1 {
		return "1 " + noun + " is"
	}
	return fmt.Sprintf("%d %ss are", n, noun)
}

func (p *Page) againSection(h *Header) Section {
	s := Section{ID: "again", Heading: "How to reproduce this", Line: h.Again,
		Lead: []string{fmt.Sprintf("Version %s, seed %d. %s The same again:", h.Version, h.Seed, p.Result.Answer().Played)}}
	if p.File != "" {
		s.Items = []string{p.File}
	}
	for _, in := range h.Inputs {
		s.Terms = append(s.Terms, Term{in.Name, "sha256 " + in.SHA256})
	}
	return s
}

//go:embed page.gohtml
var pageSource string

//go:embed page.css
var pageStyle string

// minus finds the hyphens that stand for a minus in words that a text shares.
var minus = regexp.MustCompile(`(^|[ (])-(\d)`)

// tied keeps a number and its per cent sign on one line, and sets its minus.
func tied(words string) string {
	return minus.ReplaceAllString(strings.ReplaceAll(words, " %", "\u00a0%"), "$1\u2212$2")
}

// said gives what a part of a text says, line by line, for a page that says the same.
func said(write func(*strings.Builder)) (lines []string) {
	var b strings.Builder
	write(&b)
	for line := range strings.Lines(b.String()) {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}

var pageTemplate = template.Must(template.New("page").Funcs(template.FuncMap{"tied": tied}).Parse(pageSource))

// HTML writes the page.
func (p *Page) HTML(w io.Writer) error {
	h, err := p.header()
	if err != nil {
		return err
	}
	return pageTemplate.Execute(w, map[string]any{"Answer": p.Result.Answer(), "Sections": p.sections(&h),
		"Style": template.CSS(chart.Variables() + chart.Style + pageStyle)})
}

// FigureHTML writes one figure as it stands in the page: for pages that hold [chart.Variables] and [chart.Style].
func FigureHTML(w io.Writer, f chart.Figure) error {
	return pageTemplate.ExecuteTemplate(w, "figure", f)
}

// meeting says who meets whom, and under what.
func meeting(fighter, opponent, rules, opponentPlan string) (titled, under string) {
	under = "under " + rules
	if opponentPlan != "" && opponentPlan != "as usual" {
		under += "; " + title(opponent) + " fights \u201c" + opponentPlan + "\u201d"
	}
	return title(fighter) + " against " + title(opponent), under
}
