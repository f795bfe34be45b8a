package web

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
)

func post(t *testing.T, address string, body io.Reader) (int, string) {
	t.Helper()
	r, err := http.Post(address, "application/yaml", body)
	require.NoError(t, err)
	defer r.Body.Close()
	data, err := io.ReadAll(r.Body)
	require.NoError(t, err)
	return r.StatusCode, string(data)
}

// Uploads go through the readers of files: faults say file, line, what and what was expected; what is good can be chosen.
func TestUploads(t *testing.T) {
	s, h := open(t, place(t), Options{})
	code, body := post(t, h.URL+"/upload?name=../../x.yaml", strings.NewReader("format: whatbout.profile/1\nid: stoat\nbody: {stature: 9, span: 1.8, leg: .9, weight: 70, stance: orthodox}\nfigure: {}\n"))
	require.Equal(t, 422, code)
	require.Contains(t, body, "x.yaml:3:17: ")
	require.Contains(t, body, "expected")
	require.Contains(t, body, `did you mean \"figures\"?`)
	require.NotContains(t, body, "..")
	code, body = post(t, h.URL+"/upload?name=mine.yaml", strings.NewReader(press))
	require.Equal(t, 200, code, body)
	var got struct{ Kind, Key, Name string }
	require.NoError(t, json.Unmarshal([]byte(body), &got))
	require.Equal(t, "plan", got.Kind)
	code, _, body = get(t, h.URL+"/desk?plan="+got.Key)
	require.Equal(t, 200, code, body)
	code, body = post(t, h.URL+"/upload", strings.NewReader("\x00\x01"))
	require.Equal(t, 422, code, body)
	code, body = post(t, h.URL+"/upload", io.LimitReader(zeros{}, 3<<20))
	require.Equal(t, 413, code, body)
	for i := range 2 * mostUploads {
		p := fighter.Population(fmt.Sprint("mole", i), fighter.AverageBody())
		code, body = post(t, h.URL+"/upload", strings.NewReader(string(fighter.WriteProfile(p))))
		require.Equal(t, 200, code, body)
	}
	require.Len(t, s.uploads.list(), mostUploads)
	code, _, body = get(t, h.URL+"/desk?plan="+got.Key)
	require.Equal(t, 422, code, "what made room is gone, and that is said")
	require.Contains(t, body, "uploaded since it was started")
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }
