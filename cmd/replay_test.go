package cmd

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"whatbout/internal/look"
)

// The page of whatbout serve shows the bouts of its answers: the same as usual and under the plan, under the server's own policy.
func TestServeShowsReplays(t *testing.T) {
	address := serving(t)
	x := look.Open(t)
	x.Do(chromedp.Navigate(address + "replay/?rule=no-step-back-after-a-block&draw=2&bout=1#1-0:20.0"))
	until(x, `document.body.classList.contains('ready')`)
	require.Equal(t, "Round 1  0:20", look.Eval[string](x, `document.getElementById('now').textContent.slice(0, 13)`))
	require.Equal(t, 2, look.Eval[int](x, `document.querySelectorAll('.panel').length`))
	require.Contains(t, look.Eval[string](x, `document.querySelector('h1').textContent`), "as usual, and with")
	x.Picture("serve-replay")
	require.Empty(t, x.Problems())
	x.Do(chromedp.Navigate(address + "replay/?draw=x"))
	require.Contains(t, look.Eval[string](x, `document.body.textContent`), `draw="x"`)
}
