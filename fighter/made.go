package fighter

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strings"

	"whatbout/internal/input"
)

// MadeFrom says from which tape a profile was made, and which of it counted how. The zero value stands for a profile without tape, or one of
// which that is not known.
type MadeFrom struct {
	Bouts    map[string]string // the fighter's bouts that counted: SHA-256 of their files (see tape.Files) by id
	All      bool              // bouts that are not as usual, and sparring, counted too
	HalfLife float64           // days after which a bout counts half; 0: age did not matter
	AsOf     string            // the day from which the ages were counted, 2006-01-02; "" where they did not matter
	Closed   Closed            // what was shifted afterwards
	Coder    string            // what one coder alone was taken to do wrong, as calibrate reads it; "" for nothing
}

// write gives the block of a profile's file; "" for the zero value.
func (m *MadeFrom) write() string {
	closed := m.Closed.write()
	if len(m.Bouts) == 0 && !m.All && m.HalfLife == 0 && m.Coder == "" && closed == "" {
		return ""
	}
	var b strings.Builder
	b.WriteString("made_from: # which tape, by the SHA-256 of each bout's files\n")
	if m.HalfLife > 0 {
		fmt.Fprintf(&b, "  half_life: %s # days: a bout counts half for every so many before as_of\n  as_of: %s\n", input.Number(m.HalfLife), m.AsOf)
	}
	if m.All {
		b.WriteString("  all: true # bouts that are not as usual, and sparring, too\n")
	}
	b.WriteString(closed)
	if m.Coder != "" {
		fmt.Fprintf(&b, "  coder: %s # errors of one coder alone, assumed\n", input.Scalar(m.Coder))
	}
	if len(m.Bouts) > 0 {
		b.WriteString("  bouts:\n")
	}
	for _, id := range slices.Sorted(maps.Keys(m.Bouts)) {
		fmt.Fprintf(&b, "    %s: %s\n", input.Scalar(id), input.Scalar(m.Bouts[id]))
	}
	return b.String()
}

func readMadeFrom(root input.Map) (out MadeFrom) {
	if !root.Has("made_from") {
		return out
	}
	m := root.Map("made_from")
	m.Known("half_life", "as_of", "all", "coder", "closed", "bouts")
	out.All = m.BoolOr("all", false)
	out.Closed = readClosed(m)
	out.Coder = m.TextOr("coder", "")
	if m.Has("half_life") || m.Has("as_of") {
		out.HalfLife, out.AsOf = m.Float("half_life", 1e-3, 1e9), m.Date("as_of").Format("2006-01-02")
	}
	if !m.Has("bouts") {
		return out
	}
	bouts := m.Map("bouts")
	out.Bouts = map[string]string{}
	for _, id := range bouts.Keys() {
		out.Bouts[id] = readSHA256(bouts, id)
	}
	return out
}

// readSHA256 reads a digest in hexadecimal.
func readSHA256(m input.Map, key string) string {
	text := m.Text(key)
	if raw, err := hex.DecodeString(text); m.Has(key) && (err != nil || len(raw) != sha256.Size) {
		m.Fault(key, fmt.Sprintf("%.80q is no SHA-256", text), "64 hexadecimal digits", "")
	}
	return text
}
