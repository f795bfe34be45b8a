package web

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/report"
	"whatbout/tactics"
	"whatbout/tape"
)

// press is a plan that changes much.
const press = `format: whatbout.plan/1
name: press
rules:
  - {name: no step back, at: initiate, never: [step_back]}
  - {name: punch, at: answer, multiple: {punches: 3}}
`

// place is a folder with profiles, a plan and a rule set of one short round, so that many bouts can be played.
func place(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	rules, err := tape.RuleSetFile("mma-3x5")
	require.NoError(t, err)
	words := strings.NewReplacer("mma-3x5", "short", "rounds: 3", "rounds: 1", "round_seconds: 300", "round_seconds: 60").Replace(string(rules))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "short.yaml"), []byte(words), 0o600))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "people"), 0o700))
	for _, id := range []string{"vole", "wren"} {
		p := fighter.Population(id, fighter.AverageBody())
		require.NoError(t, os.WriteFile(filepath.Join(dir, "people", id+".yaml"), fighter.WriteProfile(p), 0o600))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "press.yaml"), []byte(press), 0o600))
	return dir
}

// shipped is a pair of average fighters.
func shipped(t testing.TB) Shipped {
	plan, err := tactics.Read("press.yaml", []byte(press))
	require.NoError(t, err)
	return Shipped{Fighters: []*fighter.Profile{fighter.Population("mole", fighter.AverageBody()), fighter.Population("newt", fighter.AverageBody())},
		Inputs: []report.Input{{Name: "tape", SHA256: "0"}}, Plans: []*tactics.Plan{plan}, Note: "invented."}
}

// open starts a server over a folder; o says what is not usual.
func open(t testing.TB, dir string, o Options) (*Server, *httptest.Server) {
	t.Helper()
	root, err := os.OpenRoot(dir)
	require.NoError(t, err)
	t.Cleanup(func() { root.Close() })
	o.Shipped, o.Folder, o.Version = shipped(t), root, "test"
	s := New(o)
	h := httptest.NewServer(s.Handler())
	t.Cleanup(h.Close)
	return s, h
}

// get asks and reads the answer whole.
func get(t testing.TB, address string) (int, http.Header, string) {
	t.Helper()
	r, err := http.Get(address)
	require.NoError(t, err)
	defer r.Body.Close()
	var b strings.Builder
	_, err = bufio.NewReader(r.Body).WriteTo(&b)
	require.NoError(t, err)
	return r.StatusCode, r.Header, b.String()
}

// stream asks for an answer and hands on its events until see is content or the stream ends.
func stream(t testing.TB, address string, see func(event string, p *Picture) (more bool)) {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	ask, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	require.NoError(t, err)
	r, err := http.DefaultClient.Do(ask)
	require.NoError(t, err)
	defer r.Body.Close()
	require.Equal(t, http.StatusOK, r.StatusCode)
	lines, event := bufio.NewScanner(r.Body), ""
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		if word, ok := strings.CutPrefix(lines.Text(), "event: "); ok {
			event = word
		}
		if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
			var p Picture
			require.NoError(t, json.Unmarshal([]byte(data), &p), data)
			if !see(event, &p) {
				return
			}
		}
	}
}
