package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"whatbout/study"
)

// Shown is a result that can be put into words, into one object and into rows.
type Shown interface {
	Text(io.Writer) error
	JSON(io.Writer) error
	CSV(io.Writer) error
}

// kinds of results that can be read back, by schema.
var kinds = map[string]func([]byte) (Shown, error){
	SchemaOfComparison: kind[Comparison],
	SchemaOfChoice:     kind[Choice],
	NextSchema:         kind[Next],
	CreditSchema:       kind[Credit],
	AdjustSchema:       kind[Adjust],
	SweepSchema:        kind[Sweep],
	TornadoSchema:      kind[Tornado],
	HangsOnSchema:      kind[HangsOn],
	RecordSchema:       kind[Record],
	AuditSchema:        kind[Audit],
}

// kind reads a result back and refuses one that lacks what its words need.
func kind[T any, P interface {
	*T
	Shown
	lacks() string
}](data []byte) (Shown, error) {
	p := P(new(T))
	in := json.NewDecoder(bytes.NewReader(data))
	in.DisallowUnknownFields()
	if err := in.Decode(p); err != nil {
		return nil, err
	}
	if what := p.lacks(); what != "" {
		return nil, errors.New(what)
	}
	return p, nil
}

// Read reads a result that was written as JSON, so that it can be shown again without playing anything. file only names it in errors.
func Read(file string, data []byte) (Shown, error) {
	var head struct {
		Schema string `json:"schema"`
	}
	if err := json.Unmarshal(data, &head); err != nil {
		return nil, fmt.Errorf("%s is not JSON (%w); expected a result written with --format json", file, err)
	}
	read, ok := kinds[head.Schema]
	if !ok {
		return nil, fmt.Errorf("%s has the schema %q; expected a result with one of %s", file, head.Schema, strings.Join(slices.Sorted(maps.Keys(kinds)), ", "))
	}
	shown, err := read(data)
	if err != nil {
		return nil, fmt.Errorf("%s is no whole %s: %w; write it again with this version", file, head.Schema, err)
	}
	return shown, nil
}

// Rounded gives a result as its JSON has it, six digits a number, so that its words are the same when it is read back.
func Rounded(s Shown) (Shown, error) {
	var out bytes.Buffer
	if err := s.JSON(&out); err != nil {
		return nil, err
	}
	return Read("the result", out.Bytes())
}

func (a *Audit) lacks() string {
	if len(a.Verdicts) == 0 || len(a.Totals) == 0 {
		return "it has no verdicts and totals"
	}
	return ""
}

func (c *Comparison) lacks() string {
	if len(c.Plans) < 2 {
		return "it has fewer than two plans"
	}
	for i, p := range c.Plans {
		for m := range study.Measures {
			name := study.Measures[m].Name
			if _, ok := p.Outcomes[name]; !ok {
				return fmt.Sprintf("plan %q has no outcome %s", p.Name, name)
			}
			if i > 0 && c.find(p.Name, name) == nil {
				return fmt.Sprintf("plan %q has no difference in %s", p.Name, name)
			}
		}
	}
	return ""
}

func (c *Choice) lacks() string {
	if len(c.Plans) < 2 {
		return "it has fewer than two plans"
	}
	prices := len(c.Plans[len(c.Plans)-1].Prices)
	for _, p := range c.Plans {
		if n := len(p.Prices); n > 0 && n != prices {
			return fmt.Sprintf("plan %q has %d prices of %d", p.Name, n, prices)
		}
	}
	for _, name := range append([]string{c.Leader}, c.AsGood...) {
		if c.find(name) == nil {
			return fmt.Sprintf("it has no plan %q", name)
		}
	}
	return ""
}

func (s *Sweep) lacks() string {
	if len(s.Points) < 2 {
		return "it has fewer than two points"
	}
	for _, c := range s.curves() {
		if len(c.Points) != len(s.Points) {
			return fmt.Sprintf("plan %q has not the points of the others", c.Plan)
		}
		for i, p := range c.Points {
			for _, m := range study.SweepMeasures {
				_, ok := p.Outcomes[m.Name]
				_, from := p.FromFirst[m.Name]
				if !ok || i > 0 && !from {
					return fmt.Sprintf("the point at %g has no %s", p.At, m.Name)
				}
			}
		}
	}
	for _, c := range s.Contrast {
		if len(c.Points) != len(s.Points) {
			return "its differences between plans do not go with its points"
		}
	}
	if n := len(s.Figure.RealBelieved); n > 0 && n != len(s.Points) {
		return "its price of believing does not go with its points"
	}
	return ""
}
