package look

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

const faulty = `<!doctype html><html lang="en"><title>t</title><main><h1>Two</h1><img src="/x.png" alt="a mark"><p style="width:2000px">wide</p>
<button style="background:#fff;color:#eee">pale</button></main><script>console.error("said")</script></html>`

// A page with planted faults shows each of them: a picture asked for, an error said, text cut, and pale text (WCAG 2.2, 1.4.3).
func TestAFaultyPageIsSeenThrough(t *testing.T) {
	page := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/" {
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			w.Write([]byte(faulty))
			return
		}
		http.NotFound(w, r)
	}))
	t.Cleanup(page.Close)
	x := Open(t)
	x.Do(chromedp.Navigate(page.URL))
	x.Size(320, 600)
	require.Contains(t, x.Asked(), page.URL+"/x.png")
	require.Contains(t, x.Problems()[0], "said")
	require.Equal(t, "Two", Eval[string](x, `document.querySelector('h1').textContent`))
	require.NotEmpty(t, x.Cut())
	require.Equal(t, "color-contrast", x.Serious()[0].ID)
	require.Greater(t, len(x.Picture("faulty")), 1000)
	x.Prefers("prefers-color-scheme", "dark")
	require.True(t, Eval[bool](x, `matchMedia('(prefers-color-scheme: dark)').matches`))
}
