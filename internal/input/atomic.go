package input

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// WriteFile writes data so that after a crash the path holds the old file or the new one, whole: a temporary file in the
// same folder, synced, then renamed. The file gets the mode of the one it replaces, or 0644. On an error the old file is
// untouched, with one exception: when only the sync of the folder fails, the new file is already in place. A path that
// is there and no regular file is refused.
func WriteFile(path string, data []byte) error {
	mode := os.FileMode(0o644)
	if info, err := os.Lstat(path); err == nil {
		if !info.Mode().IsRegular() {
			return fmt.Errorf("%s: not a regular file, so not replaced", path)
		}
		mode = info.Mode().Perm()
	}
	folder := filepath.Dir(path)
	temp, err := os.CreateTemp(folder, "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	if err := fill(temp, data, mode); err != nil {
		return errors.Join(err, os.Remove(temp.Name()))
	}
	if err := os.Rename(temp.Name(), path); err != nil {
		return errors.Join(err, os.Remove(temp.Name()))
	}
	return syncFolder(folder)
}

// fill writes, syncs and closes; the file is closed in every case.
func fill(file *os.File, data []byte, mode os.FileMode) error {
	_, err := file.Write(data)
	if err == nil {
		err = file.Chmod(mode)
	}
	if err == nil {
		err = file.Sync()
	}
	return errors.Join(err, file.Close())
}

func syncFolder(folder string) error {
	dir, err := os.Open(folder)
	if err != nil {
		return err
	}
	return errors.Join(dir.Sync(), dir.Close())
}
