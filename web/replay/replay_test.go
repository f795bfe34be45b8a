package replay

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"html"
	"io"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/report"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

var stay = &tactics.Plan{Name: "stay", Adherence: tactics.UsualAdherence, Rules: []tactics.Rule{
	{Name: "no step back", At: tactics.Answer, Multiples: []tactics.Multiple{{What: "step_back", By: 0}}}}}

// bout is one of average fighters.
func bout(t testing.TB, plans ...*tactics.Plan) *report.Replay {
	t.Helper()
	return boutOf(t, 300, plans...)
}

// boutOf has rounds of so many seconds.
func boutOf(t testing.TB, seconds int, plans ...*tactics.Plan) *report.Replay {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	rules.RoundSeconds = seconds
	q := &study.One{Fighter: fighter.Population("stoat", fighter.AverageBody()), Opponent: fighter.Population("egret", fighter.AverageBody()), Rules: rules, Seed: 4, Draw: 2, Bout: 1}
	r, err := report.NewReplay(q, plans...)
	require.NoError(t, err)
	return r
}

// seen is what the tests read of the data.
type seen struct {
	Names [2]string
	Bouts []struct {
		Rows []seenRow
		Why  map[string]any
	}
	Parting *struct {
		Round, First int
		Clock        int64
	}
}

type seenRow struct {
	Round                                                int
	Clock                                                int64
	Corner, Act, Value, Defence, Result, How, Limb, Told string
}

func data(t testing.TB, r *report.Replay) (out seen, bytesOf int) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, r.JSON(&b))
	size := b.Len()
	require.NoError(t, json.Unmarshal(b.Bytes(), &out))
	return out, size
}

// Exact: the rows of the data are, cell by cell, those of the tape that whatbout bout --format tape writes of the same bout.
func TestRowsAreThoseOfTheTape(t *testing.T) {
	r := bout(t, nil, stay)
	got, size := data(t, r)
	require.Less(t, size, 3<<20)
	for i := range r.Bouts {
		var b bytes.Buffer
		require.NoError(t, tape.WriteCSV(&b, r.Bouts[i].Events))
		want, err := csv.NewReader(&b).ReadAll()
		require.NoError(t, err)
		require.Equal(t, []string{"round", "clock", "corner", "act", "value", "defence", "result", "how", "limb"}, want[0])
		rows := [][]string{want[0]}
		for _, row := range got.Bouts[i].Rows {
			rows = append(rows, []string{strconv.Itoa(row.Round), tape.FormatClock(row.Clock), row.Corner, row.Act, row.Value, row.Defence, row.Result, row.How, row.Limb})
		}
		require.Equal(t, want, rows)
	}
	require.NotEqual(t, got.Bouts[0].Rows, got.Bouts[1].Rows)
}

// The data says whether there are kicks, so that no ring is drawn for what is not allowed (exact: the rule sets).
func TestRingsFollowTheRules(t *testing.T) {
	for name, kicks := range map[string]bool{"mma-3x5": true, "kickboxing-3x3": true, "boxing-3x3": false} {
		r := bout(t, nil)
		rules, err := tape.RuleSetNamed(name)
		require.NoError(t, err)
		r.Rules = rules
		var b bytes.Buffer
		require.NoError(t, r.JSON(&b))
		require.Contains(t, b.String(), fmt.Sprintf(`"kicks":%t`, kicks), name)
	}
}

// Exact: up to where they part the two bouts are the same rows, and there they are not.
func TestTheTwoPartWhereTheRowsDo(t *testing.T) {
	got, _ := data(t, bout(t, nil, stay))
	first := got.Parting.First
	require.Equal(t, got.Bouts[0].Rows[:first], got.Bouts[1].Rows[:first])
	require.NotEqual(t, got.Bouts[0].Rows[first], got.Bouts[1].Rows[first])
	same, _ := data(t, bout(t, nil, nil))
	require.Nil(t, same.Parting)
}

// The file holds all it needs: no address but those of the notation of drawings, no event handler, no style in elements; its policy names its
// script and style by their hashes; the story stands there for readers without scripts.
func TestTheFileAsksForNothing(t *testing.T) {
	var b bytes.Buffer
	r := bout(t, nil, stay)
	require.NoError(t, File(&b, r))
	page := b.String()
	rest := strings.ReplaceAll(page, "http://www.w3.org/2000/svg", "")
	for _, no := range []string{"http:", "https:", "src=", " style=", "onclick", "onload", "import "} {
		require.NotContains(t, rest, no)
	}
	require.Contains(t, html.UnescapeString(page), hash(script()))
	require.Contains(t, page, ">"+script()+"</script>")
	for _, round := range r.Story(1).Rounds() {
		for _, line := range round.Lines {
			require.Contains(t, page, strings.NewReplacer("'", "&#39;").Replace(line.Told))
		}
	}
	require.Equal(t, 2, strings.Count(page, "</script>"))
}

// A handler answers under any path, with the policy on everything, and tells the reader what is wrong with a request.
func TestHandlerServesPageAndData(t *testing.T) {
	r := bout(t, stay)
	mux := http.NewServeMux()
	mux.Handle("/replay/", http.StripPrefix("/replay", Handler(func(q *http.Request) (*report.Replay, error) {
		if q.URL.Query().Get("bout") != "1" {
			return nil, errors.New("bout: expected 1")
		}
		return r, nil
	})))
	server := httptest.NewServer(mux)
	defer server.Close()
	get := func(path string) (int, string, string) {
		answer, err := http.Get(server.URL + path)
		require.NoError(t, err)
		defer answer.Body.Close()
		body, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		if answer.StatusCode != http.StatusNotFound {
			require.Equal(t, Policy, answer.Header.Get("Content-Security-Policy"))
		}
		return answer.StatusCode, answer.Header.Get("Content-Type"), string(body)
	}
	for path, kind := range map[string]string{"/replay/?bout=1": "text/html; charset=utf-8", "/replay/data.json?bout=1": "application/json", "/replay/replay.css": "text/css; charset=utf-8",
		"/replay/page.js": "text/javascript; charset=utf-8", "/replay/bout.js": "text/javascript; charset=utf-8", "/replay/floor.js": "text/javascript; charset=utf-8", "/replay/tape.js": "text/javascript; charset=utf-8"} {
		code, got, body := get(path)
		require.Equal(t, http.StatusOK, code, path)
		require.Equal(t, kind, got)
		require.NotEmpty(t, body)
	}
	code, _, body := get("/replay/?bout=7")
	require.Equal(t, http.StatusBadRequest, code)
	require.Equal(t, "bout: expected 1\n", body)
	code, _, _ = get("/replay/../replay.go")
	require.Equal(t, http.StatusNotFound, code)
}
