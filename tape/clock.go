package tape

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// FormatClock writes microseconds since the bell (0 or more) as m:ss.s, with as few decimals, at least one, as keep the value.
func FormatClock(us int64) string {
	s := fmt.Sprintf("%d:%02d.%06d", us/60e6, us/1e6%60, us%1e6)
	s = strings.TrimRight(s, "0")
	if strings.HasSuffix(s, ".") {
		s += "0"
	}
	return s
}

// ParseClock reads m:ss.s, with up to six decimals or none, as microseconds since the bell. Codings are read more kindly (see
// typed).
func ParseClock(s string) (int64, error) {
	minutes, rest, ok := strings.Cut(s, ":")
	whole, fraction, _ := strings.Cut(rest, ".")
	m, err := strconv.ParseUint(minutes, 10, 16)
	sec, err2 := strconv.ParseUint(whole, 10, 8)
	if !ok || err != nil || err2 != nil || len(whole) != 2 || sec > 59 || len(fraction) > 6 {
		return 0, fmt.Errorf("%q is no clock; expected m:ss.s since the bell, such as 1:05.3", s)
	}
	us, err := strconv.ParseUint((fraction + "000000")[:6], 10, 32)
	if err != nil {
		return 0, fmt.Errorf("%q is no clock; expected m:ss.s since the bell, such as 1:05.3", s)
	}
	return int64(m)*60e6 + int64(sec)*1e6 + int64(us), nil
}

// typed is a time as somebody or a spreadsheet wrote it.
type typed struct {
	us     int64   // µs, a plain number taken as seconds
	number float64 // as it stands, if plain
	plain  bool    // a number without colons
	tiny   bool    // plain, under an hour as a part of a day, with more decimals than a hand writes: perhaps such a part
}

// hour is an hour as a part of a day; no round is longer.
const hour = 1. / 24

// parseTime reads m:ss, h:mm:ss or seconds, with decimals after a point or a comma (ISO 8601 allows both): 1:05, 1:05.3, 65,3,
// 0:01:05.
func parseTime(cell string) (t typed, ok bool) {
	s := strings.TrimSpace(cell)
	if !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	parts := strings.Split(s, ":")
	if len(parts) == 1 {
		return parseNumber(s)
	}
	if len(parts) == 3 { // h:mm:ss is h*60+m minutes
		h, err := strconv.ParseUint(parts[0], 10, 8)
		m, err2 := strconv.ParseUint(parts[1], 10, 8)
		if err != nil || err2 != nil || len(parts[1]) != 2 || m > 59 {
			return t, false
		}
		parts = []string{strconv.FormatUint(h*60+m, 10), parts[2]}
	}
	us, err := ParseClock(strings.Join(parts, ":"))
	return typed{us: us}, err == nil
}

func parseNumber(s string) (typed, bool) {
	if strings.Trim(s, "0123456789.eE-") != "" { // neither NaN nor hexadecimal nor underscores
		return typed{}, false
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || x < 0 || x > 65535*60 {
		return typed{}, false
	}
	_, decimals, _ := strings.Cut(s, ".")
	return typed{us: int64(math.Round(x * 1e6)), number: x, plain: true,
		tiny: x > 0 && x < hour && (len(decimals) > 3 || strings.ContainsAny(s, "eE"))}, true
}

// days gives the time that a part of a day stands for, to the millisecond, which the digits of a spreadsheet bear.
func days(part float64) int64 { return int64(math.Round(part*86400e3)) * 1e3 }

// timeHint says what to do about a cell that parseTime refuses.
func timeHint(cell string) string {
	s := strings.ToLower(strings.TrimSpace(cell))
	_, seconds, _ := strings.Cut(s, ":")
	switch {
	case strings.HasSuffix(s, "am") || strings.HasSuffix(s, "pm"):
		return "it is a time of day: give the column the format mm:ss.0 or type the clocks as text"
	case strings.Count(s, ":") > 2:
		return "write frames as parts of a second"
	case len(seconds) == 1:
		return "write seconds with two digits, such as 1:05"
	}
	return ""
}
