package web

import (
	"crypto/sha256"
	"crypto/subtle"
	"net"
	"net/http"
	"net/netip"
	"strings"
	"time"
)

// policy lets the page use what this server serves and nothing else: no script, style, frame or form of anybody's making.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// guard decides who may ask. Order: headers on every answer, then method, host, where the request comes from, token, length.
type guard struct {
	Names []string // hosts that the page may be called by; loopback names if empty
	Token string   // "": none is needed
	Port  string   // of the listener; "": any
	next  http.Handler
}

func (g *guard) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
	h.Set("Cache-Control", "no-store")
	_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(writeTime)) // recorders have none
	r.Body = http.MaxBytesReader(w, r.Body, mostUpload)
	switch {
	case r.Method != http.MethodGet && r.Method != http.MethodPost: // HEAD would play and say nothing
		h.Set("Allow", "GET, POST")
		refuse(w, http.StatusMethodNotAllowed, "this method is not used here")
	case !g.host(r.Host):
		refuse(w, http.StatusMisdirectedRequest, "this server is not called by that name; use the address that it printed")
	case !fromHere(r):
		refuse(w, http.StatusForbidden, "another site's page may not use this server; open its address in a tab of its own")
	case len(r.URL.RawQuery) > mostQuery:
		refuse(w, http.StatusRequestURITooLong, "the address is too long")
	case g.Token != "" && g.bring(w, r):
		// sent on to the address without the token
	case g.Token != "" && !g.known(r):
		refuse(w, http.StatusUnauthorized, "open the address that whatbout serve printed, with its token")
	default:
		g.next.ServeHTTP(w, r)
	}
}

// host reports whether the page is called by a name of its own. Names of others that were made to point here (DNS rebinding) are not.
func (g *guard) host(host string) bool {
	name, port, err := net.SplitHostPort(host)
	if err != nil {
		name, port = strings.Trim(host, "[]"), "80"
	}
	if g.Port != "" && port != g.Port {
		return false
	}
	for _, known := range g.Names {
		if strings.EqualFold(name, known) {
			return true
		}
	}
	addr, err := netip.ParseAddr(name)
	if g.Token != "" && err == nil { // a number cannot be rebound, and the token is asked for
		return true
	}
	return strings.EqualFold(name, "localhost") || err == nil && addr.IsLoopback()
}

// fromHere refuses what other sites' pages ask for. Browsers say where a request comes from; links from elsewhere to the page itself are fine.
func fromHere(r *http.Request) bool {
	if origin := r.Header.Get("Origin"); origin != "" && origin != "http://"+r.Host {
		return false
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none":
		return true
	}
	return r.Method == http.MethodGet && r.URL.Path == "/" && r.Header.Get("Sec-Fetch-Mode") == "navigate" && r.Header.Get("Sec-Fetch-Dest") == "document"
}

const tokenKey = "token"

// cookie keeps the token. Cookies do not tell ports apart, so its name does.
func (g *guard) cookie() string { return "whatbout-" + g.Port }

// bring takes a token out of the address into a cookie, so that it does not stay there, in the history or in a link that is sent.
func (g *guard) bring(w http.ResponseWriter, r *http.Request) bool {
	query := r.URL.Query()
	if r.Method != http.MethodGet || !query.Has(tokenKey) {
		return false
	}
	if !same(query.Get(tokenKey), g.Token) {
		refuse(w, http.StatusUnauthorized, "the token is another one; open the address that whatbout serve printed")
		return true
	}
	http.SetCookie(w, &http.Cookie{Name: g.cookie(), Value: g.Token, Path: "/", HttpOnly: true, SameSite: http.SameSiteLaxMode})
	query.Del(tokenKey)
	to := "/"
	if len(query) > 0 {
		to += "?" + query.Encode()
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return true
}

func (g *guard) known(r *http.Request) bool {
	if word, ok := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer "); ok {
		return same(word, g.Token)
	}
	c, err := r.Cookie(g.cookie())
	return err == nil && same(c.Value, g.Token)
}

// same compares without telling by the time taken how much is right.
func same(a, b string) bool {
	x, y := sha256.Sum256([]byte(a)), sha256.Sum256([]byte(b))
	return subtle.ConstantTimeCompare(x[:], y[:]) == 1
}

func refuse(w http.ResponseWriter, code int, why string) { http.Error(w, why, code) }
