package tactics

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"whatbout/internal/input"
)

// Format is the first line's value in a plan file.
const Format = "whatbout.plan/1"

// Read reads a plan from YAML. file only names it in messages. The error lists all faults, each with line, column and what was
// expected; a plan without faults compiles.
func Read(file string, data []byte) (*Plan, error) {
	doc, _ := input.ParseYAML(file, data)
	rd := reader{doc}
	root := doc.Root()
	root.Known("format", "name", "intent", "adherence", "rules")
	root.Word("format", Format)
	p := &Plan{Name: rd.name(root), Intent: plainText(root, "intent", root.TextOr("intent", "")), Adherence: UsualAdherence}
	if root.Has("adherence") {
		p.Adherence = readAdherence(root.Map("adherence"))
	}
	c := &Compiled{Plan: p}
	if root.Has("rules") {
		for _, m := range root.Maps("rules") {
			var r Rule
			if rd.clean(func() { r = rd.rule(m) }) {
				faultEach(m, "", c.add(&r))
			}
			p.Rules = append(p.Rules, r)
		}
	}
	if len(p.Rules) > MaxRules {
		root.Fault("rules", fmt.Sprintf("%d rules", len(p.Rules)), fmt.Sprintf("at most %d", MaxRules), "")
	} else if len(doc.Faults()) == 0 {
		faultEach(root, "rules", c.leavesSomething())
	}
	if err := doc.Faults().Err(); err != nil {
		return nil, err
	}
	return p, nil
}

// reader reads the parts of a plan.
type reader struct{ doc *input.Doc }

// clean reports whether a part was read without a fault; what follows from a fault is not listed again.
func (rd reader) clean(part func()) bool {
	before := len(rd.doc.Faults())
	part()
	return len(rd.doc.Faults()) == before
}

// faultEach adds what compiling found, one fault a line of the error.
func faultEach(m input.Map, key string, err error) {
	if err == nil {
		return
	}
	for line := range strings.Lines(err.Error()) {
		m.Fault(key, strings.TrimSpace(line), "", "")
	}
}

func (rd reader) rule(m input.Map) Rule {
	m.Known("name", "at", "when", "never", "only", "multiple", "keep_tempo", "adherence")
	r := Rule{Name: rd.name(m), KeepTempo: m.BoolOr("keep_tempo", false)}
	if m.Has("adherence") {
		a := readAdherence(m.Map("adherence"))
		r.Adherence = &a
	}
	at := slices.Index(PointNames(), m.Word("at", PointNames()...))
	if at < 0 {
		return r // which words a rule may name depends on the point
	}
	r.At = Point(at)
	if m.Has("when") {
		r.When = rd.when(m.Map("when"), r.At)
	}
	r.Only = rd.words(m, "only", r.At)
	for _, word := range rd.words(m, "never", r.At) {
		r.Multiples = append(r.Multiples, Multiple{What: word})
	}
	if m.Has("multiple") {
		r.Multiples = append(r.Multiples, readMultiples(m.Map("multiple"), r.At)...)
	}
	slices.SortStableFunc(r.Multiples, neverFirst)
	return r
}

// neverFirst is the order that Write keeps.
func neverFirst(a, b Multiple) int {
	switch {
	case a.By == 0 && b.By != 0:
		return -1
	case a.By != 0 && b.By == 0:
		return 1
	}
	return 0
}

func (rd reader) name(m input.Map) (name string) {
	if rd.clean(func() { name = plainText(m, "name", m.Text("name")) }) && name == "" {
		m.Fault("name", "the name is empty", "a few words", "")
	}
	return name
}

// plainText puts text on one line.
func plainText(m input.Map, key, text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if !printable(text) {
		m.Fault(key, key+" holds a character that cannot be printed", "plain text", "")
	}
	return text
}

func printable(text string) bool {
	return !strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsPrint(r) })
}

func readAdherence(m input.Map) Adherence {
	m.Known("share", "sd")
	return Adherence{m.Float("share", 0, 1), m.FloatOr("sd", UsualAdherence.SD, 0, 0.5)}
}

func (rd reader) when(m input.Map, at Point) map[Fact][]int {
	m.Known(FactNames()...)
	var when map[Fact][]int
	for f := range NumFacts {
		if !m.Has(f.String()) {
			continue
		}
		if !f.knownAt(at) {
			m.Fault(f.String(), fmt.Sprintf("%s is known at believe and defend only", f), "", "this rule is at "+at.String())
		}
		if when == nil {
			when = map[Fact][]int{}
		}
		for _, word := range rd.some(m, f.String(), f.Values()) {
			when[f] = append(when[f], slices.Index(f.Values(), word))
		}
		slices.Sort(when[f])
		when[f] = slices.Compact(when[f])
	}
	return when
}

func (rd reader) words(m input.Map, key string, at Point) []string {
	if !m.Has(key) {
		return nil
	}
	return rd.some(m, key, Words(at))
}

// readSome reads a list that must hold something.
func (rd reader) some(m input.Map, key string, known []string) (words []string) {
	if rd.clean(func() { words = m.Words(key, known...) }) && len(words) == 0 {
		m.Fault(key, key+" names nothing that counts", "at least one word", input.DidYouMean("", known))
	}
	return words
}

func readMultiples(m input.Map, at Point) (out []Multiple) {
	m.Known(Words(at)...)
	for _, word := range m.Keys() {
		out = append(out, Multiple{word, m.Float(word, 0, MaxMultiple)})
	}
	return out
}
