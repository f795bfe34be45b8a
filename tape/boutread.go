package tape

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"whatbout/internal/input"
)

func readDate(m input.Map) string {
	date := m.TextOr("date", "")
	if _, err := time.Parse(time.DateOnly, date); date != "" && err != nil {
		m.Fault("date", fmt.Sprintf("%.40q is no date", date), "a date such as 2026-03-14", "")
	}
	return date
}

// readFighter reads a corner: the fighter's id alone, or a map of id and body.
func readFighter(doc *input.Doc, corner string) Fighter {
	m := doc.Root()
	if !isMap(doc, corner) {
		return Fighter{ID: m.Word(corner)}
	}
	m = m.Map(corner)
	m.Known("id", "body")
	f := Fighter{ID: m.Word("id")}
	if m.Has("body") {
		f.Body = readBody(m.Map("body"))
	}
	return f
}

func isMap(doc *input.Doc, key string) bool {
	if tree := doc.Tree(); tree != nil {
		for _, entry := range tree.Keys {
			if entry.Key.Text == key {
				return entry.Value.Kind == input.KindMap
			}
		}
	}
	return false
}

// readBody holds a body to the ranges of a profile's.
func readBody(m input.Map) *Physique {
	m.Known("stature", "span", "leg", "weight", "stance")
	b := &Physique{Stature: m.Float("stature", 1.2, 2.4), Span: m.Float("span", 1.2, 2.6), Leg: m.Float("leg", .5, 1.5),
		Weight: m.Float("weight", 30, 250), Stance: Orthodox}
	if m.Word("stance", "orthodox", "southpaw") == "southpaw" {
		b.Stance = Southpaw
	}
	return b
}

func readLookedFor(m input.Map) Groups {
	if !m.Has("looked_for") {
		return AllGroups()
	}
	return groupsOf(m.Words("looked_for", groupNames[:]...))
}

func readCorners(m input.Map) (out [2]bool) {
	if !m.Has("corners") {
		return [2]bool{true, true}
	}
	for _, word := range m.Words("corners", "red", "blue") {
		out[cornerOf(word)] = true
	}
	return out
}

// cornerOf gives NoCorner for every word but red and blue.
func cornerOf(word string) Corner {
	switch word {
	case "red":
		return RedCorner
	case "blue":
		return BlueCorner
	}
	return NoCorner
}

// readRules finds the rule set; the faults it returns are those in the rule set's own file.
func (b *Bout) readRules(m input.Map, load loader) (other input.Faults) {
	var err error
	if m.Has("area") {
		area := readArea(m.Map("area"))
		b.Area = &area
	}
	switch b.Rules = m.Text("rules"); {
	case !m.Has("rules"):
		return nil
	case strings.HasSuffix(b.Rules, ".yaml") && (strings.ContainsAny(b.Rules, `/\`) || strings.HasPrefix(b.Rules, ".") || b.Rules == boutFile):
		err = fmt.Errorf("%.40q is no rule set in the bout's folder", b.Rules)
	case strings.HasSuffix(b.Rules, ".yaml") && load != nil:
		b.RuleSet, err = load(b.Rules)
	default:
		if b.RuleSet, err = RuleSetNamed(b.Rules); err != nil {
			m.Fault("rules", fmt.Sprintf("rule set %.40q is not known", b.Rules), "a built-in rule set or a .yaml file beside "+boutFile,
				input.DidYouMean(b.Rules, RuleSetNames()))
			return nil
		}
	}
	if err != nil {
		if faults, ok := errors.AsType[input.Faults](err); ok {
			return faults
		}
		m.Fault("rules", err.Error(), "a .yaml file beside "+boutFile, "")
		return nil
	}
	if b.Area != nil {
		b.RuleSet.Area = *b.Area
	}
	return nil
}

func (b *Bout) readTimes(m input.Map) {
	b.End = readClock(m, "end", 0, b.bell())
	b.Ended = Ended{Winner: NoCorner}
	if m.Has("ended") {
		b.Ended = b.readEnded(m.Map("ended"))
	}
	if !m.Has("coded") {
		return
	}
	before := Interval{To: -1}
	for _, item := range m.Maps("coded") {
		item.Known("round", "from", "to")
		i := Interval{uint8(item.Int("round", 1, b.rounds())), readClock(item, "from", 0, b.bell()), readClock(item, "to", b.bell(), b.bell())}
		if i.From >= i.To {
			item.Fault("to", "a stretch without length", "to after from", "")
		}
		if i.Round < before.Round || i.Round == before.Round && i.From <= before.To {
			item.Fault("from", "the stretch begins before the last one has ended", "stretches in order, none over another", "")
		}
		before = i
		b.Coded = append(b.Coded, i)
	}
}

func (b *Bout) rounds() int {
	if b.RuleSet == nil {
		return 255
	}
	return b.RuleSet.Rounds
}

func (b *Bout) readEnded(m input.Map) Ended {
	m.Known("how", "winner", "round", "clock")
	e := Ended{How: m.Word("how", Endings()...), Winner: cornerOf(m.WordOr("winner", "none", "red", "blue", "none")),
		Round: uint8(m.IntOr("round", 0, 1, b.rounds())), Clock: readClock(m, "clock", 0, b.bell())}
	if e.How != "" && hasWinner(e.How) != (e.Winner != NoCorner) {
		want := "nobody wins a " + e.How
		if hasWinner(e.How) {
			want = "red or blue"
		}
		m.Fault("winner", "the winner does not fit how it ended", want, "")
	}
	if m.Has("clock") && !m.Has("round") {
		m.Fault("clock", "a clock without a round", "both", "")
	}
	return e
}

// readClock reads m:ss.s up to a limit, µs; def for a key that is not there.
func readClock(m input.Map, key string, def, limit int64) int64 {
	if !m.Has(key) {
		return def
	}
	text := m.Text(key)
	us, err := ParseClock(text)
	switch {
	case err != nil:
		m.Fault(key, fmt.Sprintf("%.40q is no clock", text), "m:ss.s since the bell, such as 1:05.3", "")
	case us > limit:
		m.Fault(key, "the clock "+FormatClock(us)+" is past the bell", "at most "+FormatClock(limit), "")
	}
	return us
}
