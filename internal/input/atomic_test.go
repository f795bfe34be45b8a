package input

import (
	"bufio"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

const childVar = "INPUT_TEST_CHILD" // set for the test binary when a test starts it again, with the path to write

// oldFile gives the path of a file that holds "old", alone in its folder.
func oldFile(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "a")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o600))
	return path
}

func requireOld(t *testing.T, path string) {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "old", string(data))
}

func requireAlone(t *testing.T, path string) {
	left, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Len(t, left, 1, "a temporary file is left")
}

func TestWriteStream(t *testing.T) {
	path := oldFile(t)
	broken := errors.New("broken")
	require.ErrorIs(t, WriteStream(path, func(w io.Writer) error {
		_, err := io.WriteString(w, strings.Repeat("new", 1<<16)) // more than is buffered
		return errors.Join(err, broken)
	}), broken)
	requireOld(t, path)
	require.PanicsWithValue(t, "worn out", func() { WriteStream(path, func(io.Writer) error { panic("worn out") }) })
	requireOld(t, path)
	requireAlone(t, path)
	require.NoError(t, WriteStream(path, func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err }))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "new", string(data))
	requireAlone(t, path)
}

// All or none: the second path cannot be written (its folder is a file), so the first keeps its old content.
func TestWriteFiles(t *testing.T) {
	path := oldFile(t)
	require.Error(t, WriteFiles(map[string][]byte{path: []byte("new"), filepath.Join(path, "z"): []byte("new")}))
	requireOld(t, path)
	requireAlone(t, path)
	other := filepath.Join(filepath.Dir(path), "b")
	require.NoError(t, WriteFiles(map[string][]byte{path: []byte("1"), other: []byte("2")}))
	for file, want := range map[string]string{path: "1", other: "2"} {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		require.Equal(t, want, string(data))
	}
	require.NoError(t, WriteFiles(nil))
}

// When a rename fails, the temporary files of the paths after it are removed.
func TestCommitFails(t *testing.T) {
	path := oldFile(t)
	temp, err := stage(path+"z", func(io.Writer) error { return nil })
	require.NoError(t, err)
	require.Error(t, commit(map[string]string{path: path + "-gone", path + "z": temp}))
	requireOld(t, path)
	requireAlone(t, path)
}

// A folder that takes no new file: by its mode, or for root, whom modes do not stop, because a name is too long for it.
func TestUnwritableFolder(t *testing.T) {
	path := oldFile(t)
	target := path
	if os.Geteuid() == 0 {
		target = filepath.Join(filepath.Dir(path), strings.Repeat("n", 255))
	} else {
		require.NoError(t, os.Chmod(filepath.Dir(path), 0o500))
	}
	require.Error(t, WriteFile(target, []byte("new")))
	requireOld(t, path)
	requireAlone(t, path)
}

// A process killed in the middle of writing leaves the old file, and the next write goes through.
func TestKilledInTheMiddle(t *testing.T) {
	path := oldFile(t)
	child := exec.Command(os.Args[0], "-test.run=^TestChildHangs$")
	child.Env = append(os.Environ(), childVar+"="+path)
	out, err := child.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, child.Start())
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	require.Equal(t, "half\n", line)
	require.NoError(t, child.Process.Kill())
	require.Error(t, child.Wait(), "killed")
	requireOld(t, path)
	halves, err := filepath.Glob(filepath.Join(filepath.Dir(path), ".a.*"))
	require.NoError(t, err)
	require.Len(t, halves, 1, "the child had begun")
	require.NoError(t, WriteFile(path, []byte("new")))
}

// TestChildHangs is no test of its own: it is the process that TestKilledInTheMiddle kills.
func TestChildHangs(t *testing.T) {
	path := os.Getenv(childVar)
	if path == "" {
		t.Skip("only as a child of TestKilledInTheMiddle")
	}
	WriteStream(path, func(w io.Writer) error {
		io.WriteString(w, strings.Repeat("new", 1<<16)) // more than is buffered
		os.Stdout.WriteString("half\n")
		time.Sleep(time.Minute)
		return nil
	})
}

// A disk that is full, or here a limit on the size of files (EFBIG), leaves the old file.
func TestNoRoom(t *testing.T) {
	path := oldFile(t)
	child := exec.Command(os.Args[0], "-test.run=^TestChildHasNoRoom$")
	child.Env = append(os.Environ(), childVar+"="+path)
	out, err := child.CombinedOutput()
	require.NoError(t, err, string(out))
	require.Contains(t, string(out), "refused: "+syscall.EFBIG.Error())
	requireOld(t, path)
	requireAlone(t, path)
}

// TestChildHasNoRoom is no test of its own: its limit must not hold for the other tests.
func TestChildHasNoRoom(t *testing.T) {
	path := os.Getenv(childVar)
	if path == "" {
		t.Skip("only as a child of TestNoRoom")
	}
	var usual syscall.Rlimit
	require.NoError(t, syscall.Getrlimit(syscall.RLIMIT_FSIZE, &usual))
	require.NoError(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: 1 << 12, Max: usual.Max}))
	defer syscall.Setrlimit(syscall.RLIMIT_FSIZE, &usual) // coverage is written at the end
	var full syscall.Errno
	require.ErrorAs(t, WriteFile(path, make([]byte, 1<<20)), &full)
	os.Stdout.WriteString("refused: " + full.Error() + "\n")
}
