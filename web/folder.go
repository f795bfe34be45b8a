package web

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path"
	"strings"
	"sync"
	"time"

	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/tactics"
	"whatbout/tape"
)

// Bounds of what is looked for in the folder.
const (
	mostLooked = 2000    // entries
	mostDeep   = 4       // folders below
	mostFile   = 2 << 20 // bytes
	mostCached = 64      // files kept as read, of a kind
)

// folder is the one that the program was started in: nothing outside of it is ever opened, whatever a name or a symbolic link says.
type folder struct {
	fsys     fs.FS // nil: no files
	profiles cache[*fighter.Profile]
	plans    cache[*tactics.Plan]
	joints   cache[*fighter.Joint]
	rules    cache[*tape.RuleSet]
}

func newFolder(root *os.Root) *folder {
	f := &folder{}
	if root != nil {
		f.fsys = root.FS()
	}
	f.profiles.read, f.plans.read, f.joints.read, f.rules.read = fighter.ReadProfile, tactics.Read, fighter.ReadJoint, tape.ReadRuleSet
	return f
}

// cache keeps what was read of a file until the file changes.
type cache[T any] struct {
	read func(name string, data []byte) (T, error)
	mu   sync.Mutex
	kept map[string]cached[T]
}

type cached[T any] struct {
	value   T
	input   report.Input
	size    int64
	changed time.Time
}

// readFile reads a file of the folder, or takes it as it was read before.
func readFile[T any](s *Server, name string, c *cache[T]) (value T, in report.Input, err error) {
	fsys := s.folder.fsys
	if fsys == nil || !fs.ValidPath(name) || name == "." || !isYAML(name) {
		return value, in, input.Faults{{File: fmt.Sprintf("%.80q", name), What: "there is nothing of that name to choose",
			Want: "a fighter or plan that comes with the program, one that was uploaded since it was started, or a .yaml file in the folder it was started in"}}
	}
	info, err := fs.Stat(fsys, name)
	if err == nil && info.Mode().IsRegular() {
		if x, ok := c.get(name, info); ok {
			return x.value, x.input, nil
		}
	}
	data, err := input.ReadFS(fsys, name, mostFile)
	if err != nil {
		return value, in, err
	}
	in = report.Input{Name: name, SHA256: input.SHA256(data)}
	if value, err = c.read(name, data); err == nil {
		c.put(name, cached[T]{value, in, info.Size(), info.ModTime()})
	}
	return value, in, err
}

func (c *cache[T]) get(name string, info fs.FileInfo) (x cached[T], ok bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	x, ok = c.kept[name]
	return x, ok && x.size == info.Size() && x.changed.Equal(info.ModTime())
}

func (c *cache[T]) put(name string, x cached[T]) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.kept == nil || len(c.kept) >= mostCached {
		c.kept = map[string]cached[T]{}
	}
	c.kept[name] = x
}

func isYAML(name string) bool {
	return strings.HasSuffix(name, ".yaml") || strings.HasSuffix(name, ".yml")
}

// list names the files of the folder that say they are of a format, in the order of their names.
func (f *folder) list(format string) (names []string) {
	if f.fsys == nil {
		return nil
	}
	looked := 0
	_ = fs.WalkDir(f.fsys, ".", func(name string, e fs.DirEntry, err error) error { // what cannot be looked into is left out
		if looked++; looked > mostLooked {
			return fs.SkipAll
		}
		hidden := name != "." && strings.HasPrefix(path.Base(name), ".")
		switch {
		case err != nil && e != nil && e.IsDir(), e != nil && e.IsDir() && (hidden || strings.Count(name, "/") >= mostDeep):
			return fs.SkipDir
		case err != nil || hidden || !e.Type().IsRegular() || !isYAML(name):
			return nil
		}
		if f.begins(name, format) {
			names = append(names, name)
		}
		return nil
	})
	return names
}

// begins reports whether the first lines of a file name the format.
func (f *folder) begins(name, format string) bool {
	file, err := f.fsys.Open(name)
	if err != nil {
		return false
	}
	defer file.Close()
	head := make([]byte, 512)
	n, _ := file.Read(head)
	for line := range bytes.Lines(head[:n]) {
		if word, ok := bytes.CutPrefix(bytes.TrimSpace(line), []byte("format:")); ok {
			return strings.Trim(string(bytes.TrimSpace(word)), `"'`) == format
		}
	}
	return false
}

// joint reads the joint part that two profiles of the folder name together; nil if they do not.
func (s *Server) joint(f, o *thing[*fighter.Profile]) (joint *fighter.Joint, in []report.Input, note string, err error) {
	a, b := f.Value.JointFile, o.Value.JointFile
	switch {
	case f.From == fromProgram && o.From == fromProgram:
		return s.Shipped.Joint, nil, "", nil
	case f.From != fromFolder || o.From != fromFolder || a == "" || b == "":
		return nil, nil, "", nil
	}
	name, other := path.Join(path.Dir(f.Key), a), path.Join(path.Dir(o.Key), b)
	if name != other {
		return nil, nil, fmt.Sprintf("the profiles name two joint parts (%s, %s): what the skills of both share is not known, and they are drawn apart.", name, other), nil
	}
	joint, read, err := readFile(s, name, &s.folder.joints)
	if err == nil {
		_, err = fighter.JoinPair(f.Value, o.Value, joint)
	}
	return joint, []report.Input{read}, "", err
}
