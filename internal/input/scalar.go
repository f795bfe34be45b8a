package input

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// The decimal forms of YAML 1.2.2, section 10.3.2 (core schema), without leading zeros, which people read as octal.
var (
	decimal = regexp.MustCompile(`^[-+]?(\.[0-9]+|(0|[1-9][0-9]*)(\.[0-9]*)?)([eE][-+]?[0-9]+)?$`)
	whole   = regexp.MustCompile(`^[-+]?(0|[1-9][0-9]*)$`)
)

const (
	boolWant = "true or false"
	dateWant = "a day such as 2024-05-31"
)

// read is the common part of the scalar readers: find the key, turn its node into a value, fall back on a default.
func read[T any](m Map, key, want string, def T, optional bool, parse func(string, *Node) (T, bool)) T {
	n := m.find(key)
	if n == nil {
		if !optional {
			m.need(key, want)
		}
		return def
	}
	if v, ok := parse(key, n); ok {
		return v
	}
	return def
}

// list is the common part of the readers of one value or a list of such; wrong ones are left out.
func list[T any](m Map, key, want string, parse func(string, *Node) (T, bool)) []T {
	n := m.need(key, want+", or a list of such")
	if n == nil {
		return nil
	}
	items := []*Node{n}
	if n.Kind == KindList {
		items = n.Items
	}
	var out []T
	for _, item := range items {
		if v, ok := parse(key, item); ok {
			out = append(out, v)
		}
	}
	return out
}

func (m Map) text(key string, n *Node) (string, bool) {
	if n.Kind != KindScalar {
		m.wrong(key, n, "text", "")
		return "", false
	}
	return n.Text, true
}

func (m Map) float(lo, hi float64) func(string, *Node) (float64, bool) {
	return func(key string, n *Node) (float64, bool) {
		v, err := strconv.ParseFloat(n.Text, 64)
		if n.Kind != KindScalar || n.Quoted || !decimal.MatchString(n.Text) || err != nil || v < lo || v > hi {
			m.wrong(key, n, floatWant(lo, hi, m.unit), numberHint(n))
			return 0, false
		}
		return v + 0, true // -0 becomes 0
	}
}

func (m Map) int(lo, hi int) func(string, *Node) (int, bool) {
	return func(key string, n *Node) (int, bool) {
		v, err := strconv.Atoi(n.Text)
		if n.Kind != KindScalar || n.Quoted || !whole.MatchString(n.Text) || err != nil || v < lo || v > hi {
			m.wrong(key, n, intWant(lo, hi, m.unit), numberHint(n))
			return 0, false
		}
		return v, true
	}
}

func (m Map) bool(key string, n *Node) (bool, bool) {
	if n.Kind != KindScalar || n.Quoted || (n.Text != "true" && n.Text != "false") {
		m.wrong(key, n, boolWant, "")
		return false, false
	}
	return n.Text == "true", true
}

func (m Map) word(allowed []string) func(string, *Node) (string, bool) {
	return func(key string, n *Node) (string, bool) {
		if n.Kind != KindScalar || n.Text == "" || (len(allowed) > 0 && !slices.Contains(allowed, n.Text)) {
			hint := ""
			if near := Nearest(n.Text, allowed); near != "" && n.Kind == KindScalar {
				hint = DidYouMean(n.Text, allowed)
			}
			m.wrong(key, n, wordWant(allowed), hint)
			return "", false
		}
		return n.Text, true
	}
}

func (m Map) date(key string, n *Node) (time.Time, bool) {
	day, err := time.Parse(time.DateOnly, n.Text)
	if n.Kind != KindScalar || err != nil {
		m.wrong(key, n, dateWant, "")
		return time.Time{}, false
	}
	return day, true
}

func floatWant(lo, hi float64, unit string) string { return "a number" + between(lo, hi, unit) }

func intWant(lo, hi int, unit string) string {
	from, to := float64(lo), float64(hi)
	if lo == math.MinInt {
		from = math.Inf(-1)
	}
	if hi == math.MaxInt {
		to = math.Inf(1)
	}
	return "a whole number" + between(from, to, unit)
}

func between(lo, hi float64, unit string) string {
	noLo, noHi := lo <= -math.MaxFloat64, hi >= math.MaxFloat64
	if unit != "" {
		unit = " " + unit
	}
	switch {
	case noLo && noHi && unit != "":
		return " in" + unit
	case noLo && noHi:
		return ""
	case noHi:
		return " of at least " + Number(lo) + unit
	case noLo:
		return " of at most " + Number(hi) + unit
	}
	return " from " + Number(lo) + " to " + Number(hi) + unit
}

func numberHint(n *Node) string {
	if n.Kind != KindScalar {
		return ""
	}
	bare := strings.ReplaceAll(n.Text, "_", "")
	switch {
	case n.Quoted && decimal.MatchString(n.Text):
		return "take away the quotes"
	case strings.Contains(n.Text, "_") && decimal.MatchString(bare):
		return "write it without underscores"
	case decimal.MatchString(strings.Replace(n.Text, ",", ".", 1)) && strings.Contains(n.Text, ","):
		return "write a point, not a comma"
	}
	return ""
}
