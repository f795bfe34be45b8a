package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"

	"whatbout/report/chart"
	"whatbout/study"
)

// Page is a comparison as one file to hand over: it asks for nothing, runs no script and prints.
type Page struct {
	*Comparison
	Trace     *study.TraceResult // nil: what needs it is left out, and that is said
	Checks    []Check            // of the calibration; none: that is said
	Checklist []ChecklistRow     // none: left out
}

// Check is one check of a calibration against what was coded.
type Check struct{ What, Expected, Found, Verdict string }

// Section is a part of a page: words, figures and lists under a heading.
type Section struct {
	ID, Heading string
	Lead        []string
	Figures     []chart.Figure
	Items       []string
	Terms       []Term
}

// Term is a word with what is said of it.
type Term struct{ Name, Text string }

// Sections lists the parts of the page in their order: what one plan changes comes before what is common to all.
func (p *Page) Sections() (out []Section) {
	out = append(out, Section{ID: "of-100", Heading: "Of 100 bouts", Figures: []chart.Figure{p.icons()}})
	for i := range p.Plans[1:] {
		out = append(out, p.planSections(i+1)...)
	}
	return append(out, p.evidenceSection(), p.checksSection(), p.checklistSection(), p.notesSection(), p.againSection())
}

// planSections is what plan i changes.
func (p *Page) planSections(i int) (out []Section) {
	plan, id := p.Plans[i], fmt.Sprintf("plan-%d-", i)
	head := func(what string) string {
		if len(p.Plans) > 2 {
			return title(plan.Name) + ": " + what
		}
		return title(what)
	}
	if p.Trace != nil {
		out = append(out, Section{ID: id + "margin", Heading: head("the margin"), Figures: []chart.Figure{p.margins(i)}})
	}
	out = append(out,
		Section{ID: id + "doubt", Heading: head("three kinds of doubt"), Lead: p.doubtLead(plan.Name), Figures: []chart.Figure{p.doubts(i)}},
		Section{ID: id + "ends", Heading: head("how bouts end"), Figures: []chart.Figure{p.ends(i)}},
		Section{ID: id + "price", Heading: head("the price"), Figures: []chart.Figure{p.price(i)}},
		Section{ID: id + "way", Heading: head("what changed on the way"), Figures: []chart.Figure{p.way(i, "where", &sections[2], "% of the time"), p.way(i, "acts", &sections[3], "a minute")}})
	if p.Trace != nil {
		out = append(out,
			Section{ID: id + "range", Heading: head("range over time"), Figures: []chart.Figure{p.ribbons(i)}},
			Section{ID: id + "floor", Heading: head("where on the floor"), Figures: []chart.Figure{p.floor(i)}})
	}
	return out
}

func (p *Page) evidenceSection() Section {
	s := Section{ID: "little-tape", Heading: "What rests on little tape", Figures: []chart.Figure{p.evidenceFigure()}}
	for _, x := range p.PriorOnly {
		s.Items = append(s.Items, fmt.Sprintf("%q multiplies %s %s, which %s's tape never shows: the figure is the population's.", x.Rule, plain(x.Act),
			list(x.Where), title(p.Fighter)))
	}
	for _, e := range p.Evidence {
		if e.Tape == 0 {
			s.Items = append(s.Items, title(e.Fighter)+" has no tape at all: good for trying a plan and for seeing what tape would buy, not for believing.")
		}
		if len(e.Skills) > 0 {
			s.Items = append(s.Items, fmt.Sprintf("Skills of %s without tape, the population's only: %s.", title(e.Fighter), list(e.Skills)))
		}
	}
	return s
}

func (p *Page) checksSection() Section {
	s := Section{ID: "checks", Heading: "Does the model reproduce the tape?"}
	if len(p.Checks) == 0 {
		s.Lead = []string{"No check of the calibration came with this comparison. whatbout audit holds simulated rounds against the coded ones."}
		return s
	}
	for _, x := range p.Checks {
		s.Terms = append(s.Terms, Term{x.What, fmt.Sprintf("%s; expected %s, found %s", x.Verdict, x.Expected, x.Found)})
	}
	return s
}

func (p *Page) checklistSection() Section {
	s := Section{ID: "checklist", Heading: "Reporting checklist", Lead: []string{"STRESS-DES (Monks, Currie, Onggo, Robinson, Kunc & Taylor 2019) for discrete-event simulations."}}
	for _, r := range p.Checklist {
		text := r.Text
		if text == "" {
			text = "Not answered: only whoever asked the question knows it."
		}
		s.Terms = append(s.Terms, Term{r.Item, text})
	}
	return s
}

func (p *Page) notesSection() Section {
	s := Section{ID: "cautions", Heading: "Cautions", Lead: []string{Cautions}}
	s.Items = append(s.Items, p.Warnings...)
	if p.Trace == nil {
		s.Items = append(s.Items, "No bouts were traced, so there is no margin of single bouts, no range over time and no map of the floor.")
	}
	return s
}

func (p *Page) againSection() Section {
	s := Section{ID: "again", Heading: "How to reproduce this", Lead: []string{p.played(), p.Again}}
	for _, in := range p.Inputs {
		s.Terms = append(s.Terms, Term{in.Name, "sha256 " + in.SHA256})
	}
	return s
}

func (p *Page) played() string {
	s := fmt.Sprintf("Version %s, seed %d: %d bouts, in %d draws of both doubts and %d of tape doubt alone, %d bouts a draw and plan; intervals at %.0f %%.", p.Version, p.Seed,
		p.Played, p.Draws, p.TapeDraws, p.Bouts, math.Round(100*p.Level))
	if p.Trace != nil {
		s += fmt.Sprintf(" Watched closely: the first %d bouts of the first %d draws, under every plan.", p.Trace.Bouts, p.Trace.Draws)
	}
	return s + " The same again:"
}

//go:embed page.gohtml
var pageSource string

//go:embed page.css
var pageStyle string

// tied keeps a number and its per cent sign on one line.
func tied(words string) string { return strings.ReplaceAll(words, " %", "\u00a0%") }

var pageTemplate = template.Must(template.New("page").Funcs(template.FuncMap{"tied": tied}).Parse(pageSource))

// HTML writes the page.
func (p *Page) HTML(w io.Writer) error {
	return pageTemplate.Execute(w, map[string]any{
		"Title": title(p.Fighter) + " against " + title(p.Opponent), "Rules": p.Rules, "OpponentPlan": p.OpponentPlan, "Opponent": title(p.Opponent),
		"Sentence": p.sentence(), "Leads": p.leads(), "Sections": p.Sections(), "Style": template.CSS(chart.Variables() + chart.Style + pageStyle),
	})
}

// FigureHTML writes one figure as it stands in the page: for pages that hold [chart.Variables] and [chart.Style].
func FigureHTML(w io.Writer, f chart.Figure) error {
	return pageTemplate.ExecuteTemplate(w, "figure", f)
}
