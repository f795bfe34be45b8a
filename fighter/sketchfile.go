package fighter

import (
	"fmt"
	"slices"
	"strings"

	"whatbout/internal/input"
)

// SketchFormat is the value of format in a sketch's file.
const SketchFormat = "whatbout.sketch/1"

// ReadSketch reads a sketch (YAML, format whatbout.sketch/1): answers to any of the questions, and where they are given id, archetype and
// body. What is left out is zero, for the caller to fill in. file only names it in faults. The error lists all faults (input.Faults), and
// then there is no sketch.
func ReadSketch(file string, data []byte) (*Sketch, error) {
	doc, _ := input.ParseYAML(file, data)
	root := doc.Root()
	root.Known("format", "id", "archetype", "body", "answers")
	root.Word("format", SketchFormat)
	names, _ := Archetypes()
	s := &Sketch{ID: root.WordOr("id", ""), Archetype: root.WordOr("archetype", "", names...), Answers: map[string]Habit{}}
	if root.Has("body") {
		s.Body = ReadBody(root.Map("body"))
	}
	if root.Has("answers") {
		answers := root.Map("answers")
		answers.Known(questionNames()...)
		for _, q := range questions {
			if answers.Has(q.Name) {
				word := answers.Word(q.Name, habitNames[:]...)
				s.Answers[q.Name] = Habit(max(slices.Index(habitNames[:], word), 0))
			}
		}
	}
	if err := doc.Faults().Err(); err != nil {
		return nil, err
	}
	return s, nil
}

func questionNames() []string {
	var out []string
	for _, q := range questions {
		out = append(out, q.Name)
	}
	return out
}

// ParseHabit reads an answer: rarely, sometimes or often, or the first letters of one.
func ParseHabit(word string) (Habit, bool) {
	word = strings.ToLower(strings.TrimSpace(word))
	for i, name := range habitNames {
		if word != "" && strings.HasPrefix(name, word) {
			return Habit(i), true
		}
	}
	return 0, false
}

// WriteSketch writes a sketch with every answer spelled out, as ReadSketch reads it. The body is left out where it is zero.
func WriteSketch(s *Sketch) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "format: %s\n", SketchFormat)
	if s.ID != "" {
		fmt.Fprintf(&b, "id: %s\n", input.Scalar(s.ID))
	}
	if s.Archetype != "" {
		fmt.Fprintf(&b, "archetype: %s\n", s.Archetype)
	}
	if s.Body != (Body{}) {
		stance := "orthodox"
		if s.Body.Southpaw {
			stance = "southpaw"
		}
		fmt.Fprintf(&b, "body: {stature: %s, span: %s, leg: %s, weight: %s, stance: %s} # metres, kilograms\n", input.Number(s.Body.Stature),
			input.Number(s.Body.Span), input.Number(s.Body.Leg), input.Number(s.Body.Weight), stance)
	}
	b.WriteString("# rarely: half as often as the population; often: twice as often\nanswers:\n")
	for _, q := range questions {
		fmt.Fprintf(&b, "  %s: %s # %s\n", q.Name, s.Answer(q.Name), q.Words)
	}
	return []byte(b.String())
}

const bodyWant = "stature, span, leg (metres) and weight (kilograms) with their numbers, and orthodox or southpaw, such as " +
	`"stature 1.80, span 1.85, leg 0.95, weight 77, southpaw"`

// ParseBody reads a body as people write it on a command line: "stature 1.80, span 1.85, leg 0.95, weight 77, southpaw", in any order;
// orthodox where no stance is given. The ranges are those of [ReadBody]. The error lists all faults (input.Faults), under the name file.
func ParseBody(file, text string) (Body, error) {
	stance := "orthodox"
	lines := []string{}
	var faults input.Faults
	fault := func(what string) { faults.Add(input.Fault{File: file, What: what, Want: bodyWant}) }
	for _, part := range strings.Split(text, ",") {
		words := strings.Fields(part)
		switch {
		case len(words) == 1 && (words[0] == "orthodox" || words[0] == "southpaw"):
			stance = words[0]
		case len(words) == 2 && slices.Contains([]string{"stature", "span", "leg", "weight"}, words[0]):
			lines = append(lines, words[0]+": "+words[1])
		default:
			fault(fmt.Sprintf("%.40q cannot be read", strings.TrimSpace(part)))
		}
	}
	// The rest is what a file's body is held to.
	doc, _ := input.ParseYAML(file, []byte("body:\n  "+strings.Join(append(lines, "stance: "+stance), "\n  ")+"\n"))
	b := ReadBody(doc.Root().Map("body"))
	for _, f := range doc.Faults() {
		f.Line, f.Column = 0, 0 // it is one line of a command
		faults.Add(f)
	}
	return b, faults.Err()
}
