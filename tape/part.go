package tape

import (
	"errors"
	"path"
	"slices"
	"strings"

	"whatbout/internal/input"
)

// part is a file of a folder that holds a coding or a part of one.
type part struct {
	entry, coder string
	text         bool // CSV or TSV; else a workbook
	what         string
}

// What a part holds.
const (
	partFull      = "events"
	partSamples   = "samples"
	partExchanges = "exchanges"
	partCoarse    = "samples and exchanges" // a workbook with both
)

// partOf says what a file is by its name. Hidden files and the locks that spreadsheets leave beside an open file (~$) are none.
func partOf(file, level string) (part, bool) {
	ending := path.Ext(file)
	p := part{entry: file, coder: strings.TrimSuffix(file, ending), what: partFull}
	switch strings.ToLower(ending) {
	case ".csv", ".tsv":
		p.text = true
	case ".xlsx":
		if level == levelExchanges {
			p.what = partCoarse
		}
	default:
		return p, false
	}
	for _, what := range []string{partSamples, partExchanges} {
		if coder, ok := strings.CutSuffix(p.coder, "."+what); ok && p.text {
			p.coder, p.what = coder, what
		}
	}
	return p, p.coder != "" && !strings.HasPrefix(file, ".") && !strings.HasPrefix(file, "~$")
}

// part reads a file into the codings and checks it against the bout as far as that could be read.
func (r *folder) part(c *Codings, bout *Bout, p part) {
	limit := int64(codingLimit)
	if !p.text {
		limit = bookLimit
	}
	o := opened{part: p, folder: r, bout: bout}
	data, ok := r.file(p.entry, limit)
	o.ok, o.book = ok, &book{file: r.name(p.entry), data: data}
	if p.what == partFull {
		o.full(c)
	} else {
		o.coarse(c.coarse(bout, p.coder))
	}
}

// opened is a part whose bytes are there, if ok.
type opened struct {
	part
	*folder
	bout *Bout
	book *book
	ok   bool
}

// from gives the rows: those of the text, or of the sheet with one of the names.
func (o *opened) from(anySheet bool, names ...string) source {
	if o.text {
		return textSource(o.book.file, o.book.data)
	}
	return o.book.source(anySheet, names...)
}

func (o *opened) full(c *Codings) {
	if slices.ContainsFunc(c.Full, func(other *Coding) bool { return other.Name == o.coder }) {
		o.fault(o.entry, "the coding "+input.Scalar(o.coder)+" stands twice", "one file for each", "")
	}
	if o.bout != nil && o.bout.Level != levelEvents {
		o.fault(o.entry, "a coding of every act at level: "+o.bout.Level, "<coder>.exchanges.csv or <coder>.samples.csv", "")
	}
	coding := &Coding{Bout: o.bout, Name: o.coder}
	c.Full = append(c.Full, coding)
	if o.ok {
		coding.Rows, coding.Warnings = readPart(o, o.from(true, o.coder, partFull), &eventKind)
		o.check(len(coding.Rows), func() error { return o.bout.Check(o.book.file, coding.Rows) })
	}
}

func (o *opened) coarse(c *Coarse) {
	if samples := o.what != partExchanges; samples {
		o.once(c.Samples != nil)
		c.Samples = []Sample{}
		if o.ok {
			rows, warnings := readPart(o, o.from(false, partSamples), &sampleKind)
			c.Samples, c.Warnings = rows, append(c.Warnings, warnings...)
			o.check(len(rows), func() error { return o.bout.CheckSamples(o.book.file, rows) })
		}
	}
	if exchanges := o.what != partSamples; exchanges {
		o.once(c.Exchanges != nil)
		c.Exchanges = []Exchange{}
		if o.ok {
			rows, warnings := readPart(o, o.from(false, partExchanges), &exchangeKind)
			c.Exchanges, c.Warnings = rows, append(c.Warnings, warnings...)
			o.check(len(rows), func() error { return o.bout.CheckExchanges(o.book.file, rows) })
		}
	}
}

func (o *opened) once(there bool) {
	if there {
		o.fault(o.entry, "the "+o.what+" of "+input.Scalar(o.coder)+" stand twice", "one file for each", "")
	}
}

// check holds rows against the bout if there is one; no rows are no fault where another fault has kept them away.
func (o *opened) check(rows int, check func() error) {
	if o.bout == nil || o.bout.RuleSet == nil || rows == 0 && len(o.faults) > 0 {
		return
	}
	if more, ok := errors.AsType[input.Faults](check()); ok {
		o.add(more)
	}
}

func readPart[T any](o *opened, from source, k *kind[T]) ([]T, []string) {
	rows, warnings, faults := readTable(o.book.file, from, k, o.timing)
	o.add(faults)
	return rows, append(warnings, o.book.warnings...)
}

// coarse gives the coder's coarse coding, of which the parts may stand in two files.
func (c *Codings) coarse(bout *Bout, coder string) *Coarse {
	for _, one := range c.Coarse {
		if one.Name == coder {
			return one
		}
	}
	one := &Coarse{Bout: bout, Name: coder}
	c.Coarse = append(c.Coarse, one)
	return one
}
