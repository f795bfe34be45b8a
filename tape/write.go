package tape

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"whatbout/internal/input"
)

func writeRows(w io.Writer, rows []Row) error {
	var table [][]string
	for i := range rows {
		r := &rows[i]
		table = append(table, []string{strconv.Itoa(int(r.Round)), FormatClock(r.Clock), r.Corner.String(), r.Act.String(), r.Value.String(),
			r.Defence.String(), r.Result.String(), r.How.String(), r.Limb.String(), r.Note})
	}
	return writeTable(w, rowColumns, table)
}

// writeTable leaves out the last column, which is that for notes, where no row has one.
func writeTable(w io.Writer, columns []string, table [][]string) error {
	width := len(columns) - 1
	if slices.ContainsFunc(table, func(row []string) bool { return row[width] != "" }) {
		width++
	}
	out := csv.NewWriter(w)
	if err := out.Write(columns[:width]); err != nil {
		return err
	}
	for _, row := range table {
		if err := out.Write(row[:width]); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// WriteRows writes a coding with its notes as RFC 4180; ReadBoutDir reads the same rows again.
func (c *Coding) WriteRows(w io.Writer) error { return writeRows(w, c.Rows) }

// Write gives the bout.yaml that is read as the same bout. Ids must be UTF-8 without NUL.
func (b *Bout) Write() []byte {
	var out strings.Builder
	line := func(key, value string) { fmt.Fprintf(&out, "%s: %s\n", key, value) }
	text := func(key, value string) {
		if value != "" {
			line(key, input.Scalar(value))
		}
	}
	line("format", BoutFormat)
	line("id", input.Scalar(b.ID))
	text("date", b.Date)
	text("coder", b.Coder)
	for c := range b.Fighters {
		out.WriteString(formatFighter(Corner(c), &b.Fighters[c]))
	}
	line("rules", input.Scalar(b.Rules))
	if b.Area != nil {
		line("area", formatArea(*b.Area))
	}
	line("level", b.Level)
	line("clock", "up") // what is written counts up from the bell, whatever was read
	line("looked_for", "["+strings.Join(b.LookedFor.Names(), ", ")+"]")
	line("corners", "["+strings.Join(b.cornerNames(), ", ")+"]")
	out.WriteString(b.formatCoded())
	line("usual", strconv.FormatBool(b.Usual))
	line("kind", b.Kind)
	out.WriteString(formatEnded(b.Ended))
	if b.End > 0 {
		line("end", input.Scalar(FormatClock(b.End)))
	}
	line("invented", strconv.FormatBool(b.Invented))
	return []byte(out.String())
}

func (b *Bout) cornerNames() (names []string) {
	for c, coded := range b.Corners {
		if coded {
			names = append(names, cornerNames[c])
		}
	}
	return names
}

func formatFighter(c Corner, f *Fighter) string {
	if f.Body == nil {
		return fmt.Sprintf("%s: %s\n", c, input.Scalar(f.ID))
	}
	return fmt.Sprintf("%s:\n  id: %s\n  body: {stature: %s, span: %s, leg: %s, weight: %s, stance: %s} # metres, kilograms\n", c,
		input.Scalar(f.ID), input.Number(f.Body.Stature), input.Number(f.Body.Span), input.Number(f.Body.Leg), input.Number(f.Body.Weight),
		f.Body.Stance)
}

func (b *Bout) formatCoded() string {
	if len(b.Coded) == 0 {
		return ""
	}
	out := "coded:\n"
	for _, i := range b.Coded {
		out += fmt.Sprintf("  - {round: %d, from: %q, to: %q}\n", i.Round, FormatClock(i.From), FormatClock(i.To))
	}
	return out
}

func formatEnded(e Ended) string {
	if e.How == "" {
		return ""
	}
	winner := e.Winner.String()
	if winner == "" {
		winner = "none"
	}
	out := fmt.Sprintf("ended: {how: %s, winner: %s", e.How, winner)
	if e.Round > 0 {
		out += fmt.Sprintf(", round: %d, clock: %q", e.Round, FormatClock(e.Clock))
	}
	return out + "}\n"
}

// WriteBout writes a folder that ReadBoutDirAll reads as the same bout and codings (and ReadBoutDir, at the level of events); the
// folder is made if it is not there. The codings are checked first, and nothing is written when there is a fault, a name twice, or
// a coding in the folder that is not among these. Every file is written whole or not at all, bout.yaml last.
func WriteBout(dir string, b *Bout, codings []*Coding, coarse ...*Coarse) error {
	files, err := b.files(&Codings{codings, coarse})
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	if err := stray(dir, files); err != nil {
		return err
	}
	for _, f := range files {
		if err := input.WriteFile(filepath.Join(dir, f.name), f.data); err != nil {
			return err
		}
	}
	return nil
}

// folderFiles are the files of a folder before they are written, and what speaks against that.
type folderFiles struct {
	files  []file
	faults []error
}

type file struct {
	name string
	data []byte
}

// add makes a file of a coding's table.
func (f *folderFiles) add(coder, what string, check func(file string) error, write func(io.Writer) error) {
	name := coder + what + ".csv"
	var text bytes.Buffer
	f.faults = append(f.faults, nameFault(coder, name, f.files), check(name), write(&text))
	f.files = append(f.files, file{name, text.Bytes()})
}

// files makes the contents of the folder and reads bout.yaml back, so that what is written can be read.
func (b *Bout) files(c *Codings) ([]file, error) {
	f := &folderFiles{faults: []error{b.levelFault(c)}}
	for _, one := range c.Full {
		if coarseName(one.Name) {
			f.faults = append(f.faults, fmt.Errorf("coding %q would be read as a coarse one", one.Name))
		}
		f.add(one.Name, "", func(name string) error { return b.Check(name, one.Rows) }, one.WriteRows)
	}
	for _, one := range c.Coarse {
		if one.Samples == nil && one.Exchanges == nil {
			f.faults = append(f.faults, fmt.Errorf("coding %q has neither samples nor exchanges", one.Name))
		}
		if one.Samples != nil {
			f.add(one.Name, "."+partSamples, func(name string) error { return b.CheckSamples(name, one.Samples) }, one.WriteSamples)
		}
		if one.Exchanges != nil {
			f.add(one.Name, "."+partExchanges, func(name string) error { return b.CheckExchanges(name, one.Exchanges) }, one.WriteExchanges)
		}
	}
	if strings.HasSuffix(b.Rules, ".yaml") {
		data := WriteRuleSet(b.RuleSet)
		_, err := ReadRuleSet(b.Rules, data)
		f.faults = append(f.faults, err)
		f.files = append(f.files, file{b.Rules, data})
	}
	data := b.Write()
	_, _, read := readBout(boutFile, data, func(string) (*RuleSet, error) { copied := *b.RuleSet; return &copied, nil })
	f.faults = append(f.faults, read.Err())
	return append(f.files, file{boutFile, data}), errors.Join(f.faults...)
}

// levelFault: what is written must be readable at its level.
func (b *Bout) levelFault(c *Codings) error {
	switch {
	case b.Level == levelExchanges && len(c.Full) > 0:
		return fmt.Errorf("tape: a bout at the level of exchanges with a coding of every act")
	case b.Level == levelExchanges && len(c.Coarse) == 0, b.Level != levelExchanges && len(c.Full) == 0:
		return fmt.Errorf("tape: a bout without codings is not written")
	}
	return nil
}

func nameFault(coder, name string, before []file) error {
	if coder == "" || strings.HasPrefix(coder, ".") || strings.HasPrefix(coder, "~$") || strings.ContainsAny(coder, "/\\\x00") {
		return fmt.Errorf("coding %q: expected the name of a file", coder)
	}
	if slices.ContainsFunc(before, func(f file) bool { return f.name == name }) {
		return fmt.Errorf("coding %q stands twice", coder)
	}
	return nil
}

// stray finds a coding that would be read with the bout though it is not written with it.
func stray(dir string, files []file) error {
	there, err := os.ReadDir(dir)
	for _, entry := range there {
		known := slices.ContainsFunc(files, func(f file) bool { return f.name == entry.Name() })
		if _, coding := partOf(entry.Name(), levelEvents); coding && !known {
			return fmt.Errorf("%s: the folder has this coding already; write to another folder", filepath.Join(dir, entry.Name()))
		}
	}
	return err
}
