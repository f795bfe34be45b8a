package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/fighter"
)

// PopulationSchema names the form of the JSON.
const PopulationSchema = "whatbout.population-estimate/1"

// PopulationFigure is one figure of a population, re-estimated or left as it was (see calibrate.Estimate).
type PopulationFigure struct {
	Figure       string  `json:"figure"`
	Unit         string  `json:"unit"`
	Before       float64 `json:"before"`
	After        float64 `json:"after"`
	SE           float64 `json:"standard_error"` // 0: as it was, or not told from another
	Spread       string  `json:"spread"`         // what the next two say: counts, weight or sd
	SpreadBefore float64 `json:"spread_before"`
	SpreadAfter  float64 `json:"spread_after"`
	AtLimit      bool    `json:"spread_at_limit"` // the fighters differ no more than luck makes them
	Fighters     int     `json:"fighters"`
	Rounds       int     `json:"rounds"`
	Events       float64 `json:"events"`
	Estimated    bool    `json:"estimated"`
	Why          string  `json:"why_not,omitempty"`
}

// Population is a population re-estimated from a library of tape.
type Population struct {
	Schema   string             `json:"schema"`
	Version  string             `json:"version"`
	Inputs   []Input            `json:"inputs"`
	Before   string             `json:"before"` // which population it was before
	Written  Input              `json:"written"`
	Bouts    int                `json:"bouts"`
	Fighters int                `json:"fighters"`
	Rounds   int                `json:"fighters_rounds"` // a round of which both were coded counts twice
	Minutes  float64            `json:"fighters_minutes"`
	Figures  []PopulationFigure `json:"figures"`
	Stay     []PopulationStay   `json:"stay"`
	Notes    []string           `json:"notes"`

	Full bool `json:"-"` // text with every figure that was re-estimated
}

// PopulationStay is a block of figures that no library re-estimates.
type PopulationStay struct {
	Block string         `json:"block"`
	Why   string         `json:"why"`
	Marks map[string]int `json:"rest_on"` // figures by what they rest on: evidence, judgement, tape
}

// JSON writes all of it as one object, numbers to six digits.
func (p *Population) JSON(w io.Writer) error { return writeJSON(w, p) }

// StayOf counts what every library leaves as it is, by what it rests on.
func StayOf(p *fighter.PopulationFile) (out []PopulationStay) {
	for _, s := range []struct {
		block, why string
		holds      func(name string) bool
	}{
		{"sense", "tape shows it only together with the readiness to bite", begins("sense.")},
		{"survive, hold", "tape has too few moments of them, and does not say what was tried", begins("survive.", "hold.")},
		{"reaction, times, retraction, power, chin, tiring and the like", "tape cannot show them", alone},
		{"body, hands_only", "an average body and the tempo of boxing are not a matter of counts", begins("body.", "hands_only.")},
	} {
		marks := map[string]int{}
		for name, m := range p.Marks {
			if s.holds(name) {
				marks[string(m.Basis)]++
			}
		}
		out = append(out, PopulationStay{s.block, s.why, marks})
	}
	return out
}

func begins(with ...string) func(string) bool {
	return func(name string) bool {
		return slices.ContainsFunc(with, func(w string) bool { return strings.HasPrefix(name, w) })
	}
}

func alone(name string) bool {
	f, ok := fighter.Named(name)
	return ok && fighter.Define(f).Law == fighter.Size && !begins("place.", "after.")(name)
}

// clearly is how many standard errors a mean has to move to be called moved; one in twenty does by luck.
const clearly = 1.96

// shownMoved is how many figures the text lists.
const shownMoved = 25

// moved is how many standard errors a mean has moved; 0 where it has none.
func (f *PopulationFigure) moved() float64 {
	if f.SE == 0 {
		return 0
	}
	return (f.After - f.Before) / f.SE
}

// Text says what moved, how sure that is, what stays and why.
func (p *Population) Text(w io.Writer) error {
	var b strings.Builder
	told := slices.DeleteFunc(slices.Clone(p.Figures), func(f PopulationFigure) bool { return !f.Estimated })
	fmt.Fprintf(&b, "A population from %d bout%s: %d fighter%s, %d of their rounds, %.0f of their minutes; before: %s\n", p.Bouts, plural(p.Bouts), p.Fighters,
		plural(p.Fighters), p.Rounds, p.Minutes, p.Before)
	if len(told) == 0 {
		b.WriteString("THE LIBRARY IS TOO SMALL: no figure was re-estimated, and the population stays as it was. See below for what each figure needs.\n")
	} else {
		fmt.Fprintf(&b, "%d of %d figures that tape can show are re-estimated, the population before counting as one fighter more.\n", len(told), len(p.Figures))
	}
	if p.Written.Name != "" {
		fmt.Fprintf(&b, "Written: %s (SHA-256 %.12s...)\n", p.Written.Name, p.Written.SHA256)
	}
	p.means(&b, told)
	p.spreads(&b, told)
	p.stays(&b)
	for _, note := range p.Notes {
		fmt.Fprintf(&b, "Note: %s\n", harmless(note))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// means lists the means that moved most surely, or all.
func (p *Population) means(b *strings.Builder, told []PopulationFigure) {
	told = slices.DeleteFunc(slices.Clone(told), func(f PopulationFigure) bool { return f.SE == 0 || strings.HasPrefix(f.Figure, "prior.") })
	if len(told) == 0 {
		return
	}
	slices.SortStableFunc(told, func(x, y PopulationFigure) int { return cmp.Compare(math.Abs(y.moved()), math.Abs(x.moved())) })
	clear := 0
	t := newAgreeTable()
	t.AppendRow(table.Row{"Mean among fighters", "before", "after", "standard error", "moved by", "fighters", "events"})
	for i := range told {
		f := &told[i]
		if math.Abs(f.moved()) > clearly {
			clear++
		}
		if p.Full || i < shownMoved && math.Abs(f.moved()) > clearly {
			t.AppendRow(table.Row{"  " + f.Figure, short(f.Before), short(f.After), short(f.SE), fmt.Sprintf("%+.1f", f.moved()), f.Fighters, fmt.Sprintf("%.0f", f.Events)})
		}
	}
	if clear > 0 || p.Full {
		b.WriteString("\n" + trimmed(t) + "\n")
	}
	fmt.Fprintf(b, "  %d of %d means moved by more than %.2f standard errors; if this tape were of the population before, about %.0f would.", clear, len(told), clearly, .05*float64(len(told)))
	if !p.Full {
		b.WriteString(" --full shows all.")
	}
	b.WriteString("\n  Rates are per free second, choices shares of their table, bites log-odds.\n")
}

func short(x float64) string { return fmt.Sprintf("%.3g", x) }

// spreads says how far fighters differ, block by block. A variance from n fighters of whom everything is known has the relative standard error
// √(2/n) (of normals), and the population before counts as four.
func (p *Population) spreads(b *strings.Builder, told []PopulationFigure) {
	if len(told) == 0 {
		return
	}
	fmt.Fprintf(b, "\nHow far fighters differ (medians over figures; more counts and more weight mean more alike; from %d fighters a variance is known to\n"+
		"%.0f %% at best):\n", p.Fighters, 100*math.Sqrt(2/float64(p.Fighters+4)))
	for _, kind := range []struct{ block, says string }{
		{"initiate", "rates, as if known from so many counts"}, {"answer", "answers, as if from so many choices"}, {"continue", "what follows own acts, choices"},
		{"defend", "defences, choices"}, {"bite", "readiness to bite, sd in log-odds"},
		{"place", "multiples by place, sd of the logarithm"}, {"after", "multiples by last act, sd of the logarithm"}, {"prior", "skills, sd in log-odds"},
	} {
		var was, is []float64
		limit := 0
		for i := range told {
			if f := &told[i]; strings.HasPrefix(f.Figure, kind.block+".") {
				was, is = append(was, f.SpreadBefore), append(is, f.SpreadAfter)
				if f.AtLimit {
					limit++
				}
			}
		}
		if len(was) == 0 {
			continue
		}
		fmt.Fprintf(b, "  %s: %s before, %s now", kind.says, short(middle(was)), short(middle(is)))
		if limit > 0 {
			fmt.Fprintf(b, "; of %d figures %d are at the limit: no more different than luck makes them", len(was), limit)
		}
		b.WriteString("\n")
	}
}

// middle is the upper median.
func middle(x []float64) float64 {
	x = slices.Sorted(slices.Values(x))
	return x[len(x)/2]
}

// stays says what was not re-estimated and why.
func (p *Population) stays(b *strings.Builder) {
	b.WriteString("\nWhat stays as it was, and why:\n")
	for _, block := range []string{"initiate", "answer", "continue", "defend", "bite", "place", "after", "prior"} {
		all, why := 0, map[string]int{}
		for i := range p.Figures {
			if f := &p.Figures[i]; strings.HasPrefix(f.Figure, block+".") {
				all++
				if !f.Estimated {
					why[tooFewOf(f.Why)]++
				}
			}
		}
		for _, reason := range sortedByCount(why) {
			fmt.Fprintf(b, "  %s: %d of %d: %s\n", block, why[reason], all, reason)
		}
	}
	for _, s := range p.Stay {
		var on []string
		for _, basis := range sortedByCount(s.Marks) {
			on = append(on, fmt.Sprintf("%d on %s", s.Marks[basis], basis))
		}
		fmt.Fprintf(b, "  %s: %s (they rest %s)\n", s.Block, s.Why, strings.Join(on, ", "))
	}
}

// tooFewOf takes the number out of a reason, so that figures with one reason are counted together.
func tooFewOf(why string) string {
	_, what, _ := strings.Cut(why, " ")
	what, least, _ := strings.Cut(what, "; ")
	return fmt.Sprintf("too few %s (%s)", what, least)
}

// sortedByCount gives the keys, the most frequent first.
func sortedByCount(n map[string]int) []string {
	keys := make([]string, 0, len(n))
	for k := range n {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b string) int { return cmp.Or(cmp.Compare(n[b], n[a]), strings.Compare(a, b)) })
	return keys
}
