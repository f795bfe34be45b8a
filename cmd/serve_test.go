package cmd

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"

	"whatbout/internal/look"
	"whatbout/tactics"
	"whatbout/web"
)

// serving starts whatbout serve as a user does and gives the address that it prints; it ends as Ctrl-C ends it.
func serving(t *testing.T, flags ...string) string {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	out, in := io.Pipe()
	code := make(chan int, 1)
	go func() {
		code <- Run(ctx, append([]string{"serve"}, flags...), in, in)
		in.Close()
	}()
	lines := bufio.NewScanner(out)
	require.True(t, lines.Scan())
	words := strings.Fields(lines.Text())
	require.Greater(t, len(words), 1, lines.Text())
	go io.Copy(io.Discard, out)
	t.Cleanup(func() {
		stop()
		require.Equal(t, ExitFine, <-code)
	})
	return words[1]
}

// brief states play fast.
const brief = "&draws=16&bouts=4"

// visit goes to an address and waits until the last answer stands there.
func visit(x *look.Tab, address string) {
	x.Do(chromedp.Navigate(address))
	final(x)
}

// final waits until the last answer to the address stands there.
func final(x *look.Tab) {
	until(x, `document.querySelector('#status')?.textContent.includes('all that was asked for') && !document.body.classList.contains('stale')`)
}

// until waits for something to become true on the page.
func until(x *look.Tab, what string) {
	look.Eval[bool](x, fmt.Sprintf(`new Promise((yes, no) => {
		const began = performance.now();
		const again = () => (%s) ? yes(true) : performance.now() - began > 100000 ? no(new Error('waited too long for: ' + %q)) : setTimeout(again, 20);
		again();
	})`, what, what))
}

func says(x *look.Tab, selector string) string {
	return look.Eval[string](x, fmt.Sprintf(`document.querySelector(%q).textContent`, selector))
}

func press(x *look.Tab, keys ...string) {
	for _, k := range keys {
		x.Do(chromedp.KeyEvent(k))
	}
}

// tab goes on by the keyboard until the focus is on what matches.
func tab(t *testing.T, x *look.Tab, selector string) {
	t.Helper()
	for range 120 {
		if look.Eval[bool](x, fmt.Sprintf(`document.activeElement.matches(%q)`, selector)) {
			return
		}
		press(x, kb.Tab)
	}
	t.Fatalf("the keyboard does not get to %s", selector)
}

// The demo from start to answer with the mouse: a look, stop, a shorter run, a phrase ticked, a slider moved, undone and redone, pinned, exported,
// and the link opened anew. The page asks for nothing elsewhere and is never blank.
func TestServeByMouse(t *testing.T) {
	address := serving(t)
	x := look.Open(t)
	x.Do(chromedp.Navigate(address))
	until(x, `document.querySelector('#worth').textContent.includes('Bouts won')`)
	require.True(t, look.Eval[bool](x, `document.querySelector('#asks').open && location.search === '?plan=stay-close'`))
	require.Contains(t, says(x, "#sentence"), "stay close")
	x.Do(chromedp.Click("#stop"))
	require.Contains(t, says(x, "#status"), "Stopped")

	x.Do(chromedp.Navigate(address + "?plan=stay-close" + brief))
	final(x)
	look.Eval[any](x, `window.stale = 0; new MutationObserver(() => { if (document.body.classList.contains('stale')) window.stale++; }).observe(document.body, {attributes: true});
		window.blank = 0; new MutationObserver(() => { if (!document.querySelector('#sentence').textContent || !document.querySelector('#parts').children.length) window.blank++; })
		.observe(document.querySelector('main'), {subtree: true, childList: true, characterData: true}); 0`)
	x.Do(chromedp.Click("#phrases>summary"), chromedp.Click("#own-phrases-feint-then-go"))
	final(x)
	require.Contains(t, says(x, "#sentence"), "stay close + feint then go")
	require.Contains(t, look.Eval[string](x, `location.search`), "rule=feint-then-go")

	x.Do(chromedp.ScrollIntoView(`[data-dial="own.bites.hip"]`))
	left := look.Eval[[2]float64](x, `(() => { const b = document.querySelector('[data-dial="own.bites.hip"] input[type=range]').getBoundingClientRect(); return [b.left + b.width * .9, b.top + b.height / 2]; })()`)
	x.Do(chromedp.MouseClickXY(left[0], left[1]))
	until(x, `location.search.includes('set=own.bites.hip')`)
	final(x)
	require.Contains(t, says(x, "#prices"), "real attacks with the hip")
	moved := says(x, "#sentence")

	x.Do(chromedp.Click("#undo"))
	until(x, `!location.search.includes('set=')`)
	final(x)
	until(x, `!document.querySelector('[data-dial="own.bites.hip"]').classList.contains('moved')`)
	x.Do(chromedp.Click("#undo"))
	until(x, `!location.search.includes('rule=')`)
	until(x, `document.querySelector('#undo').disabled`)
	for range 2 {
		x.Do(chromedp.Click("#redo"))
		look.Eval[any](x, `new Promise(yes => setTimeout(yes, 100))`)
	}
	until(x, `location.search.includes('set=own.bites.hip')`)
	final(x)
	until(x, fmt.Sprintf(`document.querySelector('#sentence').textContent === %q`, moved))
	until(x, `document.querySelector('#redo').disabled`)

	x.Do(chromedp.Click("#pin"))
	until(x, `document.querySelector('#sentence').textContent.includes('pinned baseline itself')`)
	x.Do(chromedp.Click("#reset"))
	final(x)
	require.Contains(t, says(x, "#worth"), "against “pinned: stay close + feint then go”")
	require.Zero(t, look.Eval[int](x, `window.blank`), "the page was blank")
	require.Positive(t, look.Eval[int](x, `window.stale`), "what stood there from before was not marked")

	x.Do(chromedp.Click("#keep>summary"))
	plan := look.Eval[string](x, `fetch(document.querySelector('#plan-file').href).then(r => r.text())`)
	p, err := tactics.Read("plan.yaml", []byte(plan))
	require.NoError(t, err)
	require.Len(t, p.Rules, 8) // six of stay close, two of feint then go
	whole := look.Eval[string](x, `fetch(document.querySelector('#report').href).then(r => r.text())`)
	require.Contains(t, whole, "</html>")

	link, sentence := look.Eval[string](x, `location.href`), says(x, "#sentence")
	for _, asked := range x.Asked() {
		require.True(t, strings.HasPrefix(asked, address) || strings.HasPrefix(asked, "data:"), asked)
	}
	require.Empty(t, x.Problems())
	other := look.Open(t)
	visit(other, link)
	require.Equal(t, sentence, says(other, "#sentence"))
}

// The same with the keyboard alone: every control is reached by Tab and worked by keys, and the focus stays where it was when an answer comes.
func TestServeByKeyboard(t *testing.T) {
	address := serving(t)
	x := look.Open(t)
	visit(x, address+"?plan=stay-close"+brief)
	press(x, kb.Tab)
	require.Equal(t, "skip", look.Eval[string](x, `document.activeElement.className`))
	tab(t, x, "#asks>summary")
	press(x, kb.Enter)
	tab(t, x, "#fighter")
	tab(t, x, "#own>summary")
	press(x, " ")
	tab(t, x, "#own-rule-1")
	press(x, " ")
	final(x)
	require.Contains(t, says(x, "#sentence"), "stay close, 5 of its 6 rules")
	require.Equal(t, "own-rule-1", look.Eval[string](x, `document.activeElement.id`))
	tab(t, x, `[data-dial="own.bites.hip"] input[type=range]`)
	press(x, kb.Home)
	for range 5 {
		press(x, kb.ArrowRight)
	}
	until(x, `location.search.includes('set=own.bites.hip:0.5')`)
	final(x)
	require.Contains(t, look.Eval[string](x, `document.activeElement.getAttribute('aria-valuetext')`), "0.5 of ten, moved")
	require.Contains(t, says(x, "#spoken"), "Badger") // told to those who do not see it
	tab(t, x, `[data-dial="own.bites.hip"] .reset`)
	press(x, kb.Enter)
	until(x, `!location.search.includes('set=')`)
	final(x)
	look.Eval[any](x, `document.querySelector('#title').tabIndex = -1, document.querySelector('#title').focus(), 0`) // back to the top
	tab(t, x, "#undo")
	press(x, kb.Enter)
	until(x, `location.search.includes('set=own.bites.hip:0.5')`)
	final(x)
	tab(t, x, "#keep>summary")
	press(x, kb.Enter)
	tab(t, x, "#report")
	tab(t, x, "#parts summary")
	press(x, kb.Enter)
	require.True(t, look.Eval[bool](x, `document.querySelector('#parts details').open`))
	require.Empty(t, x.Problems())
}

// More bites are more feints bitten on, and fewer are fewer: the sentence says so in numbers, both ways.
func TestServeSlidersTurnTheAnswer(t *testing.T) {
	address := serving(t)
	x := look.Open(t)
	for at, more := range map[string]bool{"10": true, "0": false} {
		visit(x, address+"?set=own.bites.hip:"+at+"&set=own.bites.hand:"+at+"&draws=24&bouts=6")
		var after, before float64
		for _, clause := range strings.Split(strings.TrimPrefix(says(x, "#sentence"), "Moved like this, Badger "), "; and ") {
			if n, _ := fmt.Sscanf(clause, "bites on %f feints a minute, not %f", &after, &before); n == 2 {
				break
			}
		}
		require.NotEqual(t, before, after, says(x, "#sentence"))
		require.Equal(t, more, after > before, says(x, "#sentence"))
	}
}

// A bout of the what-if is watched from the page: both plans side by side on the same luck, under the page's guard and policy.
func TestServeShowsABout(t *testing.T) {
	address := serving(t)
	x := look.Open(t)
	visit(x, address+"?plan=stay-close&set=own.bites.hip:2"+brief)
	x.Do(chromedp.SetValue("#watch-nth", "4"), chromedp.Click("#watch-nth"))
	press(x, kb.ArrowUp)
	require.Contains(t, look.Eval[string](x, `document.querySelector('#watch-link').href`), "&draw=4")
	x.Do(chromedp.Click("#watch-link"))
	until(x, `location.pathname === '/replay/' && document.readyState === 'complete' && document.querySelector('svg')`)
	require.Contains(t, says(x, "body"), "stay close")
	require.Empty(t, x.Problems())
	require.Empty(t, x.Serious())
	x.Picture("serve-replay")
	x.Do(chromedp.NavigateBack())
	final(x)
	r, err := http.Get(address + "replay/?plan=nothing&draw=0")
	require.NoError(t, err)
	r.Body.Close()
	require.Equal(t, http.StatusBadRequest, r.StatusCode)
	r, err = http.Get(address + "replay/data.json?plan=stay-close&draw=-1")
	require.NoError(t, err)
	r.Body.Close()
	require.Equal(t, http.StatusBadRequest, r.StatusCode)
}

// While a slider is dragged pictures come along, each of a state on the way; in the end the answer is that of where it was left, and the page has
// not grown.
func TestServeFollowsADrag(t *testing.T) {
	address := serving(t)
	x := look.Open(t)
	visit(x, address+"?plan=stay-close&set=own.bites.hip:5"+brief)
	before := look.Eval[int](x, `document.querySelectorAll('*').length`)
	seen := look.Eval[int](x, `(async () => {
		const range = document.querySelector('[data-dial="own.bites.hip"] input[type=range]'), seen = new Set();
		new MutationObserver(() => seen.add(document.querySelector('#prices').textContent)).observe(document.querySelector('#prices'), {childList: true});
		for (let i = 0; i < 200; i++) {
			range.valueAsNumber = (i * 7 % 100) / 10;
			range.dispatchEvent(new Event('input'));
			await new Promise(yes => setTimeout(yes, 10));
		}
		range.valueAsNumber = 3;
		range.dispatchEvent(new Event('input'));
		range.dispatchEvent(new Event('change'));
		return seen.size;
	})()`)
	require.Greater(t, seen, 2, "nothing came along")
	until(x, `location.search.includes('set=own.bites.hip:3&')`)
	final(x)
	require.Contains(t, says(x, "#prices"), "With 3.0 bites of ten")
	require.InDelta(t, before, look.Eval[int](x, `document.querySelectorAll('*').length`), float64(before)/10) // ticks of axes come and go
	require.Empty(t, x.Problems())
}

// BenchmarkFirstAnswer is the time from moving a slider of the demo to the first picture, over HTTP.
func BenchmarkFirstAnswer(b *testing.B) {
	shipped, err := shippedDemo()
	require.NoError(b, err)
	h := httptest.NewServer(web.New(web.Options{Shipped: *shipped, Version: Version}).Handler())
	defer h.Close()
	n := 0
	for b.Loop() {
		n++
		r, err := http.Get(fmt.Sprintf("%s/answer?plan=stay-close&set=own.bites.hip:%d.%04d", h.URL, n/10000, n%10000))
		require.NoError(b, err)
		_, err = bufio.NewReader(r.Body).ReadString('}')
		require.NoError(b, err)
		r.Body.Close()
	}
}

// How it looks: no serious fault of accessibility (axe-core), nothing cut at 320 px or with text twice as large, light and dark, with everything
// open, in forced colours, and in the states that are not an answer.
func TestServeLooks(t *testing.T) {
	address := serving(t)
	x := look.Open(t)
	open := func() { look.Eval[any](x, `document.querySelectorAll('details').forEach(d => { d.open = true; }), 0`) }
	check := func(name string) {
		t.Helper()
		x.Picture("serve-" + name)
		require.Empty(t, x.Serious(), name)
		require.Empty(t, x.Cut(), name)
	}
	visit(x, address+"?plan=stay-close&set=own.bites.hip:2"+brief)
	check("wide")
	x.Prefers("prefers-color-scheme", "dark")
	check("wide-dark")
	x.Size(320, 700)
	check("narrow-dark")
	open()
	x.Prefers("prefers-color-scheme", "light")
	check("narrow-open")
	look.Eval[any](x, `document.documentElement.style.fontSize = '200%', 0`)
	check("narrow-large")
	look.Eval[any](x, `document.documentElement.style.fontSize = '', 0`)
	x.Size(1280, 900)
	x.Prefers("forced-colors", "active")
	check("forced")
	x.Prefers()
	x.Do(chromedp.Navigate(address + "?plan=stay-close&pin=yes&pin-plan=stay-close"))
	until(x, `document.querySelector('#sentence').textContent.includes('itself')`)
	check("nothing")
	x.Do(chromedp.Navigate(address + "?plan=stay-clos&draws=2"))
	until(x, `!document.querySelector('#faults').hidden`)
	require.Contains(t, says(x, "#faults"), "a whole number from 4")
	check("faults")
	small := look.Eval[[]string](x, `[...document.querySelectorAll('button, a, input, select, summary')].filter(e => e.checkVisibility() && !e.closest('.away, label'))
		.filter(e => { const b = e.getBoundingClientRect(); return (b.width < 24 || b.height < 24) && e.type !== 'checkbox'; }).map(e => e.outerHTML.slice(0, 80))`)
	require.Empty(t, small, "targets under 24 px (WCAG 2.2, 2.5.8)")
}

// Exact: equal questions have equal answers: the report of the page is the report of the command, byte for byte, with sliders moved too.
func TestServeAnswersAsCompareDoes(t *testing.T) {
	address := serving(t)
	for query, flags := range map[string]string{
		"rule=no-step-back-after-a-block":                                          "--rule no-step-back-after-a-block",
		"plan=stay-close&set=own.bites.hip:2&set=their.rate.jab:9.5&rules=mma-5x5": "--set own.bites.hip:2 --set their.rate.jab:9.5 --rules mma-5x5",
	} {
		file := filepath.Join(t.TempDir(), "out.html")
		code, _, errs := run(t, append([]string{"compare", "--draws", "8", "--bouts", "2", "--quiet", "--report", file}, strings.Fields(flags)...)...)
		require.Equal(t, ExitFine, code, errs)
		want, err := os.ReadFile(file)
		require.NoError(t, err)
		r, err := http.Get(address + "report.html?draws=8&bouts=2&" + query)
		require.NoError(t, err)
		got, err := io.ReadAll(r.Body)
		r.Body.Close()
		require.NoError(t, err)
		wants, gots := strings.Split(string(want), "\n"), strings.Split(string(got), "\n")
		for i := range min(len(wants), len(gots)) {
			require.Equal(t, wants[i], gots[i], "line %d", i+1)
		}
		require.Equal(t, len(wants), len(gots))
	}
}

// What is moved by hand is checked as everything is, and is no truth.
func TestCompareSetRefuses(t *testing.T) {
	code, out, errs := run(t, "compare", "--set", "bites.hip:4", "--set", "own.bites.hop:4", "--set", "own.bites.hip:11", "--set", "own.bites.hip", "--truth")
	require.Equal(t, ExitInput, code)
	require.Empty(t, out)
	for _, want := range []string{"expected own. or their.", `did you mean "bites.hip"?`, "expected 0 to 10 (of ten)", "has no value", "exclude each other"} {
		require.Contains(t, errs, want)
	}
}

// What cannot be listened on is refused with what was expected.
func TestServeRefuses(t *testing.T) {
	for _, at := range []string{"8100", "nowhere.example:8100", "127.0.0.1:99999"} {
		code, out, errs := run(t, "serve", "--listen", at)
		require.Equal(t, ExitInput, code, at)
		require.Empty(t, out)
		require.Contains(t, errs, "--listen")
	}
}

// Others get in with the token only, and it does not stay in the address.
func TestServeToOthersAsksForTheToken(t *testing.T) {
	address := serving(t, "--listen", "0.0.0.0:0")
	bare, token, found := strings.Cut(address, "?")
	require.True(t, found, address)
	require.Greater(t, len(token), len("token=")+20)
	r, err := http.Get(bare)
	require.NoError(t, err)
	r.Body.Close()
	require.Equal(t, http.StatusUnauthorized, r.StatusCode)
	x := look.Open(t)
	x.Do(chromedp.Navigate(address))
	until(x, `document.querySelector('#worth')?.textContent.includes('Bouts won')`)
	require.NotContains(t, look.Eval[string](x, `location.href`), "token")
	require.Empty(t, look.Eval[string](x, `document.cookie`))
	x.Do(chromedp.Click("#stop"))
}
