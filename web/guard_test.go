package web

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// send asks a guard's server with a host and headers of choice; pairs are names and values.
func send(h http.Handler, method, target, host string, pairs ...string) *http.Response {
	r := httptest.NewRequest(method, target, nil)
	r.Host = host
	for i := 0; i+1 < len(pairs); i += 2 {
		r.Header.Set(pairs[i], pairs[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Result()
}

// Hostile requests are refused by what they are: names of others that point here (DNS rebinding), other sites' pages, methods, lengths. The
// headers that keep the browser to its place stand on every answer, refusals too (OWASP HTTP headers, from memory).
func TestHostileRequestsAreRefused(t *testing.T) {
	s := New(Options{Shipped: shipped(t), Port: "8100", Names: []string{"gym.example"}})
	h := s.Handler()
	for _, c := range []struct {
		method, target, host string
		pairs                []string
		code                 int
	}{
		{"GET", "/", "127.0.0.1:8100", nil, 200},
		{"GET", "/", "localhost:8100", nil, 200},
		{"GET", "/", "[::1]:8100", nil, 200},
		{"GET", "/", "gym.example:8100", nil, 200},
		{"GET", "/", "evil.example:8100", nil, 421},
		{"GET", "/", "127.0.0.1.evil.example:8100", nil, 421},
		{"GET", "/", "localhost:80", nil, 421},
		{"GET", "/", "localhost", nil, 421},
		{"GET", "/", "192.168.1.20:8100", nil, 421},
		{"GET", "/", "", nil, 421},
		{"GET", "/choices", "localhost:8100", []string{"Origin", "http://evil.example"}, 403},
		{"GET", "/choices", "localhost:8100", []string{"Origin", "null"}, 403},
		{"GET", "/choices", "localhost:8100", []string{"Origin", "https://localhost:8100"}, 403},
		{"GET", "/choices", "localhost:8100", []string{"Origin", "http://localhost:8100"}, 200},
		{"GET", "/answer?plan=press", "localhost:8100", []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "no-cors"}, 403},
		{"GET", "/answer?plan=press", "localhost:8100", []string{"Sec-Fetch-Site", "same-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "document"}, 403},
		{"GET", "/?plan=press", "localhost:8100", []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "document"}, 200},
		{"GET", "/?plan=press", "localhost:8100", []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "iframe"}, 403},
		{"POST", "/upload", "localhost:8100", []string{"Origin", "http://evil.example"}, 403},
		{"PUT", "/upload", "localhost:8100", nil, 405},
		{"HEAD", "/answer?plan=press", "localhost:8100", nil, 405},
		{"DELETE", "/", "localhost:8100", nil, 405},
		{"OPTIONS", "/upload", "localhost:8100", nil, 405},
		{"POST", "/answer", "localhost:8100", nil, 405},
		{"GET", "/answer?" + strings.Repeat("x", mostQuery+1), "localhost:8100", nil, 414},
		{"GET", "/static/../state.go", "localhost:8100", nil, 404},
		{"GET", "/static/%2e%2e%2fserver.go", "localhost:8100", nil, 404},
		{"GET", "/static/", "localhost:8100", nil, 404},
		{"GET", "/nothing", "localhost:8100", nil, 404},
	} {
		r := send(h, c.method, c.target, c.host, c.pairs...)
		if r.StatusCode == http.StatusTemporaryRedirect || r.StatusCode == http.StatusMovedPermanently { // the mux cleans paths first
			r = send(h, c.method, r.Header.Get("Location"), c.host, c.pairs...)
		}
		require.Equal(t, c.code, r.StatusCode, "%s %s at %s %v", c.method, c.target, c.host, c.pairs)
		require.Equal(t, policy, r.Header.Get("Content-Security-Policy"))
		require.Equal(t, "nosniff", r.Header.Get("X-Content-Type-Options"))
		require.Equal(t, "no-referrer", r.Header.Get("Referrer-Policy"))
		require.Empty(t, r.Header.Get("Access-Control-Allow-Origin"))
	}
	require.NotContains(t, policy, "unsafe")
}

// The token is asked for once, kept in a cookie that scripts cannot read, and taken out of the address.
func TestTheTokenIsAskedForAndTakenAway(t *testing.T) {
	h := New(Options{Shipped: shipped(t), Port: "8100", Token: "abc"}).Handler()
	const host = "192.168.1.20:8100"
	for target, code := range map[string]int{"/": 401, "/static/index.html": 401, "/?token=abd": 401, "/?token=": 401, "/choices?token=abcd": 401} {
		require.Equal(t, code, send(h, "GET", target, host).StatusCode, target)
	}
	require.Equal(t, 421, send(h, "GET", "/?token=abc", "rebound.example:8100").StatusCode)
	r := send(h, "GET", "/?plan=press&token=abc", host)
	require.Equal(t, http.StatusSeeOther, r.StatusCode)
	require.Equal(t, "/?plan=press", r.Header.Get("Location"))
	cookie := r.Cookies()[0]
	require.True(t, cookie.HttpOnly)
	require.Equal(t, http.SameSiteLaxMode, cookie.SameSite)
	require.Equal(t, 200, send(h, "GET", "/", host, "Cookie", cookie.String()).StatusCode)
	require.Equal(t, 200, send(h, "GET", "/choices", host, "Authorization", "Bearer abc").StatusCode)
	require.Equal(t, 401, send(h, "GET", "/", host, "Cookie", cookie.Name+"=abd").StatusCode)
	require.Equal(t, 401, send(h, "GET", "/", host, "Authorization", "Bearer ").StatusCode)
}
