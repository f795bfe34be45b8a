package input

import (
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

func TestReadFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	pipe := filepath.Join(dir, "pipe")
	require.NoError(t, os.WriteFile(path, []byte("12345"), 0o600))
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	data, err := ReadFile(path, 5)
	require.NoError(t, err)
	require.Equal(t, "12345", string(data))
	for _, c := range []struct{ path, want string }{
		{path, "the file has 5 bytes; expected at most 4"}, {dir, "it is a directory"}, {pipe, "not a regular file"},
		{filepath.Join(dir, "no"), "there is no such file"}, {filepath.Join(path, "x"), "not a directory"},
	} {
		_, err := ReadFile(c.path, 4)
		var faults Faults
		require.ErrorAs(t, err, &faults)
		require.ErrorContains(t, err, c.want)
	}
}

func TestReadFS(t *testing.T) {
	files := fstest.MapFS{"d/a": {Data: []byte("12345")}, "pipe": {Mode: fs.ModeNamedPipe}}
	data, err := ReadFS(files, "d/a", 5)
	require.NoError(t, err)
	require.Equal(t, "12345", string(data))
	for name, want := range map[string]string{
		"d/a": "d/a: the file has 5 bytes; expected at most 4", "d": "d: it is a directory", "pipe": "pipe: it is not a regular file",
		"no": "no: there is no such file", "../a": "../a: ",
	} {
		_, err := ReadFS(files, name, 4)
		var faults Faults
		require.ErrorAs(t, err, &faults)
		require.ErrorContains(t, err, want)
	}
}

// Devices may claim size 0 and never end.
func TestReadFileRefusesDevices(t *testing.T) {
	_, err := ReadFile(os.DevNull, 1<<20)
	require.ErrorContains(t, err, "it is not a regular file")
}

func TestWriteFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	require.NoError(t, WriteFile(path, []byte("old")))
	require.NoError(t, os.Chmod(path, 0o640))
	require.NoError(t, WriteFile(path, []byte("new")))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "new", string(data))
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o640), info.Mode())
	require.Error(t, WriteFile(dir, nil))
	require.Error(t, WriteFile(filepath.Join(dir, "no", "a"), nil))
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, left, 1, "no temporary file is left")
}

// A failed write leaves an error; the caller removes the temporary file.
func TestFillFails(t *testing.T) {
	file, err := os.Open(os.DevNull)
	require.NoError(t, err)
	write := func(w io.Writer) error { _, err := w.Write([]byte("x")); return err }
	require.Error(t, fill(file, write, 0o600), "opened for reading only")
}

// FIPS 180-2, appendix B.1: the digest of "abc".
func TestSHA256(t *testing.T) {
	require.Equal(t, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", SHA256([]byte("abc")))
}
