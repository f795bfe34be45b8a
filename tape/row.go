package tape

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"whatbout/internal/input"
)

// Row is one row of a coding: what happened, and what the coder wished to add.
type Row struct {
	Event
	Note string
	Line int // in the file it was read from, from 1; 0 where it was not read. Not written
}

const (
	lateRow  = "the row is earlier than the one before"
	lateWant = "rows in the order of round and clock"
)

// before reports whether the row comes before another; equal clocks keep their order.
func (r *Row) before(o *Row) bool {
	return r.Round < o.Round || r.Round == o.Round && r.Clock < o.Clock
}

// keepable: encoding/csv takes the carriage return out of a line break, and control characters are refused in every file.
func keepable(note string) bool {
	return utf8.ValidString(note) && !strings.ContainsFunc(note, func(r rune) bool { return r < ' ' && r != '\t' && r != '\n' || r == 0x7f })
}

var rowColumns = []string{"round", "clock", "corner", "act", "value", "defence", "result", "how", "limb", "note"}

var eventKind = kind[Row]{columns: rowColumns, required: 4, read: (*cells).row,
	place: func(r *Row, round uint8, clock int64) { r.Round, r.Clock = round, clock }}

type cells struct {
	file   string
	line   int
	get    func(string) string
	faults *input.Faults
	bad    bool
}

func (p *cells) fault(what, want, hint string) {
	p.bad = true
	p.faults.Add(input.Fault{File: p.file, Line: p.line, What: what, Want: want, Hint: hint})
}

// row reads all cells but round and clock.
func (p *cells) row() (row Row) {
	row.Line, row.Note = p.line, p.note()
	row.Corner = cellWord[Corner](p, "corner", cornerNames[:], nil)
	row.Value = cellWord(p, "value", valueNames[:], valueAliases)
	row.Defence = cellWord(p, "defence", defenceNames[:], defenceAliases)
	row.Result = cellWord(p, "result", resultNames[:], resultAliases)
	row.How = cellWord[How](p, "how", howNames[:], nil)
	row.Limb = cellWord[Limb](p, "limb", limbNames[:], nil)
	p.act(&row.Event)
	return row
}

// note has line breaks as CSV keeps them.
func (p *cells) note() string { return strings.ReplaceAll(p.get("note"), "\r\n", "\n") }

func cellWord[T ~uint8](p *cells, column string, names []string, aliases map[string]T) T {
	v, ok := lookUp(p.get(column), names, aliases)
	if !ok {
		p.unknown(column, known(names, aliases))
	}
	return v
}

func (p *cells) unknown(column string, words []string) {
	p.fault(fmt.Sprintf("%s %.40q is not known", column, p.get(column)), "", input.DidYouMean(normal(p.get(column)), words))
}

// act reads the act last, because some words of the trade need the target or the limb to say which act they mean.
func (p *cells) act(e *Event) {
	switch cell := normal(p.get("act")); cell {
	case "":
		p.fault("the act is missing", "an act or a state of the codebook", "")
	case "roundhouse", "round_kick":
		p.which(e, roundhouses[e.Value], "value head, body, leg, inside, outside or calf")
		if e.Value == Leg { // a low kick goes to the leg anyhow
			e.Value = NoValue
		}
	case "hook":
		p.which(e, hooks[e.Limb], "limb lead or rear")
	default:
		if i := slices.Index(actNames[:], cell); i > 0 {
			e.Act = Act(i)
		} else if m, ok := actAliases[cell]; ok {
			p.mean(e, m)
		} else {
			p.unknown("act", known(actNames[:], actAliases))
		}
	}
}

func (p *cells) which(e *Event, a Act, want string) {
	if e.Act = a; a == NoAct {
		p.fault(fmt.Sprintf("which act %.40q is cannot be told", p.get("act")), want, "")
	}
}

// mean takes over what an alias says; a cell that says otherwise is a fault.
func (p *cells) mean(e *Event, m meaning) {
	e.Act = m.act
	if m.value != NoValue {
		if e.Value != NoValue && e.Value != m.value {
			p.fault(fmt.Sprintf("value %s for %.40q", e.Value, p.get("act")), m.value.String()+" or nothing", "")
		}
		e.Value = m.value
	}
	if m.limb != LimbUncoded {
		if e.Limb != LimbUncoded && e.Limb != m.limb {
			p.fault(fmt.Sprintf("limb %s for %.40q", e.Limb, p.get("act")), m.limb.String()+" or nothing", "")
		}
		e.Limb = m.limb
	}
}
