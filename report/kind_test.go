package report

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// Whatever a file of a result holds, it is shown or refused.
func FuzzRead(f *testing.F) {
	for _, seed := range []string{"", "{}", `{"schema":"whatbout.compare/1","plans":[{},{}]}`, `{"schema":"whatbout.sweep/1","points":[{},{}]}`,
		`{"schema":"whatbout.tornado/1","bars":[{"effect":{"mean":1}},{}]}`, `{"schema":"whatbout.hangs-on/1","parts":[{"share":{"value":1,"told":true}},{"share":{}}]}`,
		`{"schema":"whatbout.hangs-on/1","parts":[{"index":{}},{"index":{}}]}`, `{"schema":"whatbout.hangs-on/1","parts":[{"effect":{}},{"effect":{}}]}`,
		`{"schema":"whatbout.record/1","result":{"schema":"whatbout.record/1"}}`, `{"schema":"whatbout.compare/1","level":1e999}`} {
		f.Add([]byte(seed))
	}
	whole, err := filepath.Glob("testdata/*.json")
	require.NoError(f, err)
	for _, name := range whole {
		data, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		shown, err := Read("fuzzed.json", data)
		if err != nil {
			return
		}
		for _, write := range []func(io.Writer) error{shown.Text, shown.JSON, shown.CSV} {
			_ = write(io.Discard)
		}
	})
}

func TestChecklistHasEveryItemOnce(t *testing.T) {
	h := &Header{Again: "whatbout compare", Inputs: []Input{{"a.yaml", "00112233445566"}}}
	said := map[string]string{}
	for _, field := range ChecklistFields() {
		said[field] = "said of " + field
	}
	items := map[string]bool{}
	for _, r := range Checklist(h, said) {
		require.NotEmpty(t, r.Text, r.Item)
		require.Equal(t, r.Field != "", r.ByUser, r.Item)
		require.False(t, items[r.Item], r.Item)
		items[r.Item] = true
	}
	require.Len(t, items, 24, "STRESS-DES has 20 numbered items, of which 2.5 has five parts (from memory)")

	var b bytes.Buffer
	require.NoError(t, ChecklistText(&b, Checklist(h, nil)))
	require.Contains(t, b.String(), "1.1 Purpose of the model: MISSING; only you know it (field purpose)")
	for _, line := range bytes.Split(b.Bytes(), []byte("\n")) {
		require.LessOrEqual(t, len(line), 130)
	}
}
