package study

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// String writes a setting as [ParseSetting] reads it, such as own.bites.hip:4 or their.rate.jab:6.5.
func (s Setting) String() string {
	whose := "own."
	if s.Whose == 1 {
		whose = "their."
	}
	return whose + s.Dial.Name + ":" + strconv.FormatFloat(s.At, 'f', -1, 64)
}

// ParseSetting reads whose dial it is, the dial and where it is put, in the dial's units. The error says what was expected, with the nearest dial.
func ParseSetting(word string) (s Setting, err error) {
	name, at, found := strings.Cut(word, ":")
	if !found {
		return s, fmt.Errorf("%q has no value; expected such as own.bites.hip:4", word)
	}
	dial, theirs := strings.CutPrefix(name, "their.")
	if theirs {
		s.Whose = 1
	} else if dial, found = strings.CutPrefix(name, "own."); !found {
		return s, fmt.Errorf("%q does not say whose; expected own. or their. before the dial", word)
	}
	if s.Dial, err = DialNamed(dial); err != nil {
		return s, err
	}
	if s.At, err = strconv.ParseFloat(at, 64); err != nil || math.IsNaN(s.At) || s.At < s.Dial.Low || s.At > s.Dial.High {
		return s, fmt.Errorf("%s at %.40q; expected %g to %g (%s)", name, at, s.Dial.Low, s.Dial.High, s.Dial.Unit)
	}
	if theirs && s.Dial.adherence {
		return s, errors.New("how well the opponent's plan is followed is not moved here")
	}
	return s, nil
}
