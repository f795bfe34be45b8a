package tape

import (
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"whatbout/internal/input"
)

const (
	yamlLimit   = 1 << 20
	codingLimit = 64 << 20
)

// The levels of coding.
const (
	levelEvents    = "events"
	levelExchanges = "exchanges"
)

// Coding is what one coder (or the simulator) wrote down of a bout.
type Coding struct {
	Bout *Bout
	Name string // of the file, without its ending
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

// Codings are all the codings of a bout.
type Codings struct {
	Full   []*Coding // of every act, in the order of their files' names
	Coarse []*Coarse // of exchanges and samples, in the order of their coders' names
}

// ReadBoutDir reads a folder of coded tape: bout.yaml, every full coding (*.csv, *.tsv or *.xlsx, in the order of their names),
// and the rule set if bout.yaml names a file. The error lists all the faults of all the files (input.Faults), and then there
// is nothing else. A bout that is coded by exchanges alone is a fault, since it has no full coding; see ReadBoutDirAll.
func ReadBoutDir(dir string) (*Bout, []*Coding, error) { return dirOf(dir).full() }

// ReadBoutFS is ReadBoutDir in a file system, for instance an embedded one.
func ReadBoutFS(fsys fs.FS, dir string) (*Bout, []*Coding, error) { return fsOf(fsys, dir).full() }

// ReadBoutDirAll is ReadBoutDir with the coarse codings: <coder>.samples.csv and <coder>.exchanges.csv (or .tsv), and where
// bout.yaml says level: exchanges, a workbook <coder>.xlsx with sheets of the names samples and exchanges. A bout at that level
// needs a coarse coding and has no full one; at the level of events it may have both.
func ReadBoutDirAll(dir string) (*Bout, *Codings, error) { return dirOf(dir).read() }

// ReadBoutFSAll is ReadBoutDirAll in a file system.
func ReadBoutFSAll(fsys fs.FS, dir string) (*Bout, *Codings, error) { return fsOf(fsys, dir).read() }

type folder struct {
	fsys   fs.FS
	dir    string
	name   func(file string) string // as faults show it
	timing timing
	faults input.Faults
	seen   map[string]string // SHA-256 by name of file
}

func dirOf(dir string) *folder {
	return &folder{seen: map[string]string{}, fsys: os.DirFS(filepath.Clean(dir)), dir: ".", name: func(file string) string { return filepath.Join(dir, file) }}
}

func fsOf(fsys fs.FS, dir string) *folder {
	return &folder{seen: map[string]string{}, fsys: fsys, dir: dir, name: func(file string) string { return path.Join(dir, file) }}
}

func (r *folder) fault(file, what, want, hint string) {
	r.faults.Add(input.Fault{File: r.name(file), What: what, Want: want, Hint: hint})
}

func (r *folder) full() (*Bout, []*Coding, error) {
	bout, codings, err := r.read()
	if err == nil && bout.Level != levelEvents {
		r.fault(boutFile, "the bout is coded by "+bout.Level, "a coding of every act (level: events)", "")
		err = r.faults.Err()
	}
	if err != nil {
		return nil, nil, err
	}
	return bout, codings.Full, nil
}

func (r *folder) read() (*Bout, *Codings, error) {
	entries, err := fs.ReadDir(r.fsys, r.dir)
	if err != nil {
		r.fault("", cause(err), "a folder with "+boutFile+" and at least one *.csv", "")
		return nil, nil, r.faults.Err()
	}
	bout := r.bout()
	level := levelEvents
	if bout != nil {
		level = bout.Level
	}
	codings := &Codings{}
	for _, entry := range entries {
		if p, ok := partOf(entry.Name(), level); ok {
			r.part(codings, bout, p)
		}
	}
	slices.SortFunc(codings.Coarse, func(a, b *Coarse) int { return strings.Compare(a.Name, b.Name) })
	r.enough(codings, level)
	if err := r.faults.Err(); err != nil {
		return nil, nil, err
	}
	bout.Files = Files{r.name(boutFile), r.timing.bells, r.hash()}
	return bout, codings, nil
}

// hash is that of [Files].
func (r *folder) hash() string {
	var lines strings.Builder
	for _, name := range slices.Sorted(maps.Keys(r.seen)) {
		lines.WriteString(name + "\t" + r.seen[name] + "\n")
	}
	return input.SHA256([]byte(lines.String()))
}

// enough: a folder has what its level promises.
func (r *folder) enough(c *Codings, level string) {
	switch {
	case level == levelEvents && len(c.Full) == 0 && len(c.Coarse) > 0:
		r.fault("", "a folder without full codings", "at least one *.csv of every act", "write level: exchanges in "+boutFile)
	case level == levelEvents && len(c.Full) == 0:
		r.fault("", "a folder without codings", "at least one *.csv, *.tsv or *.xlsx", "")
	case level == levelExchanges && len(c.Coarse) == 0:
		r.fault("", "a folder without coarse codings", "<coder>.exchanges.csv, <coder>.samples.csv or <coder>.xlsx", "")
	}
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

func (r *folder) add(faults input.Faults) {
	for _, f := range faults {
		r.faults.Add(f)
	}
}
