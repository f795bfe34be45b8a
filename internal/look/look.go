// Package look lets tests use pages as people do, in a real browser without a window: it opens Debian's Chromium, keeps what a page asks of the
// network and what it says in its console, takes pictures, and asks axe-core for faults of accessibility. It decides nothing about what a page
// should show. Tests only.
package look

import (
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// axe is axe-core 4.14.1 from the npm registry, unchanged, under the Mozilla Public License 2.0 beside it.
//
//go:embed axe/axe.min.js
var axe string

// names under which systems install Chromium.
var names = []string{"chromium", "chromium-browser", "google-chrome"}

// PicturesIn names the environment variable with the folder that Picture writes to; unset, pictures are taken and not kept.
const PicturesIn = "WHATBOUT_PICTURES"

// Tab is one page of a browser.
type Tab struct {
	context.Context
	t        testing.TB
	mu       sync.Mutex
	asked    []string
	problems []string
}

// Open starts a browser with one empty tab of 1280 by 900 CSS pixels, and ends it with the test. Without Chromium the test is skipped with the line
// that installs it. A step that takes longer than two minutes fails the test.
func Open(t testing.TB) *Tab {
	t.Helper()
	program := ""
	for _, name := range names {
		if found, err := exec.LookPath(name); err == nil {
			program = found
			break
		}
	}
	if program == "" {
		t.Skip("no Chromium here, so no page is looked at; on Debian: apt-get install -y chromium")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.WindowSize(1280, 900),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-background-networking", true))
	all, stopAll := chromedp.NewExecAllocator(context.Background(), options...)
	tab, stop := chromedp.NewContext(all)
	t.Cleanup(func() { stop(); stopAll() })
	x := &Tab{Context: tab, t: t}
	if err := chromedp.Listen(tab, x.hear); err != nil {
		t.Fatalf("look: the browser does not start: %v", err)
	}
	x.Do(call(network.Enable, network.EnableParams{}))
	x.Size(1280, 900)
	return x
}

// call is a step that sends a command of the browser's protocol.
func call[P, R any](c cdp.Command[P, R], params P) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, c, params)
		return err
	})
}

// hear keeps requests and problems.
func (x *Tab) hear(event any) {
	x.mu.Lock()
	defer x.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		x.asked = append(x.asked, e.Request.URL)
	case *runtime.EventExceptionThrown:
		x.problems = append(x.problems, e.ExceptionDetails.Text+describe(e.ExceptionDetails.Exception))
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			for _, a := range e.Args {
				x.problems = append(x.problems, string(a.Value)+a.Description)
			}
		}
	}
}

// describe is what a thrown value says of itself.
func describe(o *runtime.RemoteObject) string {
	if o == nil {
		return ""
	}
	return " " + o.Description
}

// patience is how long a step may take.
const patience = 2 * time.Minute

// run gives the value of a step and fails the test if it fails.
func run[T any](x *Tab, step chromedp.Action[T]) T {
	x.t.Helper()
	ctx, stop := context.WithTimeout(x, patience)
	defer stop()
	v, err := chromedp.Run(ctx, step)
	if err != nil {
		x.t.Fatalf("look: %v", err)
	}
	return v
}

// Do runs steps and fails the test with the first that fails.
func (x *Tab) Do(steps ...chromedp.Action[chromedp.Void]) {
	x.t.Helper()
	for _, step := range steps {
		run(x, step)
	}
}

// Asked lists the addresses asked for so far, in order.
func (x *Tab) Asked() []string {
	x.mu.Lock()
	defer x.mu.Unlock()
	return append([]string(nil), x.asked...)
}

// Problems lists errors and warnings of scripts so far.
func (x *Tab) Problems() []string {
	x.mu.Lock()
	defer x.mu.Unlock()
	return append([]string(nil), x.problems...)
}

// Size sets the width and height of the page, in CSS pixels.
func (x *Tab) Size(width, height int64) {
	x.t.Helper()
	x.Do(chromedp.EmulateViewport(width, height))
}

// Prefers sets what the reader prefers, such as "prefers-color-scheme", "dark".
func (x *Tab) Prefers(pairs ...string) {
	x.t.Helper()
	var features []*emulation.MediaFeature
	for i := 0; i+1 < len(pairs); i += 2 {
		features = append(features, &emulation.MediaFeature{Name: pairs[i], Value: pairs[i+1]})
	}
	x.Do(call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features}))
}

// Eval gives the value of an expression, awaited.
func Eval[T any](x *Tab, expression string) T {
	x.t.Helper()
	return run(x, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

// Picture takes the whole page as PNG, and keeps it under this name if the folder in WHATBOUT_PICTURES is set.
func (x *Tab) Picture(name string) []byte {
	x.t.Helper()
	png := run(x, chromedp.FullScreenshot(100))
	if folder := os.Getenv(PicturesIn); folder != "" {
		if err := os.WriteFile(filepath.Join(folder, name+".png"), png, 0o644); err != nil {
			x.t.Fatalf("look: %v", err)
		}
	}
	return png
}

// Cut lists what reaches over the right edge of the page, by tag, class and how far in pixels; elements that scroll by themselves may be wider inside.
func (x *Tab) Cut() []string {
	x.t.Helper()
	return Eval[[]string](x, cut)
}

const cut = `(() => {
	const width = document.documentElement.clientWidth, out = [];
	const scrolls = e => { for (let p = e.parentElement; p; p = p.parentElement) if (['auto', 'scroll', 'hidden', 'clip'].includes(getComputedStyle(p).overflowX)) return true; return false; };
	for (const e of document.body.querySelectorAll('*')) {
		const box = e.getBoundingClientRect();
		if (box.width > 1 && box.right > width + 1 && !scrolls(e)) out.push(e.tagName + '.' + e.getAttribute('class') + ' by ' + Math.round(box.right - width));
	}
	return out;
})()`

// Fault is what axe-core finds at one rule. Impact is minor, moderate, serious or critical.
type Fault struct {
	ID, Impact, Help string
	Nodes            []struct{ HTML string }
}

func (f Fault) String() string {
	where, _ := json.Marshal(f.Nodes)
	return fmt.Sprintf("%s (%s): %s: %s", f.ID, f.Impact, f.Help, where)
}

// Serious lists the serious and critical faults of the page as it stands.
func (x *Tab) Serious() (out []Fault) {
	x.t.Helper()
	Eval[any](x, axe+";0")
	for _, f := range Eval[[]Fault](x, `axe.run(document, {resultTypes: ['violations']}).then(r => r.violations.map(v => ({id: v.id, impact: v.impact, help: v.help, nodes: v.nodes.map(n => ({html: n.html}))})))`) {
		if f.Impact == "serious" || f.Impact == "critical" {
			out = append(out, f)
		}
	}
	return out
}
