package keep

import (
	"bytes"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestKept(t *testing.T) {
	name := filepath.Join(t.TempDir(), "bouts")
	f, err := Open(name)
	require.NoError(t, err)
	_, ok := f.Get([32]byte{1})
	require.False(t, ok)
	var all sync.WaitGroup
	for i := range 100 {
		all.Go(func() {
			if err := f.Put([32]byte{byte(i)}, bytes.Repeat([]byte{byte(i)}, 100*i)); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	_, err = Open(name)
	require.ErrorContains(t, err, "open in another run")
	require.NoError(t, f.Close())

	f, err = Open(name)
	require.NoError(t, err)
	for i := range 100 {
		v, ok := f.Get([32]byte{byte(i)})
		require.True(t, ok)
		require.Equal(t, bytes.Repeat([]byte{byte(i)}, 100*i), append([]byte{}, v...))
	}
	require.NoError(t, f.Close())
}

// What was damaged on disk is missing, not wrong.
func TestDamagedIsMissing(t *testing.T) {
	name := filepath.Join(t.TempDir(), "bouts")
	f, err := Open(name)
	require.NoError(t, err)
	value := bytes.Repeat([]byte("feint and step"), 50)
	require.NoError(t, f.Put([32]byte{7}, value))
	require.NoError(t, f.Close())

	data, err := os.ReadFile(name)
	require.NoError(t, err)
	at := bytes.LastIndex(data, value)
	require.Positive(t, at)
	data[at+5] ^= 1
	require.NoError(t, os.WriteFile(name, data, 0o600))
	f, err = Open(name)
	require.NoError(t, err)
	_, ok := f.Get([32]byte{7})
	require.False(t, ok)
	require.NoError(t, f.Close())
}

func TestAnotherFileIsRefused(t *testing.T) {
	name := filepath.Join(t.TempDir(), "plan.yaml")
	require.NoError(t, os.WriteFile(name, bytes.Repeat([]byte("format: whatbout.plan/1\n"), 1000), 0o600))
	_, err := Open(name)
	require.ErrorContains(t, err, "is not a file of kept bouts")
	_, err = Open(filepath.Join(name, "inside"))
	require.ErrorContains(t, err, "cannot be opened")
}
