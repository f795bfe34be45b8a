package fighter

import (
	"fmt"
	"strings"

	"whatbout/internal/input"
)

// Closed says what was shifted after calibration so that simulated bouts of the tape come nearer to it. The zero value is nothing.
type Closed struct {
	Rates  map[Family]float64 // what was added to the logarithms of the fighter's rates and weights
	Shares map[Family]float64 // what was added to everybody's log-odds of success
	Whole  bool               // the offsets were not shrunk by their own error
}

// mostClosed is beyond any offset that a tape can ask for: a rate e^10 times as high.
const mostClosed = 10

// write gives the lines in the block made_from.
func (c *Closed) write() string {
	if len(c.Rates)+len(c.Shares) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString("  closed: # what was added, by family, to logarithms of rates and to log-odds of success, to bring simulated bouts to this tape\n")
	if c.Whole {
		b.WriteString("    whole: true # not shrunk by its own error\n")
	}
	for _, row := range []struct {
		name string
		by   map[Family]float64
	}{{"rates", c.Rates}, {"shares", c.Shares}} {
		var parts []string
		for f := range NumFamilies {
			if by, ok := row.by[f]; ok {
				parts = append(parts, fmt.Sprintf("%s: %s", f, input.Number(by)))
			}
		}
		if len(parts) > 0 {
			fmt.Fprintf(&b, "    %s: {%s}\n", row.name, strings.Join(parts, ", "))
		}
	}
	return b.String()
}

func readClosed(madeFrom input.Map) (out Closed) {
	if !madeFrom.Has("closed") {
		return out
	}
	m := madeFrom.Map("closed")
	m.Known("whole", "rates", "shares")
	out.Whole = m.BoolOr("whole", false)
	out.Rates, out.Shares = readOffsets(m, "rates"), readOffsets(m, "shares")
	return out
}

func readOffsets(m input.Map, key string) map[Family]float64 {
	if !m.Has(key) {
		return nil
	}
	row, out := m.Map(key), map[Family]float64{}
	row.Known(familyNames[:]...)
	for f := range NumFamilies {
		if row.Has(f.String()) {
			out[f] = row.Float(f.String(), -mostClosed, mostClosed)
		}
	}
	return out
}
