package tape

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"

	"whatbout/internal/input"
)

// file reads a regular file of at most limit bytes; its size is looked at before a byte is read, and a pipe is not opened.
func (r *folder) file(name string, limit int64) ([]byte, bool) {
	full := path.Join(r.dir, name)
	info, err := fs.Stat(r.fsys, full)
	switch {
	case err != nil:
		r.fault(name, cause(err), "a file that can be read", "")
		return nil, false
	case !info.Mode().IsRegular():
		r.fault(name, "it is not a regular file", "a file", "")
		return nil, false
	case info.Size() > limit:
		r.fault(name, fmt.Sprintf("the file has %d bytes", info.Size()), fmt.Sprintf("at most %d", limit), "")
		return nil, false
	}
	data, err := r.load(full, limit)
	if err != nil {
		r.fault(name, cause(err), "a file that can be read", "")
	}
	r.seen[name] = input.SHA256(data)
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
