package tape

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"whatbout/internal/input"
)

const (
	yamlLimit   = 1 << 20
	codingLimit = 64 << 20
)

// Coding is what one coder (or the simulator) wrote down of a bout.
type Coding struct {
	Bout *Bout
	Name string // of the file, without .csv
	Rows []Row  // in the order of round and clock
	// Warnings are what was settled in reading that somebody may have meant otherwise, each with file and line.
	Warnings []string
}

// Events gives the rows without their notes.
func (c *Coding) Events() []Event {
	out := make([]Event, len(c.Rows))
	for i := range c.Rows {
		out[i] = c.Rows[i].Event
	}
	return out
}

// ReadBoutDir reads a folder of coded tape: bout.yaml, every *.csv (a coding each, in the order of their names), and the rule
// set if bout.yaml names a file. The error lists all the faults of all the files (input.Faults), and then there is nothing else.
func ReadBoutDir(dir string) (*Bout, []*Coding, error) {
	r := folder{fsys: os.DirFS(filepath.Clean(dir)), dir: ".", name: func(file string) string { return filepath.Join(dir, file) }}
	return r.read()
}

// ReadBoutFS is ReadBoutDir in a file system, for instance an embedded one.
func ReadBoutFS(fsys fs.FS, dir string) (*Bout, []*Coding, error) {
	r := folder{fsys: fsys, dir: dir, name: func(file string) string { return path.Join(dir, file) }}
	return r.read()
}

type folder struct {
	fsys   fs.FS
	dir    string
	name   func(file string) string // as faults show it
	timing timing
	faults input.Faults
}

func (r *folder) fault(file, what, want string) {
	r.faults.Add(input.Fault{File: r.name(file), What: what, Want: want})
}

func (r *folder) read() (*Bout, []*Coding, error) {
	entries, err := fs.ReadDir(r.fsys, r.dir)
	if err != nil {
		r.fault("", cause(err), "a folder with "+boutFile+" and at least one *.csv")
		return nil, nil, r.faults.Err()
	}
	bout := r.bout()
	var codings []*Coding
	for _, entry := range entries {
		if name, ok := strings.CutSuffix(entry.Name(), ".csv"); ok && !strings.HasPrefix(name, ".") && name != "" {
			codings = append(codings, r.coding(bout, name))
		}
	}
	if len(codings) == 0 {
		r.fault("", "a folder without codings", "at least one *.csv")
	}
	if err := r.faults.Err(); err != nil {
		return nil, nil, err
	}
	return bout, codings, nil
}

func (r *folder) bout() *Bout {
	data, ok := r.file(boutFile, yamlLimit)
	if !ok {
		return nil
	}
	bout, t, faults := readBout(r.name(boutFile), data, r.rules)
	r.timing = t
	r.add(faults)
	return bout
}

func (r *folder) rules(name string) (*RuleSet, error) {
	data, ok := r.file(name, yamlLimit)
	if !ok {
		return nil, input.Faults{} // told already
	}
	return ReadRuleSet(r.name(name), data)
}

// coding checks the rows against the bout as far as that could be read.
func (r *folder) coding(bout *Bout, name string) *Coding {
	c := &Coding{Bout: bout, Name: name}
	file := name + ".csv"
	data, ok := r.file(file, codingLimit)
	if !ok {
		return c
	}
	rows, warnings, faults := readTable(r.name(file), textSource(r.name(file), data), &eventKind, r.timing)
	c.Rows, c.Warnings = rows, warnings
	r.add(faults)
	if bout == nil || bout.RuleSet == nil || len(rows) == 0 && len(r.faults) > 0 {
		return c
	}
	if more, ok := errors.AsType[input.Faults](bout.Check(r.name(file), rows)); ok {
		r.add(more)
	}
	return c
}

func (r *folder) add(faults input.Faults) {
	for _, f := range faults {
		r.faults.Add(f)
	}
}

// file reads a regular file of at most limit bytes; its size is looked at before a byte is read, and a pipe is not opened.
func (r *folder) file(name string, limit int64) ([]byte, bool) {
	full := path.Join(r.dir, name)
	info, err := fs.Stat(r.fsys, full)
	switch {
	case err != nil:
		r.fault(name, cause(err), "a file that can be read")
		return nil, false
	case !info.Mode().IsRegular():
		r.fault(name, "it is not a regular file", "a file")
		return nil, false
	case info.Size() > limit:
		r.fault(name, fmt.Sprintf("the file has %d bytes", info.Size()), fmt.Sprintf("at most %d", limit))
		return nil, false
	}
	data, err := r.load(full, limit)
	if err != nil {
		r.fault(name, cause(err), "a file that can be read")
	}
	return data, err == nil
}

// load stops at the limit, since the file may have grown.
func (r *folder) load(full string, limit int64) ([]byte, error) {
	f, err := r.fsys.Open(full)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err == nil && int64(len(data)) > limit {
		err = fmt.Errorf("the file has more than %d bytes", limit)
	}
	return data, err
}

// cause leaves out the path, which the fault names already.
func cause(err error) string {
	if errors.Is(err, fs.ErrNotExist) {
		return "it is not there"
	}
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return p.Err.Error()
	}
	return err.Error()
}
