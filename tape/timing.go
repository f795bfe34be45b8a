package tape

import (
	"fmt"
	"slices"

	"whatbout/internal/input"
)

// timing says how the clocks in a bout's codings are to be read. What is read counts up from the bell.
type timing struct {
	clock   string  // up, down, video, or "": up, unless the rows say otherwise
	numbers string  // seconds or days for plain numbers, or "": seconds, unless all are too small for that
	bells   []int64 // video time at which each round's bell rang, µs, of video
	length  int64   // of a round, µs
	sorted  bool    // rows must be in order already
}

const timeWant = "m:ss.s, such as 1:05.3, or seconds"

// readTiming reads what bout.yaml says of the codings' clocks; bout.yaml's own clocks are since the bell in any case.
func readTiming(m input.Map, b *Bout) timing {
	t := timing{clock: m.WordOr("clock", "", "up", "down", "video"), numbers: m.WordOr("numbers", "", "seconds", "days"), length: b.bell()}
	if b.RuleSet == nil && t.clock == "down" {
		t.clock = "up" // nothing is known to count down from, which is a fault already
	}
	if t.clock != "video" {
		if m.Has("bells") {
			m.Fault("bells", "bells without clock: video", "the times of the bells for clocks in video time only", "")
		}
		return t
	}
	for _, text := range m.Words("bells") {
		bell, ok := parseTime(text)
		switch {
		case !ok:
			m.Fault("bells", fmt.Sprintf("%.40q is no time", text), "the video time of each round's bell, such as [\"0:12\", \"6:20.5\"]", timeHint(text))
		case len(t.bells) > 0 && bell.us <= t.bells[len(t.bells)-1]:
			m.Fault("bells", fmt.Sprintf("the bell at %.40q is not after the one before", text), "the bells in order", "")
		}
		t.bells = append(t.bells, bell.us)
	}
	if m.Has("bells") && (len(t.bells) == 0 || len(t.bells) > b.rounds()) {
		m.Fault("bells", fmt.Sprintf("%d bells", len(t.bells)), fmt.Sprintf("one for each round, 1 to %d", b.rounds()), "")
	}
	return t
}

// stamp is when a row happened: as it was typed until settle has put µs since the bell into us.
type stamp struct {
	typed
	line  int
	round uint8 // 0: not given (video time only)
	bad   bool
}

// clocks are the stamps of one coding, in the order of its rows.
type clocks struct {
	timing
	file     string
	stamps   []stamp
	faults   *input.Faults
	warnings []string
}

func (c *clocks) fault(line int, what, want, hint string) {
	c.faults.Add(input.Fault{File: c.file, Line: line, What: what, Want: want, Hint: hint})
}

func (c *clocks) warn(line int, what, hint string) {
	c.warnings = append(c.warnings, input.Fault{File: c.file, Line: line, What: what, Hint: hint}.Error())
}

// settle turns all stamps into µs since the bell and gives the order of the rows by round and clock, equal clocks as they stand.
func (c *clocks) settle() (order []int) {
	c.units()
	for i := range c.stamps {
		if s := &c.stamps[i]; !s.bad {
			c.since(s)
		}
	}
	c.direction()
	for i := range c.stamps {
		if !c.stamps[i].bad {
			order = append(order, i)
		}
	}
	c.late(order)
	slices.SortStableFunc(order, func(i, j int) int {
		switch a, b := &c.stamps[i], &c.stamps[j]; {
		case a.before(b):
			return -1
		case b.before(a):
			return 1
		}
		return 0
	})
	return order
}

func (s *stamp) before(o *stamp) bool { return s.round < o.round || s.round == o.round && s.us < o.us }

// units settles what plain numbers are. Spreadsheets keep 1:05 as 0.000752, a part of a day, and such numbers are too small and
// too long to be seconds that somebody wrote; where bout.yaml says nothing and not all clocks are like that, a fault asks.
func (c *clocks) units() {
	if c.numbers == "" {
		c.numbers = c.guess()
	}
	for i := range c.stamps {
		s := &c.stamps[i]
		switch {
		case s.bad || !s.plain:
		case c.numbers == "days":
			s.us = days(s.number)
		case c.numbers == "" && s.tiny:
			s.bad = true
			c.fault(s.line, fmt.Sprintf("the clock %g may be seconds or a part of a day", s.number), timeWant,
				"give the column the format mm:ss.0, or write numbers: seconds or numbers: days in "+boutFile)
		}
	}
}

// guess gives days when every clock but zeros is a tiny number, and says so; else "".
func (c *clocks) guess() string {
	first, tiny, small, n := -1, true, true, 0
	for i := range c.stamps {
		s := &c.stamps[i]
		if s.bad || s.us == 0 && s.number == 0 {
			continue
		}
		if first < 0 {
			first = i
		}
		n++
		tiny, small = tiny && s.tiny, small && s.plain && s.number < 10
	}
	switch {
	case n == 0:
	case tiny:
		s := &c.stamps[first]
		c.warn(s.line, fmt.Sprintf("the clocks are read as parts of a day: %g is %s", s.number, FormatClock(days(s.number))),
			"write numbers: days or numbers: seconds in "+boutFile)
		return "days"
	case small && n > 1:
		c.warn(c.stamps[first].line, "the clocks are plain numbers under 10 and read as seconds",
			"write numbers: seconds in "+boutFile+" if they are; 1:05 needs a colon")
	}
	return ""
}

// since turns what the clock showed into time since the bell of the round.
func (c *clocks) since(s *stamp) {
	shown := s.us
	switch c.clock {
	case "down":
		if s.us = c.length - shown; s.us < 0 {
			s.bad = true
			c.fault(s.line, "the clock shows "+FormatClock(shown)+" and counts down", "at most "+FormatClock(c.length), "")
		}
	case "video":
		c.sinceBell(s)
	}
}

func (c *clocks) sinceBell(s *stamp) {
	if s.round == 0 { // the last bell before it
		for _, bell := range c.bells {
			if bell <= s.us {
				s.round++
			}
		}
	}
	switch i := int(s.round) - 1; {
	case len(c.bells) == 0:
		s.bad = true // bout.yaml has a fault
	case i < 0:
		s.bad = true
		c.fault(s.line, FormatClock(s.us)+" is before the first bell", "at least "+FormatClock(c.bells[0]), "")
	case i >= len(c.bells):
		s.bad = true
		c.fault(s.line, fmt.Sprintf("round %d has no bell", s.round), fmt.Sprintf("%d bells in %s", s.round, boutFile), "")
	case s.us < c.bells[i]:
		s.bad = true
		c.fault(s.line, fmt.Sprintf("%s is before the bell of round %d", FormatClock(s.us), s.round), "at least "+FormatClock(c.bells[i]), "")
	default:
		s.us -= c.bells[i]
	}
}

// direction asks when the clocks run against what is taken for granted. Against what bout.yaml says, late warns.
func (c *clocks) direction() {
	if c.clock != "" || c.sorted {
		return
	}
	ups, downs, first, moving := 0, 0, 0, 0
	last := &stamp{}
	for i := range c.stamps {
		s := &c.stamps[i]
		switch {
		case s.bad:
			continue
		case s.round == last.round && s.us > last.us:
			ups++
		case s.before(last) && s.round == last.round:
			if downs++; first == 0 {
				first = s.line
			}
		}
		if s.us > 0 && moving == 0 {
			moving = s.line
		}
		last = s
	}
	switch {
	case downs > ups:
		c.fault(first, "the clocks run backwards", "clocks since the bell, since "+boutFile+" does not say otherwise",
			"write clock: down in it, or clock: up if the rows are out of order")
	case ups == 0 && moving > 0:
		c.warn(moving, "the rows do not show whether the clock counts up or down; read as up", "write clock: up or clock: down in "+boutFile)
	}
}

// late tells of rows that stand too far down.
func (c *clocks) late(order []int) {
	n, first := 0, 0
	for at := 1; at < len(order); at++ {
		s := &c.stamps[order[at]]
		if !s.before(&c.stamps[order[at-1]]) {
			continue
		}
		if c.sorted {
			c.fault(s.line, lateRow, lateWant, "sort them")
		}
		if n++; n == 1 {
			first = s.line
		}
	}
	if n > 0 && !c.sorted {
		said := ""
		if c.clock != "" {
			said = ", as clock: " + c.clock + " has it"
		}
		c.warn(first, fmt.Sprintf("%s (%d of %d rows, this one first); sorted by round and clock%s", lateRow, n, len(order), said), "")
	}
}
