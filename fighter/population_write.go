package fighter

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"whatbout/internal/input"
	"whatbout/tape"
)

// WritePopulation writes a population as a file that [ReadPopulation] reads, every number with six digits. head becomes comment lines at
// its top. A mark stands once over a block or row, and again only at figures that rest on something else.
func WritePopulation(f *PopulationFile, head ...string) []byte {
	w := &populationWriter{f: f}
	for _, line := range append(head, populationHelp...) {
		w.line("# %s", strings.Join(strings.Fields(line), " "))
	}
	w.line("format: %s", PopulationFormat)
	w.body()
	w.block("prior", 0, []entry{{"rate_counts", "prior.rate_counts", f.Prior.RateCounts, ""}, {"table_weight", "prior.table_weight", f.Prior.TableWeight, ""},
		{"skill_sd", "prior.skill_sd", f.Prior.Skill, ""}, {"sense_sd", "prior.sense_sd", f.Prior.Sense, ""}, {"bite_sd", "prior.bite_sd", f.Prior.Bite, ""},
		{"place_sd", "prior.place_sd", f.Prior.Place, ""}, {"after_sd", "prior.after_sd", f.Prior.After, ""}})
	h := f.HandsOnly
	w.block("hands_only", 0, []entry{{"initiate", "hands_only.initiate", h.Initiate, ""}, {"answer", "hands_only.answer", h.Answer, ""},
		{"continue", "hands_only.continue", h.Continue, ""}})
	w.initiate()
	w.tables("answer", int(ExchangeZones), func(i int) string { return (Kicking + Zone(i)).String() }, moveFigures(Answer))
	w.tables("continue", int(ExchangeZones), func(i int) string { return (Kicking + Zone(i)).String() }, moveFigures(Continue))
	w.tables("defend", int(NumThreats), func(i int) string { return Threat(i).String() }, responseFigures)
	w.alone("survive", int(NumSurvivals), func(i int) Figure { return Survive(Survival(i)) }, func(i int) string { return Survival(i).String() })
	w.alone("hold", int(NumHolds), func(i int) Figure { return Holding(Hold(i)) }, func(i int) string { return Hold(i).String() })
	w.alone("sense", int(NumCues), func(i int) Figure { return Sense(Cue(i)) }, func(i int) string { return Cue(i).String() })
	w.alone("bite", int(NumCues), func(i int) Figure { return Bite(Cue(i)) }, func(i int) string { return Cue(i).String() })
	w.places()
	w.after()
	w.sizes()
	return []byte(w.b.String())
}

var populationHelp = []string{
	"Every figure stands under a mark: evidence (a published value), judgement (why this value) or tape (re-estimated from so much of it).",
	"The nearest mark counts. Metres, kilograms; rates per free second; weights of choices; log-odds. counts, weight and sd say how much tape",
	"the population counts for, or how far professionals differ, in that figure; without them what stands under prior counts.",
}

type populationWriter struct {
	f *PopulationFile
	b strings.Builder
}

// entry is a figure as a line: its key, the name of its mark, its value, and its spread as "key: number", or "".
type entry struct {
	key, name string
	value     float64
	spread    string
}

func (w *populationWriter) line(format string, args ...any) { fmt.Fprintf(&w.b, format+"\n", args...) }

func (w *populationWriter) mark(at string, m Mark) {
	w.line("%s%s: %s", at, m.Basis, input.Scalar(m.Text))
}

func (w *populationWriter) body() {
	b, stance := w.f.Body, "orthodox"
	if b.Southpaw {
		stance = "southpaw"
	}
	w.block("body", 0, []entry{{"stature", "body.stature", b.Stature, ""}, {"span", "body.span", b.Span, ""}, {"leg", "body.leg", b.Leg, ""},
		{"weight", "body.weight", b.Weight, ""}})
	w.line("  stance: %s", stance)
}

// block writes entries under a key, so many levels in, with the mark that most of them have over them.
func (w *populationWriter) block(key string, level int, entries []entry) {
	at := strings.Repeat("  ", level)
	most := w.commonest(entries)
	w.line("%s%s:", at, key)
	w.mark(at+"  ", most)
	w.entries(at+"  ", most, entries)
}

func (w *populationWriter) entries(at string, over Mark, entries []entry) {
	for _, e := range entries {
		m, ok := w.f.Marks[e.name]
		if !ok {
			m = over
		}
		switch text := six(e.value); {
		case m == over && e.spread == "":
			w.line("%s%s: %s", at, e.key, text)
		default:
			fields := []string{"value: " + text}
			if e.spread != "" {
				fields = append(fields, e.spread)
			}
			if m != over {
				fields = append(fields, fmt.Sprintf("%s: %s", m.Basis, quoted(m.Text)))
			}
			w.line("%s%s: {%s}", at, e.key, strings.Join(fields, ", "))
		}
	}
}

// commonest gives the mark that most entries have, the first in the order of texts among equals.
func (w *populationWriter) commonest(entries []entry) Mark {
	n := map[Mark]int{}
	for _, e := range entries {
		if m, ok := w.f.Marks[e.name]; ok {
			n[m]++
		}
	}
	marks := slices.SortedFunc(maps.Keys(n), func(a, b Mark) int { return cmp.Or(cmp.Compare(n[b], n[a]), cmp.Compare(a.Text, b.Text)) })
	if len(marks) == 0 {
		return Mark{OnJudgement, "no figures"}
	}
	return marks[0]
}

func (w *populationWriter) initiate() {
	w.line("initiate:")
	w.mark("  ", Mark{OnJudgement, "the marks of the rows count"})
	for z := range NumZones {
		var entries []entry
		for m := range tape.NumMoves {
			f := Initiate(z, m)
			if p := w.f.Figures[f]; p.A > 0 {
				entries = append(entries, entry{m.String(), definitions[f].Name, p.A / p.B, other("counts", p.A, w.f.Prior.RateCounts)})
			}
		}
		w.block(z.String(), 1, entries)
	}
}

func (w *populationWriter) tables(name string, rows int, row func(int) string, figures func(int) (keys []string, out []Figure)) {
	w.line("%s:", name)
	w.mark("  ", Mark{OnJudgement, "the marks of the rows count"})
	for i := range rows {
		keys, of := figures(i)
		var entries []entry
		sum := 0.0
		for k, f := range of {
			if a := w.f.Figures[f].A; a > 0 {
				entries = append(entries, entry{keys[k], definitions[f].Name, a, ""})
				sum += a
			}
		}
		w.block(row(i), 1, entries)
		if weight := other("weight", sum, w.f.Prior.TableWeight); weight != "" {
			w.line("    %s", weight)
		}
	}
}

func moveFigures(table func(int, tape.Move) Figure) func(int) ([]string, []Figure) {
	return func(zone int) (keys []string, out []Figure) {
		for m := range tape.NumMoves {
			keys, out = append(keys, m.String()), append(out, table(zone, m))
		}
		return keys, out
	}
}

func responseFigures(threat int) (keys []string, out []Figure) {
	for r := range NumResponses {
		keys, out = append(keys, r.String()), append(out, Defend(Threat(threat), r))
	}
	return keys, out
}

func (w *populationWriter) alone(name string, n int, figure func(int) Figure, key func(int) string) {
	var entries []entry
	for i := range n {
		f := figure(i)
		e := entry{key(i), definitions[f].Name, w.f.Figures[f].A, ""}
		switch name {
		case "sense":
			e.spread = other("sd", w.f.Figures[f].B, w.f.Prior.Sense)
		case "bite":
			e.spread = other("sd", w.f.Figures[f].B, w.f.Prior.Bite)
		}
		entries = append(entries, e)
	}
	w.block(name, 0, entries)
}

func (w *populationWriter) places() {
	w.line("places:")
	w.mark("  ", Mark{OnJudgement, "the marks of the rows count"})
	for p := range NumPlaces {
		var entries []entry
		for s := range NumSorts {
			entries = append(entries, w.multiple(s.String(), Placed(p, s), w.f.Prior.Place))
		}
		w.block(p.String(), 1, entries)
	}
}

func (w *populationWriter) after() {
	w.line("after:")
	w.mark("  ", Mark{OnJudgement, "the marks of the rows count"})
	var own, their []entry
	for a := AfterStep; a < NumAfters; a++ {
		own = append(own, w.multiple(a.String(), Follows(a), w.f.Prior.After))
	}
	for a := AfterFeint; a < NumAfters; a++ {
		their = append(their, w.multiple(a.String(), Replies(a), w.f.Prior.After))
	}
	w.block("own", 1, own)
	w.block("their", 1, their)
}

func (w *populationWriter) multiple(key string, f Figure, usual float64) entry {
	p := w.f.Figures[f]
	return entry{key, definitions[f].Name, p.A, other("sd", p.B, usual)}
}

func (w *populationWriter) sizes() {
	var entries []entry
	for _, s := range sizeNames {
		entries = append(entries, entry{name: s[0]})
	}
	over := w.commonest(entries)
	w.line("sizes:")
	w.mark("  ", over)
	for i, s := range sizeNames {
		p := w.f.Figures[Alone(i)]
		own := ""
		if m, ok := w.f.Marks[s[0]]; ok && m != over {
			own = fmt.Sprintf(", %s: %s", m.Basis, quoted(m.Text))
		}
		w.line("  %s: {median: %s, spread: %s%s}", s[0], six(p.A), six(p.B), own)
	}
}

// other gives "key: x" unless x is the default.
func other(key string, x, def float64) string {
	if math.Abs(x-def) <= 1e-6*def {
		return ""
	}
	return key + ": " + six(x)
}

// quoted is a text inside a flow map, where commas and braces would end it.
func quoted(s string) string { return strconv.Quote(s) }

func six(x float64) string {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
	if err != nil {
		panic("fighter: " + err.Error())
	}
	return input.Number(y)
}
