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
