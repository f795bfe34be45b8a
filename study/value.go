package study

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"whatbout/internal/input"
)

// Value is what counts to whoever chooses: a weighted sum of measures of a bout, more being better.
type Value struct {
	Text  string // as it was given
	Terms []Term
}

// Term is a measure with its weight.
type Term struct {
	Measure int // of [Measures]
	Times   float64
}

// short names of measures in a value.
var shortNames = map[string]string{"margin": "score_margin", "head_strikes": "head_strikes_absorbed", "knockdowns": "knockdowns_suffered"}

// ReadValue reads a sum of measures such as "win", "margin" or "win - 0.01*head_strikes_absorbed": names of [Measures], or margin for
// score_margin, each with a weight before or behind a star. The error says what stands where a measure was expected.
func ReadValue(text string) (*Value, error) {
	v := &Value{Text: strings.Join(strings.Fields(text), " ")}
	var faults []error
	for _, part := range signedParts(text) {
		term, err := readTerm(part)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		v.Terms = append(v.Terms, term)
	}
	if len(v.Terms) == 0 && len(faults) == 0 {
		faults = append(faults, errors.New("it is empty; expected a measure, such as win, margin or win - 0.01*head_strikes_absorbed"))
	}
	if err := errors.Join(faults...); err != nil {
		return nil, fmt.Errorf("what counts (%q): %w", text, err)
	}
	return v, nil
}

// signedParts cuts a sum before its signs. A sign right behind an e between digits belongs to a number.
func signedParts(text string) (parts []string) {
	text = strings.Join(strings.Fields(text), "")
	from := 0
	for i := 1; i < len(text); i++ {
		exponent := text[i-1] == 'e' && i > 1 && text[i-2] >= '0' && text[i-2] <= '9'
		if strings.ContainsRune("+-", rune(text[i])) && !exponent && !strings.ContainsRune("*+-", rune(text[i-1])) {
			parts = append(parts, text[from:i])
			from = i
		}
	}
	if text != "" {
		parts = append(parts, text[from:])
	}
	return parts
}

func readTerm(part string) (t Term, err error) {
	bare := strings.TrimLeft(part, "+-")
	t.Times = 1
	if strings.Count(part[:len(part)-len(bare)], "-")%2 == 1 {
		t.Times = -1
	}
	left, right, weighed := strings.Cut(bare, "*")
	name, weight := left, ""
	if weighed {
		name, weight = right, left
		if _, err := strconv.ParseFloat(right, 64); err == nil {
			name, weight = left, right
		}
		w, err := strconv.ParseFloat(weight, 64)
		if err != nil || !(w > -1e6 && w < 1e6) {
			return t, fmt.Errorf("%q is no weight; expected a number, as in 0.01*head_strikes_absorbed", weight)
		}
		t.Times *= w
	}
	if long, ok := shortNames[name]; ok {
		name = long
	}
	if t.Measure = MeasureNamed(name); t.Measure < 0 {
		return t, fmt.Errorf("there is no measure %q; %s", name, input.DidYouMean(name, MeasureNames()))
	}
	return t, nil
}

// MeasureNames lists the names of [Measures].
func MeasureNames() (names []string) {
	for _, m := range Measures {
		names = append(names, m.Name)
	}
	return names
}

// Of is the value of bout i.
func (v *Value) Of(of Values, i int) (sum float64) {
	for _, t := range v.Terms {
		sum += t.Times * of.At(i, t.Measure)
	}
	return sum
}

// Counts reports whether the value is of that measure alone, in its own unit.
func (v *Value) Counts(name string) bool {
	return len(v.Terms) == 1 && v.Terms[0].Times == 1 && Measures[v.Terms[0].Measure].Name == name
}

// orWin is bouts won where nothing was said.
func (v *Value) orWin() *Value {
	if v == nil {
		return &Value{Text: "win", Terms: []Term{{Measure: winMeasure, Times: 1}}}
	}
	return v
}
