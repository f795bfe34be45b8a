package web

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/study"
	"whatbout/tactics"
)

// What is exported is what every command reads: the plan as ticked and followed, the profile as moved.
func TestExports(t *testing.T) {
	_, h := open(t, place(t), Options{})
	code, header, body := get(t, h.URL+"/plan.yaml?plan=press&without=1&rule=feint-then-go&set=own.adherence:55")
	require.Equal(t, 200, code, body)
	require.Contains(t, header.Get("Content-Disposition"), "attachment; filename=")
	p, err := tactics.Read("plan.yaml", []byte(body))
	require.NoError(t, err)
	require.Len(t, p.Rules, 3)
	require.Equal(t, .55, p.Adherence.Share)
	require.Equal(t, "punch", p.Rules[0].Name)

	code, _, body = get(t, h.URL+"/profile.yaml?who=opponent&set=their.bites.hip:9&set=own.bites.hip:1")
	require.Equal(t, 200, code, body)
	f, err := fighter.ReadProfile("newt.yaml", []byte(body))
	require.NoError(t, err)
	dial, err := study.DialNamed("bites.hip")
	require.NoError(t, err)
	require.InDelta(t, 9, dial.Calibrated(f), 1e-4)
	require.Equal(t, "newt", f.ID)

	code, header, body = get(t, h.URL+"/report.html?"+quick)
	require.Equal(t, 200, code, body)
	require.Contains(t, header.Get("Content-Disposition"), "what-if-mole-newt.html")
	require.Contains(t, body, "</html>")
	code, _, body = get(t, h.URL+"/report.html")
	require.Equal(t, 409, code, body)
	code, _, body = get(t, h.URL+"/profile.yaml?who=nobody")
	require.Equal(t, 400, code, body)
	for _, at := range []string{"/plan.yaml", "/profile.yaml", "/report.html"} {
		code, _, _ = get(t, h.URL+at+"?fighter=nobody")
		require.Equal(t, 422, code, at)
	}
}
