package web

import (
	"cmp"
	"errors"
	"math"
	"strconv"
	"strings"

	"whatbout/study"
)

// Moved is a dial that is moved, in its own units.
type Moved struct {
	Dial   string
	Theirs bool // the opponent's
	At     float64
}

// Name is the dial with whose it is.
func (m Moved) Name() string {
	if m.Theirs {
		return "their." + m.Dial
	}
	return "own." + m.Dial
}

// String writes it for an address.
func (m Moved) String() string { return m.Name() + ":" + strconv.FormatFloat(m.At, 'f', -1, 64) }

func (m Moved) compare(o Moved) int { return cmp.Compare(m.Name(), o.Name()) }

// parseDial takes own.NAME and their.NAME apart.
func parseDial(name string) (dial string, theirs bool, err error) {
	if dial, theirs = strings.CutPrefix(name, "their."); theirs {
		return dial, true, nil
	}
	dial, own := strings.CutPrefix(name, "own.")
	if !own {
		return "", false, errors.New("it is not said whose: expected own. or their. before the dial")
	}
	return dial, false, nil
}

func parseMoved(word string) (m Moved, err error) {
	name, at, ok := strings.Cut(word, ":")
	if !ok {
		return m, errors.New("no value")
	}
	if m.Dial, m.Theirs, err = parseDial(name); err != nil {
		return m, err
	}
	m.At, err = strconv.ParseFloat(at, 64)
	if err != nil || math.IsNaN(m.At) || math.IsInf(m.At, 0) {
		return m, errors.New("the value is not a number")
	}
	if m.At = math.Round(m.At*1e4) / 1e4; m.At == 0 {
		m.At = 0 // no minus
	}
	return m, nil
}

// setting finds the dial and checks the value.
func (m Moved) setting() (study.Setting, error) { return study.ParseSetting(m.String()) }
