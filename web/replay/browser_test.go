package replay

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"

	"whatbout/internal/look"
	"whatbout/report"
	"whatbout/tape"
)

// written is the file of a replay in a folder of the test.
func written(t testing.TB, r *report.Replay) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, File(&b, r))
	name := filepath.Join(t.TempDir(), "replay.html")
	require.NoError(t, os.WriteFile(name, b.Bytes(), 0o644))
	return "file://" + name
}

// opened is a tab with the page in it, ready.
func opened(t testing.TB, address string) *look.Tab {
	t.Helper()
	x := look.Open(t)
	visit(t, x, address)
	return x
}

func visit(t testing.TB, x *look.Tab, address string) {
	t.Helper()
	x.Do(chromedp.Navigate("about:blank"), chromedp.Navigate(address))
	require.True(t, look.Eval[bool](x, `new Promise(done => { const ask = n => globalThis.replay ? done(true) : n ? setTimeout(ask, 50, n - 1) : done(false); ask(100); })`), x.Problems())
}

func press(x *look.Tab, keys string, options ...chromedp.KeyOption) {
	x.Do(chromedp.KeyEvent(keys, options...))
}

// tabTo goes on with the tabulator until something that matches has the focus, and fails if nothing does.
func tabTo(t testing.TB, x *look.Tab, what string) {
	t.Helper()
	for range 40 {
		press(x, kb.Tab)
		if look.Eval[bool](x, `document.activeElement.matches('`+what+`')`) {
			return
		}
	}
	t.Fatalf("%s is never reached", what)
}

// marked is what is marked in a panel: the row and what is said of it.
type marked struct {
	Row  int
	Told string
}

// stands is where the two must be drawn at row i: m apart by the recorded places, or the clinch or the ground by the rows of range.
func stands(r *report.Replay, i int) (mode string, gap float64) {
	b := r.Bouts[0]
	e, zone := &b.Events[i], tape.Out
	for k := range b.Events { // the row's own states, of the same clock, stand after it
		x := &b.Events[k]
		if x.Round == e.Round && x.Act == tape.StateRange && (k <= i || x.Clock == e.Clock) {
			zone = x.Value
		}
	}
	switch zone {
	case tape.Clinch:
		return "In the clinch", 0
	case tape.Ground:
		return "On the ground", 0
	}
	at := b.Places[0].At
	for _, p := range b.Places {
		if p.Round == int(e.Round) && p.Clock <= e.Clock {
			at = p.At
		}
	}
	return "apart", math.Hypot(float64(at[0].X-at[1].X), float64(at[0].Y-at[1].Y)) / 1000
}

// under is what stands under the picture.
func under(x *look.Tab) (mode string, gap float64) {
	words := look.Eval[string](x, `document.getElementById('range-0').textContent`)
	if n, _ := fmt.Sscanf(words, "%f m apart", &gap); n == 1 {
		return "apart", gap
	}
	mode, _, _ = strings.Cut(words, ",")
	return strings.TrimSuffix(mode, "."), 0
}

func mark(x *look.Tab, panel int) marked {
	return look.Eval[marked](x, fmt.Sprintf(`({row: Number(document.querySelector('#tape-%[1]d [aria-current]').dataset.row), told: document.getElementById('told-%[1]d').textContent})`, panel))
}

// Exact: with the keyboard only, a whole round can be stepped through, and what is marked and said is the recorded tape, row by row, from
// bell to bell; and back again.
func TestStepsAreTheRecordedRows(t *testing.T) {
	r := bout(t, nil)
	recorded, _ := data(t, r)
	want := []marked{{0, "Round 1: the bell."}}
	for i, row := range recorded.Bouts[0].Rows {
		if row.Round == 2 {
			want = append(want, marked{i, "Round 2: the bell."})
			break
		}
		if row.Told != "" {
			want = append(want, marked{i, row.Told})
		}
	}
	require.Greater(t, len(want), 100)
	x := opened(t, written(t, r))
	tabTo(t, x, ".stage")
	got := []marked{mark(x, 0)}
	for _, next := range want[1:] {
		press(x, kb.ArrowRight)
		got = append(got, mark(x, 0))
		mode, gap := stands(r, next.Row)
		drawn, metres := under(x)
		require.Equal(t, mode, drawn, "row %d", next.Row)
		require.InDelta(t, gap, metres, .00501, "row %d", next.Row) // shown to the centimetre
	}
	require.Equal(t, want, got)
	for i := len(want) - 2; i > len(want)-12; i-- {
		press(x, kb.ArrowLeft)
		require.Equal(t, want[i], mark(x, 0))
	}
	require.Contains(t, look.Eval[string](x, `document.getElementById('said').textContent`), want[len(want)-11].Told, "what was stepped to is said")
	press(x, kb.Home)
	require.Equal(t, want[0], mark(x, 0))
	press(x, kb.ArrowRight, chromedp.KeyModifiers(kb.ModifierShift))
	require.Equal(t, want[len(want)-1], mark(x, 0))
	press(x, kb.End)
	require.Equal(t, r.Story(0).Ending(), mark(x, 0).Told)
	require.Empty(t, x.Problems())
}

// Stepping by a kind stops at rows of that kind only: here at every strike that landed clean.
func TestStepsByKind(t *testing.T) {
	r := bout(t, nil)
	recorded, _ := data(t, r)
	x := opened(t, written(t, r))
	look.Eval[any](x, `document.getElementById('by').value = 'clean', 0`)
	tabTo(t, x, ".stage")
	found := 0
	for i := range r.Bouts[0].Events {
		if e := &r.Bouts[0].Events[i]; e.Act.IsStrike() && e.Result.IsClean() && found < 30 {
			found++
			press(x, kb.ArrowRight)
			require.Equal(t, marked{i, recorded.Bouts[0].Rows[i].Told}, mark(x, 0))
		}
	}
	require.Equal(t, 30, found)
}

func now(x *look.Tab) float64 { return look.Eval[float64](x, `replay.time / 1e6`) }

// Nothing moves by itself (WCAG 2.2, 2.2.2: no more than five seconds); what is played can be paused, and four times the speed goes four times as
// far: 1.5 s of it are 6 s of the bout, with a second and a half allowed for the browser's clock and a busy machine's first picture.
func TestNothingMovesUnlessPlayed(t *testing.T) {
	x := opened(t, written(t, boutOf(t, 60, nil)))
	before := look.Eval[string](x, `document.getElementById('panels').innerHTML`)
	time.Sleep(5200 * time.Millisecond)
	require.Equal(t, before, look.Eval[string](x, `document.getElementById('panels').innerHTML`))
	tabTo(t, x, "#play")
	press(x, " ")
	require.Equal(t, "Pause", look.Eval[string](x, `document.getElementById('play').textContent`))
	time.Sleep(500 * time.Millisecond)
	press(x, " ")
	paused := now(x)
	require.Greater(t, paused, .2)
	time.Sleep(300 * time.Millisecond)
	require.Equal(t, paused, now(x))
	tabTo(t, x, ".stage")
	press(x, "++")
	require.Equal(t, "4", look.Eval[string](x, `document.getElementById('speed').value`))
	went := look.Eval[[]float64](x, `new Promise(done => { const then = performance.now(), from = replay.time; replay.play(); setTimeout(() => { replay.pause(); done([(replay.time - from) / 1e6, (performance.now() - then) / 1000]); }, 1500); })`)
	require.InDelta(t, 4*went[1], went[0], 1.5)
	require.Empty(t, x.Problems())
}

// watchPlay plays two seconds and gives, of the pictures shown in it, how many steps there were and how many steps had more than one picture.
const watchPlay = `new Promise(done => {
	const seen = new Map(), svg = document.getElementById('floor-0'), end = performance.now() + 2000;
	const note = () => {
		if (!seen.has(replay.step)) seen.set(replay.step, new Set());
		seen.get(replay.step).add(svg.innerHTML);
		if (performance.now() < end) requestAnimationFrame(note);
		else { replay.pause(); done([seen.size, [...seen.values()].filter(s => s.size > 1).length]); }
	};
	replay.play();
	requestAnimationFrame(note);
})`

// With reduced motion, playing goes from act to act: no picture changes between two steps. Without, steps glide.
func TestReducedMotionIsHonoured(t *testing.T) {
	x := opened(t, written(t, boutOf(t, 60, nil)))
	look.Eval[any](x, `document.getElementById('speed').value = '4', replay.goTime(20e6), 0`)
	glides := look.Eval[[]int](x, watchPlay)
	require.Greater(t, glides[1], 1)
	x.Prefers("prefers-reduced-motion", "reduce")
	still := look.Eval[[]int](x, watchPlay)
	require.Greater(t, still[0], 2)
	require.Zero(t, still[1])
}

// Two plans on the same luck, served under the strict policy: equal up to where they part, which is marked in both tapes and can be gone to;
// the page asks its server for nothing but its own files, and the address leads back to the moment.
func TestTwoPlansPartWhereTheyAreMarked(t *testing.T) {
	r := bout(t, nil, stay)
	recorded, _ := data(t, r)
	server := httptest.NewServer(http.StripPrefix("/replay", Handler(func(*http.Request) (*report.Replay, error) { return r, nil })))
	defer server.Close()
	x := opened(t, server.URL+"/replay/?bout=1")
	tabTo(t, x, "#part")
	press(x, kb.Enter)
	p := recorded.Parting
	require.Equal(t, float64(p.Clock)/1e6+float64((p.Round-1)*r.Rules.RoundSeconds), now(x))
	require.Equal(t, r.PartingText()[1], mark(x, 0).Told)
	require.Equal(t, r.PartingText()[2], mark(x, 1).Told)
	require.Equal(t, mark(x, 0).Row, mark(x, 1).Row)
	for panel := range 2 {
		require.Equal(t, fmt.Sprint(p.First), look.Eval[string](x, fmt.Sprintf(`document.querySelector('#tape-%d .parts').nextElementSibling.dataset.row`, panel)))
	}
	require.True(t, look.Eval[bool](x, `document.getElementById('parting').open`))
	x.Picture("replay-parting")
	tabTo(t, x, ".stage")
	for range 12 {
		press(x, kb.ArrowRight)
	}
	require.NotEqual(t, mark(x, 0), mark(x, 1))
	here := []marked{mark(x, 0), mark(x, 1)}
	time.Sleep(300 * time.Millisecond) // the address follows a moment later
	link := look.Eval[string](x, `location.href`)
	visit(t, x, link)
	require.Equal(t, here, []marked{mark(x, 0), mark(x, 1)})
	for _, asked := range x.Asked() {
		u, err := url.Parse(asked)
		require.NoError(t, err)
		require.True(t, strings.HasPrefix(asked, server.URL+"/replay/") || u.Scheme == "data" || asked == "about:blank", asked)
	}
	require.Empty(t, x.Problems())
}

// A clock that is none is refused in words; one that is leads to the last act at or before it, as --explain has it.
func TestGoesToAClock(t *testing.T) {
	r := boutOf(t, 60, nil)
	x := opened(t, written(t, r))
	x.Do(chromedp.Focus("#clock"))
	look.Eval[any](x, `document.getElementById('clock').select(), 0`)
	press(x, "7"+kb.Enter)
	require.Contains(t, look.Eval[string](x, `document.getElementById('fault').textContent`), "Not a clock")
	require.Equal(t, "true", look.Eval[string](x, `document.getElementById('clock').getAttribute('aria-invalid')`))
	look.Eval[any](x, `document.getElementById('round').value = '2', document.getElementById('clock').select(), 0`)
	press(x, "0:45.3"+kb.Enter)
	require.Empty(t, look.Eval[string](x, `document.getElementById('fault').textContent`))
	want := -1
	for i, row := range data1(t, r) {
		if row.Round == 2 && row.Clock/1e5 <= 453 && row.Told != "" {
			want = i
		}
	}
	require.Equal(t, want, mark(x, 0).Row)
}

func data1(t testing.TB, r *report.Replay) []seenRow {
	out, _ := data(t, r)
	return out.Bouts[0].Rows
}

// tooSmall lists what can be hit and is under 24 px a side (WCAG 2.2, 2.5.8); a box to tick counts with its label.
const tooSmall = `[...document.querySelectorAll('#player button, #player select, #player input, #player summary, .rows li[data-row]')].filter(e => e.offsetParent).map(e => [e, (e.type === 'checkbox' ? e.closest('label') : e).getBoundingClientRect()]).filter(([e, b]) => b.width < 24 || b.height < 24).map(([e, b]) => e.outerHTML.slice(0, 80) + ' ' + b.width + ' by ' + b.height)`

// Nothing is cut at 320 px or with text twice as large, targets are large enough, axe-core finds no serious fault in light and dark, and the file
// asks for nothing but itself. Short rounds, so that axe-core is done in time.
func TestThePageIsFitToUse(t *testing.T) {
	for _, one := range []struct {
		name string
		r    *report.Replay
	}{{"one", boutOf(t, 40, nil)}, {"two", boutOf(t, 40, nil, stay)}} {
		address := written(t, one.r)
		x := opened(t, address+"#2-0:31.0")
		for _, scheme := range []string{"light", "dark"} {
			x.Prefers("prefers-color-scheme", scheme)
			require.Empty(t, x.Serious(), "%s %s", one.name, scheme)
			x.Picture("replay-" + one.name + "-" + scheme)
		}
		require.Empty(t, look.Eval[[]string](x, tooSmall))
		x.Prefers("forced-colors", "active")
		x.Picture("replay-" + one.name + "-forced")
		x.Prefers("forced-colors", "none")
		look.Eval[any](x, `document.documentElement.style.fontSize = '200%', dispatchEvent(new Event('resize')), 0`)
		require.Empty(t, x.Cut(), "%s, text twice as large", one.name)
		x.Picture("replay-" + one.name + "-200")
		look.Eval[any](x, `document.documentElement.style.fontSize = '', 0`)
		x.Size(320, 800)
		require.Empty(t, x.Cut(), "%s, 320 px", one.name)
		require.Empty(t, look.Eval[[]string](x, tooSmall))
		x.Picture("replay-" + one.name + "-narrow")
		for _, asked := range x.Asked() {
			require.True(t, asked == "about:blank" || asked == "data:," || strings.HasPrefix(asked, address), asked)
		}
		require.Empty(t, x.Problems())
	}
}

// Without scripts the story is there in words, and where two plans part.
func TestWithoutScriptsTheStoryIsTold(t *testing.T) {
	r := bout(t, nil, stay)
	x := look.Open(t)
	x.Do(chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		_, err := cdp.Call(ctx, tab, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}), chromedp.Navigate(written(t, r)))
	words := look.Eval[string](x, `document.body.innerText`)
	require.Contains(t, words, r.Story(1).Rounds()[0].Lines[5].Told)
	require.Contains(t, words, r.PartingText()[0])
	require.NotContains(t, words, "What limbs reach")
}
