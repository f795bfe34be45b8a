// Package replay shows simulated bouts from above: a page of embedded files that a server can hold, and the same as one file to send. It
// decides how a bout is looked at: what is drawn, stepped through and said. What happened in it, and why, is left to study and report.
//
// The page asks for nothing but its own files and data, and needs no inline script or style; see [Policy].
package replay

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"net/http"
	"strings"

	"whatbout/report"
	"whatbout/report/chart"
)

//go:embed page
var files embed.FS

// Policy is the content security policy under which the page works when a server holds it.
const Policy = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src data:; base-uri 'none'; form-action 'none'"

// modules are the scripts, each after those that it imports.
var modules = []string{"bout.js", "floor.js", "tape.js", "page.js"}

func read(name string) string {
	data, err := files.ReadFile("page/" + name)
	if err != nil {
		panic("replay: " + err.Error())
	}
	return string(data)
}

func style() string { return chart.Variables() + read("replay.css") }

// script joins the modules into one: imports between them and the word export fall away, since all names then stand together.
func script() string {
	var b strings.Builder
	for _, name := range modules {
		for line := range strings.Lines(read(name)) {
			if strings.HasPrefix(line, "import ") || strings.HasPrefix(line, "export {") {
				continue
			}
			b.WriteString(strings.TrimPrefix(line, "export "))
		}
	}
	return b.String()
}

var pageTemplate = template.Must(template.New("page.gohtml").ParseFS(files, "page/page.gohtml"))

// page is what the template is given.
type page struct {
	*words
	Policy string
	Style  template.CSS
	Script template.JS
	Data   template.JS
}

// File writes a replay as one file that asks for nothing, with its story in words for readers without scripts.
func File(w io.Writer, r *report.Replay) error {
	var data bytes.Buffer
	if err := r.JSON(&data); err != nil {
		return err
	}
	style, script := style(), script()
	return pageTemplate.Execute(w, page{words: wordsOf(r), Style: template.CSS(style), Script: template.JS(script), Data: template.JS(data.String()),
		Policy: fmt.Sprintf("default-src 'none'; script-src '%s'; style-src '%s'; img-src data:; base-uri 'none'; form-action 'none'", hash(script), hash(style))})
}

// hash names a text in a content security policy (W3C, Content Security Policy Level 3, 2.3.1).
func hash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// Source gives the replay that a request asks for by its query. An error is the reader's fault and shown to them.
type Source func(*http.Request) (*report.Replay, error)

// Handler holds the page and its data; mount it under a path of its own that ends in a slash, with [http.StripPrefix]. The page stands at
// the root of it, with the same query as the data, which is all that source sees: a link to the page is a link to the bout, and what follows
// the number sign is the moment. Who may ask is left to the caller.
func Handler(source Source) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", answer(source, "text/html; charset=utf-8", func(w io.Writer, r *report.Replay) error {
		return pageTemplate.Execute(w, page{words: wordsOf(r)})
	}))
	mux.HandleFunc("GET /data.json", answer(source, "application/json", func(w io.Writer, r *report.Replay) error { return r.JSON(w) }))
	for _, name := range modules {
		mux.HandleFunc("GET /"+name, fixed("text/javascript; charset=utf-8", read(name)))
	}
	mux.HandleFunc("GET /replay.css", fixed("text/css; charset=utf-8", style()))
	return mux
}

func headers(w http.ResponseWriter, kind string) {
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Security-Policy", Policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cache-Control", "no-store")
}

func fixed(kind, text string) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) {
		headers(w, kind)
		io.WriteString(w, text)
	}
}

func answer(source Source, kind string, write func(io.Writer, *report.Replay) error) http.HandlerFunc {
	return func(w http.ResponseWriter, q *http.Request) {
		r, err := source(q)
		if err != nil {
			headers(w, "text/plain; charset=utf-8")
			w.WriteHeader(http.StatusBadRequest)
			fmt.Fprintln(w, err)
			return
		}
		var b bytes.Buffer
		if err := write(&b, r); err != nil {
			headers(w, "text/plain; charset=utf-8")
			w.WriteHeader(http.StatusInternalServerError)
			fmt.Fprintln(w, "the replay could not be written")
			return
		}
		headers(w, kind)
		w.Write(b.Bytes())
	}
}
