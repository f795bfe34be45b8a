package input

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
)

// WriteFile writes data so that after a crash the path holds the old file or the new one, whole: a temporary file in the
// same folder, synced, then renamed. The file gets the mode of the one it replaces, or 0644. On an error the old file is
// untouched, with one exception: when only the sync of the folder fails, the new file is already in place. A path that
// is there and no regular file is refused.
func WriteFile(path string, data []byte) error {
	return WriteFiles(map[string][]byte{path: data})
}

// WriteStream is WriteFile for what write writes, buffered, so that a large file need not stand in memory. An error or a
// panic of write leaves the old file untouched and no temporary file behind.
func WriteStream(path string, write func(io.Writer) error) error {
	temp, err := stage(path, write)
	if err != nil {
		return err
	}
	return commit(map[string]string{path: temp})
}

// WriteFiles is WriteFile for several files by their paths: all are written and synced before the first is renamed, so
// that an error of writing leaves all the old files. Each file is whole at any moment, but a crash or an error between two
// renames, which follow the order of the paths, leaves some new and some old.
func WriteFiles(files map[string][]byte) error {
	temps := map[string]string{}
	for _, path := range slices.Sorted(maps.Keys(files)) {
		temp, err := stage(path, func(w io.Writer) error {
			_, err := w.Write(files[path])
			return err
		})
		if err != nil {
			return errors.Join(err, discard(temps))
		}
		temps[path] = temp
	}
	return commit(temps)
}

// stage writes a temporary file beside path; after an error or a panic none is left.
func stage(path string, write func(io.Writer) error) (temp string, err error) {
	mode := os.FileMode(0o644)
	if info, err := os.Lstat(path); err == nil {
		if !info.Mode().IsRegular() {
			return "", fmt.Errorf("%s: not a regular file, so not replaced", path)
		}
		mode = info.Mode().Perm()
	}
	file, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return "", err
	}
	whole := false
	defer func() {
		if !whole {
			err = errors.Join(err, os.Remove(file.Name()))
		}
	}()
	err = fill(file, write, mode)
	whole = err == nil
	return file.Name(), err
}

// fill writes, syncs and closes; the file is closed in every case.
func fill(file *os.File, write func(io.Writer) error, mode os.FileMode) (err error) {
	defer func() { err = errors.Join(err, file.Close()) }()
	buffer := bufio.NewWriterSize(file, 1<<16)
	if err := write(buffer); err != nil {
		return err
	}
	if err := buffer.Flush(); err != nil {
		return err
	}
	if err := file.Chmod(mode); err != nil {
		return err
	}
	return file.Sync()
}

// commit puts the temporary files in the places of their paths; after an error those not yet renamed are removed.
func commit(temps map[string]string) error {
	folders := map[string]bool{}
	for _, path := range slices.Sorted(maps.Keys(temps)) {
		if err := os.Rename(temps[path], path); err != nil {
			return errors.Join(err, discard(temps))
		}
		delete(temps, path)
		folders[filepath.Dir(path)] = true
	}
	var err error
	for _, folder := range slices.Sorted(maps.Keys(folders)) {
		err = errors.Join(err, syncFolder(folder))
	}
	return err
}

func discard(temps map[string]string) (err error) {
	for _, temp := range temps {
		err = errors.Join(err, os.Remove(temp))
	}
	return err
}

func syncFolder(folder string) error {
	dir, err := os.Open(folder)
	if err != nil {
		return err
	}
	return errors.Join(dir.Sync(), dir.Close())
}
