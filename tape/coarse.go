package tape

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"whatbout/internal/input"
)

// Uncoded is the count of what nobody counted.
const Uncoded = -1

// maxClean is the largest count of clean hits in an exchange.
const maxClean = 99

// Side says which of the two something holds for.
type Side uint8

// The sides.
const (
	SideUncoded Side = iota // the coder left the cell empty: unknown
	SideRed
	SideBlue
	SideNone
	SideBoth
	NumSides
)

var sideNames = [NumSides]string{"", "red", "blue", "none", "both"}

var sideAliases = map[string]Side{"neither": SideNone, "nobody": SideNone, "unknown": SideUncoded}

func (s Side) String() string { return sideNames[s] }

// Coarse is what one coder wrote down of a bout at the level of exchanges: about fifteen minutes of work a round. Samples tell
// where the fight was and for what share of the time; exchanges tell how often the two met, who led with what, how many hits
// landed clean and who gave ground. Neither tells what was tried and missed, what was done in between (steps, feints, hands), or
// what an act answered; see LEVELS.md.
type Coarse struct {
	Bout      *Bout
	Name      string     // of the coder's files, without .samples.csv and .exchanges.csv
	Samples   []Sample   // in the order of round and clock; nil: not coded
	Exchanges []Exchange // in the order of round and clock; nil: not coded; none: nobody attacked
	// Warnings are what was settled in reading that somebody may have meant otherwise, each with file and line.
	Warnings []string
}

// SamplePeriod is the time between two samples, µs: 5 s, so that a round of 5 minutes has 60. A coder may leave some out.
const SamplePeriod = 5_000_000

// Sample is how the pair stood at one moment. NoValue is unknown (not seen, or not looked for). It tells shares of time with an
// error that falls with the number of samples; it does not tell what happened between two samples, nor a visit to a range that was
// shorter than a period.
type Sample struct {
	Round  uint8
	Clock  int64  // µs since the bell
	Range  Value  // out, kicking, long, pocket, clinch, ground, or boxing for long or pocket: by the limbs of whoever reaches farther
	Centre Value  // who is nearer to the middle: Red, Blue or Even
	Fence  Value  // whose back has no room for a step: Red, Blue or None
	Note   string // what the coder wished to add
	Line   int    // in the file it was read from, from 1; 0 where it was not read. Not written
}

// Exchange is one meeting of the two on their feet, from its first attack until neither has attacked for ExchangeGap. It tells who
// led and with what, how many hits landed clean and who was moved; it does not tell how many attacks there were, how they were met,
// in which order the hits fell, nor how long it took.
type Exchange struct {
	Round    uint8
	Clock    int64  // of its first attack, µs since the bell
	Led      Corner // whose attack that was; NoCorner: unknown
	First    Act    // what that attack was: a strike or takedown; NoAct: unknown
	Clean    [2]int // clean hits or better by each corner, 0 to 99, or Uncoded
	Gave     Side   // who gave ground: went back by a step, of his own will or not
	Takedown Side   // who took the other down: red, blue or none
	Note     string
	Line     int // in the file it was read from, from 1; 0 where it was not read. Not written
}

var sampleKind = kind[Sample]{columns: []string{"round", "clock", "range", "centre", "fence", "note"}, required: 3, read: (*cells).sample,
	place: func(s *Sample, round uint8, clock int64) { s.Round, s.Clock = round, clock }}

var exchangeKind = kind[Exchange]{
	columns:  []string{"round", "clock", "led", "first", "clean_red", "clean_blue", "gave_ground", "takedown", "note"},
	required: 4, read: (*cells).exchange,
	place: func(e *Exchange, round uint8, clock int64) { e.Round, e.Clock = round, clock }}

func (p *cells) sample() Sample {
	return Sample{Line: p.line, Note: p.note(), Range: p.state("range"), Centre: p.state("centre"), Fence: p.state("fence")}
}

// state reads a value that may be unknown; whether it fits is checked later.
func (p *cells) state(column string) Value {
	if normal(p.get(column)) == "unknown" {
		return NoValue
	}
	return cellWord(p, column, valueNames[:], valueAliases)
}

func (p *cells) exchange() Exchange {
	e := Exchange{Line: p.line, Note: p.note(), First: p.first(), Clean: [2]int{p.count("clean_red"), p.count("clean_blue")},
		Led: NoCorner, Gave: cellWord(p, "gave_ground", sideNames[:], sideAliases), Takedown: cellWord(p, "takedown", sideNames[:], sideAliases)}
	if normal(p.get("led")) != "unknown" {
		e.Led = cellWord[Corner](p, "led", cornerNames[:], nil)
	}
	return e
}

// count reads how many; nothing is not zero.
func (p *cells) count(column string) int {
	cell := normal(p.get(column))
	if cell == "" || cell == "unknown" {
		return Uncoded
	}
	n, err := strconv.ParseUint(cell, 10, 8)
	if err != nil || n > maxClean {
		p.fault(fmt.Sprintf("%s %.40q", column, p.get(column)), fmt.Sprintf("a whole number from 0 to %d, or nothing where it is unknown", maxClean), "")
		return Uncoded
	}
	return int(n)
}

// first reads the act an exchange began with, in the vocabulary or a word of the trade.
func (p *cells) first() Act {
	switch cell := normal(p.get("first")); cell {
	case "", "unknown":
		return NoAct
	case "roundhouse", "round_kick":
		p.fault(fmt.Sprintf("which act %.40q is cannot be told", p.get("first")), "low_kick, body_kick or high_kick", "")
	case "hook":
		p.fault(fmt.Sprintf("which act %.40q is cannot be told", p.get("first")), "lead_hook or rear_hook", "")
	default:
		if i := slices.Index(actNames[:], cell); i > 0 {
			return Act(i)
		}
		if m, ok := actAliases[cell]; ok {
			return m.act
		}
		p.unknown("first", known(actNames[:], actAliases))
	}
	return NoAct
}

// WriteSamples writes the samples as RFC 4180; ReadBoutDirAll reads the same samples again.
func (c *Coarse) WriteSamples(w io.Writer) error {
	var table [][]string
	for i := range c.Samples {
		s := &c.Samples[i]
		table = append(table, []string{strconv.Itoa(int(s.Round)), FormatClock(s.Clock), s.Range.String(), s.Centre.String(), s.Fence.String(), s.Note})
	}
	return writeTable(w, sampleKind.columns, table)
}

// WriteExchanges writes the exchanges as RFC 4180; ReadBoutDirAll reads the same exchanges again.
func (c *Coarse) WriteExchanges(w io.Writer) error {
	var table [][]string
	for i := range c.Exchanges {
		e := &c.Exchanges[i]
		table = append(table, []string{strconv.Itoa(int(e.Round)), FormatClock(e.Clock), e.Led.String(), e.First.String(),
			formatCount(e.Clean[0]), formatCount(e.Clean[1]), e.Gave.String(), e.Takedown.String(), e.Note})
	}
	return writeTable(w, exchangeKind.columns, table)
}

func formatCount(n int) string {
	if n == Uncoded {
		return ""
	}
	return strconv.Itoa(n)
}

// CheckSamples holds samples against the bout as Check does rows. file only names the file in faults.
func (b *Bout) CheckSamples(file string, samples []Sample) error {
	c := b.checker(file)
	if len(samples) == 0 {
		c.faults.Add(input.Fault{File: file, What: "there are no samples", Want: "at least one"})
	}
	var last *Row
	ranged := false
	for i := range samples {
		s := &samples[i]
		ranged = ranged || s.Range != NoValue
		last = c.moment(&Row{Event: Event{Round: s.Round, Clock: s.Clock}, Note: s.Note, Line: s.Line}, i, last)
		for _, state := range []struct {
			act   Act
			value Value
		}{{StateRange, s.Range}, {StateCentre, s.Centre}, {StateFence, s.Fence}} {
			if want := state.act.values(); state.value != NoValue && !slices.Contains(want, state.value) {
				c.fault(last, fmt.Sprintf("%s %q", state.act, state.value), "nothing or "+list(want), "")
			}
		}
	}
	if len(samples) > 0 && !ranged && b.LookedFor[GroupRange] {
		first := &Row{Line: cmp.Or(samples[0].Line, 2)}
		c.fault(first, "the coding never states a range", "a range in at least one sample", "if nobody looked for it, leave range out of looked_for")
	}
	return c.faults.Err()
}

// CheckExchanges holds exchanges against the bout as Check does rows. file only names the file in faults.
func (b *Bout) CheckExchanges(file string, exchanges []Exchange) error {
	c := b.checker(file)
	var last *Row
	for i := range exchanges {
		e := &exchanges[i]
		last = c.moment(&Row{Event: Event{Round: e.Round, Clock: e.Clock}, Note: e.Note, Line: e.Line}, i, last)
		c.exchange(last, e)
	}
	return c.faults.Err()
}

func (c *checker) exchange(row *Row, e *Exchange) {
	if e.First != NoAct && !opens(e.First) {
		c.fault(row, e.First.String()+" as the first act of an exchange", "a strike on the feet or a takedown", "")
	} else if e.First != NoAct && !c.bout.RuleSet.allows(e.First) {
		c.fault(row, fmt.Sprintf("%s under %s", e.First, c.bout.RuleSet.Name), "an act that the rule set allows", "")
	}
	if e.Takedown == SideBoth {
		c.fault(row, "takedown both", "red, blue, none or nothing", "write two exchanges")
	}
	for corner, n := range e.Clean {
		if n < Uncoded || n > maxClean {
			c.fault(row, fmt.Sprintf("%d clean hits by %s", n, Corner(corner)), fmt.Sprintf("0 to %d", maxClean), "")
		}
	}
}

// moment checks when something was seen, once only.
func (c *checker) moment(r *Row, i int, last *Row) *Row {
	if r.Line == 0 {
		r.Line = i + 2 // after the header
	}
	switch {
	case last == nil:
	case r.before(last):
		c.fault(r, lateRow, lateWant, "sort them")
	case !last.before(r):
		c.fault(r, fmt.Sprintf("round %d at %s stands twice", r.Round, FormatClock(r.Clock)), "each moment once", "")
	}
	c.keeps(r)
	c.time(r)
	return r
}

// allows reports whether the rule set allows the act anywhere.
func (s *RuleSet) allows(a Act) bool {
	for m := range NumMoves {
		if m != NoMove && m.Act() == a && s.Allowed[m] {
			return true
		}
	}
	return false
}

// coarseName refuses the name of a full coding that would be read as a coarse one.
func coarseName(name string) bool {
	return strings.HasSuffix(name, "."+partSamples) || strings.HasSuffix(name, "."+partExchanges)
}
