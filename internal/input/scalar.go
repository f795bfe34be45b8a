package input

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// The decimal forms of YAML 1.2.2, section 10.3.2 (core schema), without leading zeros, which people read as octal.
var (
	decimal = regexp.MustCompile(`^[-+]?(\.[0-9]+|(0|[1-9][0-9]*)(\.[0-9]*)?)([eE][-+]?[0-9]+)?$`)
	whole   = regexp.MustCompile(`^[-+]?(0|[1-9][0-9]*)$`)
)

const boolWant = "true or false"

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
			m.wrong(key, n, floatWant(lo, hi), numberHint(n))
			return 0, false
		}
		return v + 0, true // -0 becomes 0
	}
}

func (m Map) int(lo, hi int) func(string, *Node) (int, bool) {
	return func(key string, n *Node) (int, bool) {
		v, err := strconv.Atoi(n.Text)
		if n.Kind != KindScalar || n.Quoted || !whole.MatchString(n.Text) || err != nil || v < lo || v > hi {
			m.wrong(key, n, intWant(lo, hi), numberHint(n))
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

func floatWant(lo, hi float64) string { return "a number" + between(lo, hi) }

func intWant(lo, hi int) string {
	from, to := float64(lo), float64(hi)
	if lo == math.MinInt {
		from = math.Inf(-1)
	}
	if hi == math.MaxInt {
		to = math.Inf(1)
	}
	return "a whole number" + between(from, to)
}

func between(lo, hi float64) string {
	noLo, noHi := lo <= -math.MaxFloat64, hi >= math.MaxFloat64
	switch {
	case noLo && noHi:
		return ""
	case noHi:
		return " of at least " + Number(lo)
	case noLo:
		return " of at most " + Number(hi)
	}
	return " from " + Number(lo) + " to " + Number(hi)
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

// plain is the text that needs no quotes anywhere in a YAML file, reserved words apart.
var plain = regexp.MustCompile(`^[A-Za-z]([A-Za-z0-9 _./-]*[A-Za-z0-9_./-])?$`)

var reserved = []string{"true", "false", "null", "yes", "no", "on", "off", "y", "n", "nan", "inf"}

// Scalar writes text as a YAML scalar on one line that ParseYAML reads back as the same text, in double quotes where it
// could be taken for something else. Bytes that are not UTF-8 become U+FFFD, as does NUL, which ParseYAML refuses.
func Scalar(s string) string {
	if plain.MatchString(s) && !slices.Contains(reserved, strings.ToLower(s)) {
		return s
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case r == 0:
			b.WriteRune(unicode.ReplacementChar)
		case unicode.IsPrint(r):
			b.WriteRune(r)
		case r > 0xffff:
			fmt.Fprintf(&b, `\U%08x`, r)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// Number writes a finite number in the fewest digits that Float reads back as the same number, without an exponent from
// 1e-6 up to 1e15. It panics on NaN and infinities.
func Number(f float64) string {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		panic("input: Number of a value that is not finite")
	}
	f += 0
	if a := math.Abs(f); a == 0 || a >= 1e-6 && a < 1e15 {
		return strconv.FormatFloat(f, 'f', -1, 64)
	}
	return strconv.FormatFloat(f, 'e', -1, 64)
}
