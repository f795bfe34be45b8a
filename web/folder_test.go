package web

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
)

// Nothing outside of the folder is opened, by whatever name or link, and what lies inside is read by the readers of files.
func TestFilesComeFromTheFolderOnly(t *testing.T) {
	dir := place(t)
	outside := filepath.Join(t.TempDir(), "secret.yaml")
	secret := fighter.Population("secret", fighter.AverageBody())
	require.NoError(t, os.WriteFile(outside, fighter.WriteProfile(secret), 0o600))
	require.NoError(t, os.Symlink(outside, filepath.Join(dir, "link.yaml")))
	require.NoError(t, os.Symlink(filepath.Dir(outside), filepath.Join(dir, "linked")))
	require.NoError(t, os.Symlink("people/vole.yaml", filepath.Join(dir, "inside.yaml")))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "large.yaml"), []byte("format: whatbout.profile/1\n"), 0o600))
	require.NoError(t, os.Truncate(filepath.Join(dir, "large.yaml"), mostFile+1))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "bad.yaml"), []byte("format: whatbout.profile/1\nid: bad\nbody: {stature: 9}\n"), 0o600))
	_, h := open(t, dir, Options{})
	for name, want := range map[string]string{
		outside: "nothing of that name", "../" + filepath.Base(outside): "nothing of that name", "people/../../x.yaml": "nothing of that name",
		"link.yaml": "escapes", "linked/secret.yaml": "escapes", "people": "nothing of that name", "large.yaml": "at most 2097152",
		"bad.yaml": "bad.yaml:3:", "none.yaml": "there is no such file", "people/vole.yaml\x00": "nothing of that name", ".": "nothing of that name", "upload-0123456789abcdef": "nothing of that name",
	} {
		code, _, body := get(t, h.URL+"/desk?fighter="+url.QueryEscape(name))
		require.Equal(t, 422, code, name)
		require.Contains(t, body, want, name)
		require.NotContains(t, body, "secret\"", name)
	}
	code, _, body := get(t, h.URL+"/desk?fighter=people/vole.yaml&opponent=people/wren.yaml&rules=short.yaml&plan=press.yaml")
	require.Equal(t, 200, code, body)
	require.Contains(t, body, `"Vole"`)
	code, _, body = get(t, h.URL+"/desk?fighter=inside.yaml")
	require.Equal(t, 200, code, body)
	_, _, body = get(t, h.URL+"/choices")
	var c struct{ People, Plans []Choice }
	require.NoError(t, json.Unmarshal([]byte(body), &c))
	var keys []string
	for _, p := range append(c.People, c.Plans...) {
		keys = append(keys, p.Key)
	}
	require.Equal(t, []string{"mole", "newt", "bad.yaml", "large.yaml", "people/vole.yaml", "people/wren.yaml", "press", "press.yaml"}, keys)
}

// A file that changes is read again.
func TestAChangedFileIsReadAgain(t *testing.T) {
	dir := place(t)
	_, h := open(t, dir, Options{})
	_, _, body := get(t, h.URL+"/desk?plan=press.yaml")
	require.Contains(t, body, "no step back")
	file := filepath.Join(dir, "press.yaml")
	require.NoError(t, os.WriteFile(file, []byte(strings.ReplaceAll(press, "no step back", "not one step")), 0o600))
	require.NoError(t, os.Chtimes(file, time.Time{}, time.Now().Add(time.Hour)))
	_, _, body = get(t, h.URL+"/desk?plan=press.yaml")
	require.Contains(t, body, "not one step")
}

// A server without a folder has no files.
func TestWithoutAFolderThereAreNoFiles(t *testing.T) {
	_, err := New(Options{Shipped: shipped(t)}).ask(&State{Fighter: "people/vole.yaml", Rules: "mma-3x5"})
	require.ErrorContains(t, err, "nothing of that name")
}
