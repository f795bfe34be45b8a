package whatbout

import (
	"go/build"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Imports run one way: a folder may use only what stands before it here, so that a newcomer can read from the top. Forbidden on purpose:
// sim/kernel knows no word of fighting; calibrate and study do not know each other, since both stand on sim; nothing below cmd knows the
// demo. sim/batch knows bouts, but not what is asked of them.
var order = []string{"internal/input", "internal/infer", "internal/keep", "sim/kernel", "tape", "fighter", "tactics", "plans", "sim", "sim/batch", "calibrate", "study", "report/chart", "report", "demo", "web/replay", "web", "cmd"}

var never = map[string][]string{
	"sim/kernel": {"*"}, "internal/infer": {"*"}, "internal/input": {"*"}, "internal/keep": {"*"}, "report/chart": {"*"}, "sim/batch": {"fighter", "tactics", "tape"},
	"study": {"calibrate"}, "web": {"demo"},
}

func TestImportsRunOneWay(t *testing.T) {
	for at, folder := range order {
		p, err := build.ImportDir(folder, 0)
		require.NoError(t, err)
		for _, path := range p.Imports {
			name, ours := strings.CutPrefix(path, "whatbout/")
			if !ours {
				continue
			}
			i := slices.Index(order, name)
			require.True(t, i >= 0 && i < at, "%s imports %s", folder, name)
			require.False(t, slices.Contains(never[folder], "*") || slices.Contains(never[folder], name), "%s must not import %s", folder, name)
		}
	}
}
