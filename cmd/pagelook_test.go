package cmd

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"whatbout/internal/look"
)

// pages are commands that write a page of the demo, by the page's name; its file is put behind them.
var pages = map[string][]string{
	"compare": {"compare", "--draws", "24", "--bouts", "4", "--report"},
	"choose":  {"choose", "--draws", "100", "--bouts", "2", "--report"},
	"next":    {"next", "--draws", "1500", "--bouts", "2", "--report"},
	"sweep":   {"sweep", "bites.hip", "--from", "0", "--to", "10", "--usual", "--rule", "feint-then-go", "--draws", "12", "--bouts", "3", "--report"},
	"tornado": {"tornado", "--figure", "bites.hip=0..10", "--figure", "chin", "--draws", "24", "--bouts", "2", "--report"},
	"credit":  {"credit", "--rule", "feint-then-go", "--draws", "24", "--bouts", "2", "--report"},
	"adjust":  {"adjust", "--draws", "20", "--bouts", "2", "--report"},
	"hangs":   {"hangs-on", "--draws", "1500", "--bouts", "2", "--report"},
	"audit":   {"audit", "demo/tape/badger-otter", "--report"},
	"sheet":   {"sheet", "--draws", "24", "--bouts", "4", "--out"},
}

// Every page works from a file with the network cut and asks for nothing else, runs no script, has no serious fault by axe-core (4.14.1), is cut
// nowhere at 320 CSS pixels (WCAG 2.2, 1.4.10) or with text twice as large (1.4.4), keeps its marks with forced colours, and prints on A4 and
// Letter without a chart cut in two.
func TestPagesInABrowser(t *testing.T) {
	x := look.Open(t)
	x.Offline()
	dir := t.TempDir()
	for name, args := range pages {
		t.Run(name, func(t *testing.T) {
			for i, a := range args {
				args[i] = strings.Replace(a, "demo/tape", "../demo/tape", 1)
			}
			file := filepath.Join(dir, name+".html")
			code, _, errs := run(t, append(args, file)...)
			require.Equal(t, ExitFine, code, errs)
			before := len(x.Asked())
			x.Do(chromedp.Navigate("file://" + file))
			require.Equal(t, []string{"file://" + file}, x.Asked()[before:])
			require.Zero(t, look.Eval[int](x, `document.scripts.length`))
			require.Empty(t, x.Problems())
			look.Eval[int](x, `document.querySelectorAll('details').forEach(d => d.open = true), 0`)
			screens(t, x, name)
			forced(t, x, name)
			printed(t, x, name)
		})
	}
}

// screens looks at a page wide and narrow, light and dark, and with large text.
func screens(t *testing.T, x *look.Tab, name string) {
	t.Helper()
	for _, scheme := range []string{"light", "dark"} {
		x.Prefers("prefers-color-scheme", scheme)
		for _, width := range []int64{1280, 320} {
			x.Size(width, 900)
			require.Empty(t, x.Cut(), "%s at %d", name, width)
			if (scheme == "dark") == (width == 320) {
				require.Empty(t, x.Serious(), "%s, %s, at %d", name, scheme, width)
			}
			x.Picture(fmt.Sprintf("%s-%s-%d", name, scheme, width))
		}
	}
	x.Size(1280, 900)
	look.Eval[int](x, `document.documentElement.style.fontSize = '200%', 0`)
	require.Empty(t, x.Cut(), "%s with large text", name)
	x.Picture(name + "-large")
	look.Eval[int](x, `document.documentElement.style.fontSize = '', 0`)
}

// forced looks at a page with the system's colours: words and marks take them.
func forced(t *testing.T, x *look.Tab, name string) {
	t.Helper()
	x.Prefers("forced-colors", "active")
	require.Empty(t, look.Eval[[]string](x, `(() => {
		const probe = document.createElement('p'); probe.style.color = 'CanvasText'; probe.style.backgroundColor = 'Canvas'; document.body.append(probe);
		const ink = getComputedStyle(probe).color, paper = getComputedStyle(probe).backgroundColor; probe.remove();
		const bad = [];
		if (ink === paper) bad.push('no contrast at all');
		for (const e of document.querySelectorAll('svg text, svg .full-plan, svg .full-usual, svg .full')) {
			const fill = getComputedStyle(e).fill;
			if (fill !== ink) bad.push((e.getAttribute('class') || e.tagName) + ' ' + fill);
		}
		return bad.slice(0, 5);
	})()`), name)
	x.Picture(name + "-forced")
	x.Prefers()
}

// printed lays a page out for paper: every chart fits on one page and may not be broken, and the sheet for the corner is one page.
func printed(t *testing.T, x *look.Tab, name string) {
	t.Helper()
	x.Paper(true)
	for _, paper := range []look.Sheet{look.A4, look.Letter} {
		const margins = 2 * 15 / 25.4 // in, left and right; page.css
		x.Size(int64(96*(paper.Width-margins)), 900)
		for _, f := range look.Eval[[]struct {
			ID     string
			Height float64
			Broken string
		}](x, `[...document.querySelectorAll('figure')].map(f => ({id: f.id, height: f.getBoundingClientRect().height, broken: getComputedStyle(f).breakInside}))`) {
			require.Less(t, f.Height, 96*(paper.Height-2*16/25.4), "%s: %s on %s", name, f.ID, paper.Name)
			require.Equal(t, "avoid", f.Broken, "%s: %s", name, f.ID)
		}
		_, n := x.PDF(name, paper)
		if name == "sheet" {
			require.Equal(t, 1, n, "%s on %s", name, paper.Name)
		} else {
			require.Greater(t, n, 1, "%s on %s", name, paper.Name)
		}
	}
	x.Paper(false)
}
