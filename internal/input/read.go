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
	refuse := func(what, want string) ([]byte, error) { return nil, Faults{{File: path, What: what, Want: want}} }
	info, err := os.Stat(path) // before Open, which would wait on a pipe
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return refuse("there is no such file", "")
	case err != nil:
		return refuse(cause(err), "a file that can be read")
	case info.IsDir():
		return refuse("it is a directory", "a file")
	case !info.Mode().IsRegular():
		return refuse("it is not a regular file", "a file")
	case info.Size() > limit:
		return refuse(fmt.Sprintf("the file has %d bytes", info.Size()), fmt.Sprintf("at most %d", limit))
	}
	file, err := os.Open(path)
	if err != nil {
		return refuse(cause(err), "a file that can be read")
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, limit+1)) // it may have grown since
	switch {
	case err != nil:
		return refuse(cause(err), "a file that can be read")
	case int64(len(data)) > limit:
		return refuse(fmt.Sprintf("the file has more than %d bytes", limit), fmt.Sprintf("at most %d", limit))
	}
	return data, nil
}

// cause leaves out the path, which the fault names already.
func cause(err error) string {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return p.Err.Error()
	}
	return err.Error()
}
