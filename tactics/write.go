package tactics

import (
	"errors"
	"fmt"
	"strings"

	"whatbout/internal/input"
)

// Write gives the YAML form of a plan; Read of it gives an equal plan, with what is never done before the other multiples and the
// values of facts in their order. The error is that of Compile, or says that a name or the intent cannot be written.
func Write(p *Plan) ([]byte, error) {
	_, err := Compile(p)
	if err := errors.Join(err, checkTexts(p)); err != nil {
		return nil, err
	}
	var b strings.Builder
	fmt.Fprintf(&b, "format: %s\nname: %s\n", Format, input.Scalar(p.Name))
	if p.Intent != "" {
		fmt.Fprintf(&b, "intent: %s\n", input.Scalar(p.Intent))
	}
	fmt.Fprintf(&b, "adherence: %s\n", p.Adherence.yaml())
	if len(p.Rules) > 0 {
		b.WriteString("rules:\n")
	}
	for i := range p.Rules {
		writeRule(&b, &p.Rules[i])
	}
	return []byte(b.String()), nil
}

func checkTexts(p *Plan) error {
	texts := []string{p.Name}
	for i := range p.Rules {
		texts = append(texts, p.Rules[i].Name)
	}
	for i, text := range texts {
		if text == "" {
			return fmt.Errorf("plan %q: a plan and each of its rules need a name (place %d)", p.Name, i)
		}
	}
	for _, text := range append(texts, p.Intent) {
		if !printable(text) || text != strings.Join(strings.Fields(text), " ") {
			return fmt.Errorf("plan %q: %q is not text on one line", p.Name, text)
		}
	}
	return nil
}

func (a Adherence) yaml() string {
	return fmt.Sprintf("{share: %s, sd: %s}", input.Number(a.Share), input.Number(a.SD))
}

func writeRule(b *strings.Builder, r *Rule) {
	fmt.Fprintf(b, "  - name: %s\n    at: %s\n", input.Scalar(r.Name), r.At)
	if len(r.When) > 0 {
		fmt.Fprintf(b, "    when: {%s}\n", strings.Join(whenTexts(r.When), ", "))
	}
	var never, multiples []string
	for _, m := range r.Multiples {
		if m.By == 0 {
			never = append(never, m.What)
		} else {
			multiples = append(multiples, m.What+": "+input.Number(m.By))
		}
	}
	writeList(b, "never", "[", never, "]")
	writeList(b, "only", "[", r.Only, "]")
	writeList(b, "multiple", "{", multiples, "}")
	if r.KeepTempo {
		b.WriteString("    keep_tempo: true\n")
	}
	if r.Adherence != nil {
		fmt.Fprintf(b, "    adherence: %s\n", r.Adherence.yaml())
	}
}

func writeList(b *strings.Builder, key, open string, items []string, end string) {
	if len(items) > 0 {
		fmt.Fprintf(b, "    %s: %s%s%s\n", key, open, strings.Join(items, ", "), end)
	}
}

func whenTexts(when map[Fact][]int) (out []string) {
	for f := range NumFacts {
		if len(when[f]) == 0 {
			continue
		}
		holds := make([]bool, len(f.Values()))
		for _, v := range when[f] {
			holds[v] = true
		}
		var words []string
		for v, word := range f.Values() {
			if holds[v] {
				words = append(words, word)
			}
		}
		out = append(out, f.String()+": ["+strings.Join(words, ", ")+"]")
	}
	return out
}
