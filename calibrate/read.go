package calibrate

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/tape"
)

// BoutFormat is the first line's value in a bout.yaml.
const BoutFormat = "whatbout.bout/1"

// codingLimit is the largest coding that is read, bytes.
const codingLimit = 64 << 20

// ReadBout reads a folder of coded tape: bout.yaml and one coding (*.csv). It gives the bout and both bodies by id. The error lists all
// faults. A second coding is refused until coders can be compared.
func ReadBout(dir string) (*Tape, map[string]fighter.Body, error) {
	file := filepath.Join(dir, "bout.yaml")
	data, err := input.ReadFile(file, 1<<20)
	if err != nil {
		return nil, nil, err
	}
	t, bodies, err := readMeta(file, data)
	codings, globErr := filepath.Glob(filepath.Join(dir, "*.csv"))
	if globErr != nil {
		return nil, nil, globErr
	}
	sort.Strings(codings)
	if len(codings) != 1 {
		return nil, nil, errors.Join(err, fmt.Errorf("%s: %d codings; expected one *.csv", dir, len(codings)))
	}
	data, readErr := input.ReadFile(codings[0], codingLimit)
	if err = errors.Join(err, readErr); err != nil {
		return nil, nil, err
	}
	if t.Events, err = tape.ReadCSV(codings[0], bytes.NewReader(data)); err != nil {
		return nil, nil, err
	}
	return t, bodies, check(codings[0], t)
}

func readMeta(file string, data []byte) (*Tape, map[string]fighter.Body, error) {
	doc, _ := input.ParseYAML(file, data)
	root := doc.Root()
	root.Known("format", "id", "date", "coder", "rules", "invented", "kind", "usual", "end", "red", "blue")
	root.Word("format", BoutFormat)
	t := &Tape{Name: root.Text("id")}
	root.TextOr("date", "")
	root.TextOr("coder", "")
	root.WordOr("kind", "bout", "bout", "sparring")
	root.BoolOr("usual", true)
	t.Invented = root.BoolOr("invented", false)
	var err error
	if end := root.TextOr("end", ""); end != "" {
		if t.End, err = tape.ParseClock(end); err != nil {
			root.Fault("end", err.Error(), "the clock at which the last coded round ended, as m:ss.s", "")
		}
	}
	if name := root.Word("rules", tape.RuleSetNames()...); name != "" {
		if t.Rules, err = tape.RuleSetNamed(name); err != nil {
			root.Fault("rules", err.Error(), "", "")
		}
	}
	bodies := map[string]fighter.Body{}
	for c, corner := range []string{"red", "blue"} {
		m := root.Map(corner)
		m.Known("id", "body")
		t.IDs[c] = m.Text("id")
		bodies[t.IDs[c]] = fighter.ReadBody(m.Map("body"))
	}
	if t.IDs[0] == t.IDs[1] && t.IDs[0] != "" {
		root.Fault("blue", fmt.Sprintf("both corners are %q", t.IDs[0]), "two different fighters", "")
	}
	return t, bodies, doc.Faults().Err()
}

// check holds a coding against its rule set. Row i stands in line i+2, after the header.
func check(file string, t *Tape) error {
	var faults input.Faults
	add := func(line int, what, want string) {
		faults.Add(input.Fault{File: file, Line: line, What: what, Want: want})
	}
	ranged := map[uint8]bool{}
	for i := range t.Events {
		e, line := &t.Events[i], i+2
		if int(e.Round) > t.Rules.Rounds {
			add(line, fmt.Sprintf("round %d", e.Round), fmt.Sprintf("1 to %d under %s", t.Rules.Rounds, t.Rules.Name))
		}
		if e.Clock > int64(t.Rules.RoundSeconds)*1e6 {
			add(line, "the clock "+tape.FormatClock(e.Clock)+" is past the bell", fmt.Sprintf("at most %d s", t.Rules.RoundSeconds))
		}
		if m := tape.MoveOf(e.Act, e.Value); !e.Act.IsState() && m != tape.NoMove && !t.Rules.Allowed[m] {
			add(line, fmt.Sprintf("%s is not allowed under %s", e.Act, t.Rules.Name), "")
		}
		if e.Act == tape.StateRange {
			ranged[e.Round] = true
		}
		if !e.Act.IsState() && !ranged[e.Round] {
			add(line, fmt.Sprintf("no range is coded before this row of round %d", e.Round), "a range row at 0:00.0, since rates are per second in a range")
			ranged[e.Round] = true
		}
	}
	if len(t.Events) == 0 {
		add(1, "the coding has no rows", "at least one round")
	}
	return faults.Err()
}

// WriteMeta writes the bout.yaml of a bout that is not a real one.
func WriteMeta(t *Tape, bodies map[string]fighter.Body) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "format: %s\nid: %s\nrules: %s\ncoder: engine\nkind: bout\nusual: true\ninvented: true\n", BoutFormat, input.Scalar(t.Name), t.Rules.Name)
	for c, corner := range []string{"red", "blue"} {
		body := bodies[t.IDs[c]]
		stance := "orthodox"
		if body.Southpaw {
			stance = "southpaw"
		}
		fmt.Fprintf(&b, "%s:\n  id: %s\n  body: {stature: %s, span: %s, leg: %s, weight: %s, stance: %s} # metres, kilograms\n", corner, input.Scalar(t.IDs[c]),
			input.Number(body.Stature), input.Number(body.Span), input.Number(body.Leg), input.Number(body.Weight), stance)
	}
	return []byte(b.String())
}

// WriteBout writes a folder that ReadBout reads.
func WriteBout(dir string, t *Tape, bodies map[string]fighter.Body) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	var b bytes.Buffer
	if err := tape.WriteCSV(&b, t.Events); err != nil {
		return err
	}
	return errors.Join(input.WriteFile(filepath.Join(dir, "bout.yaml"), WriteMeta(t, bodies)), input.WriteFile(filepath.Join(dir, "events.csv"), b.Bytes()))
}
