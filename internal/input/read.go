package input

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// ReadFile reads a regular file of at most limit bytes. Its size is checked before a byte is read. The error, if any,
// is a Faults: the file is missing, a directory, not regular, too large or not readable.
func ReadFile(path string, limit int64) ([]byte, error) {
	return source{path, os.Stat, func(path string) (fs.File, error) { return os.Open(path) }}.read(limit)
}

// ReadFS is ReadFile for a file in a file system, such as an embedded one; name is a slash-separated path as for fs.ValidPath.
func ReadFS(fsys fs.FS, name string, limit int64) ([]byte, error) {
	stat := func(name string) (fs.FileInfo, error) { return fs.Stat(fsys, name) }
	return source{name, stat, fsys.Open}.read(limit)
}

type source struct {
	path string
	stat func(path string) (fs.FileInfo, error)
	open func(path string) (fs.File, error)
}

func (s source) read(limit int64) ([]byte, error) {
	info, err := s.stat(s.path) // before open, which would wait on a pipe
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return s.refuse("there is no such file", "")
	case err != nil:
		return s.refuse(cause(err), "a file that can be read")
	case info.IsDir():
		return s.refuse("it is a directory", "a file")
	case !info.Mode().IsRegular():
		return s.refuse("it is not a regular file", "a file")
	case info.Size() > limit:
		return s.refuse(fmt.Sprintf("the file has %d bytes", info.Size()), fmt.Sprintf("at most %d", limit))
	}
	file, err := s.open(s.path)
	if err != nil {
		return s.refuse(cause(err), "a file that can be read")
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, limit+1)) // it may have grown since
	switch {
	case err != nil:
		return s.refuse(cause(err), "a file that can be read")
	case int64(len(data)) > limit:
		return s.refuse(fmt.Sprintf("the file has more than %d bytes", limit), fmt.Sprintf("at most %d", limit))
	}
	return data, nil
}

func (s source) refuse(what, want string) ([]byte, error) {
	return nil, Faults{{File: s.path, What: what, Want: want}}
}

// cause leaves out the path, which the fault names already.
func cause(err error) string {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return p.Err.Error()
	}
	return err.Error()
}
