package web

import (
	"context"
	"embed"
	"encoding/json"
	"errors"
	"io"
	"log"
	"mime"
	"net"
	"net/http"
	"os"
	"path"
	"strings"
	"time"

	"whatbout/internal/input"
	"whatbout/report/chart"
)

// Options say what is served and to whom. Zero values of what is bounded are the usual bounds.
type Options struct {
	Shipped Shipped
	Folder  *os.Root // files to choose from; nil: none
	Version string

	Names []string // hosts that the page may be called by, besides loopback
	Token string   // asked for at the first visit; needed where others than this machine may ask
	Port  string   // of the listener

	Running  int           // answers that play at a time: 2
	Waiting  int           // that may wait: 16
	RunFor   time.Duration // the longest that one may play: 2 minutes
	Patience time.Duration // with a reader who does not take what is sent: 10 seconds
}

// Server answers the page.
type Server struct {
	Options
	folder  *folder
	uploads uploads
	beliefs beliefs
	answers answers
	queue   *queue
	static  map[string]staticFile
	mounted map[string]http.Handler
}

// Mount lets another handler answer below a path that ends in a slash, behind the same guard. Call it before Handler or Serve.
func (s *Server) Mount(path string, h http.Handler) {
	if s.mounted == nil {
		s.mounted = map[string]http.Handler{}
	}
	s.mounted[path] = h
}

// Times and sizes of connections.
const (
	headerTime  = 5 * time.Second
	writeTime   = 30 * time.Second
	bodyTime    = 15 * time.Second
	idleTime    = time.Minute
	mostHeader  = 16 << 10
	mostClients = 256 // connections at a time; more wait outside
)

// New prepares a server.
func New(o Options) *Server {
	if o.Running == 0 {
		o.Running = 2
	}
	if o.Waiting == 0 {
		o.Waiting = 16
	}
	if o.RunFor == 0 {
		o.RunFor = 2 * time.Minute
	}
	if o.Patience == 0 {
		o.Patience = 10 * time.Second
	}
	return &Server{Options: o, folder: newFolder(o.Folder), queue: newQueue(o.Running, o.Waiting), static: loadStatic()}
}

// Handler gives the routes behind the guard.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.file("index.html"))
	mux.HandleFunc("GET /static/{name}", func(w http.ResponseWriter, r *http.Request) { s.file(r.PathValue("name"))(w, r) })
	mux.HandleFunc("GET /choices", s.choices)
	mux.HandleFunc("GET /desk", s.desk)
	mux.HandleFunc("GET /answer", s.answer)
	mux.HandleFunc("GET /plan.yaml", s.exportPlan)
	mux.HandleFunc("GET /profile.yaml", s.exportProfile)
	mux.HandleFunc("GET /report.html", s.exportReport)
	mux.HandleFunc("POST /upload", s.take)
	for at, h := range s.mounted {
		mux.Handle(at, h)
	}
	return &guard{Names: s.Names, Token: s.Token, Port: s.Port, next: mux}
}

// Serve answers on a listener until the context ends; then what plays is ended and the listener closed.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	server := &http.Server{Handler: s.Handler(), ReadHeaderTimeout: headerTime, IdleTimeout: idleTime, MaxHeaderBytes: mostHeader,
		ErrorLog: log.New(io.Discard, "", 0), BaseContext: func(net.Listener) context.Context { return ctx }}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(limit(l, mostClients)) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	last, stop := context.WithTimeout(context.WithoutCancel(ctx), 2*time.Second)
	defer stop()
	if err := server.Shutdown(last); err != nil {
		return server.Close()
	}
	return nil
}

//go:embed static
var staticFiles embed.FS

type staticFile struct {
	kind string
	data []byte
}

// loadStatic reads all files that the page is made of; the inks are those of the reports.
func loadStatic() map[string]staticFile {
	entries, err := staticFiles.ReadDir("static")
	if err != nil {
		panic("web: " + err.Error()) // the folder is part of the program
	}
	out := map[string]staticFile{"ink.css": {"text/css; charset=utf-8", []byte(chart.Variables() + chart.Style)}}
	for _, e := range entries {
		data, err := staticFiles.ReadFile(path.Join("static", e.Name()))
		if err != nil {
			panic("web: " + err.Error())
		}
		out[e.Name()] = staticFile{kindOf(e.Name()), data}
	}
	return out
}

// kindOf does not ask the system, whose tables differ.
func kindOf(name string) string {
	switch path.Ext(name) {
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".css":
		return "text/css; charset=utf-8"
	case ".html":
		return "text/html; charset=utf-8"
	}
	return mime.TypeByExtension(path.Ext(name))
}

func (s *Server) file(name string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		f, ok := s.static[name]
		if !ok {
			http.NotFound(w, r)
			return
		}
		w.Header().Set("Content-Type", f.kind)
		_, _ = w.Write(f.data) // a reader who left is no fault
	}
}

func sendJSON(w http.ResponseWriter, code int, value any) {
	data, err := json.Marshal(value)
	if err != nil {
		panic("web: " + err.Error()) // these are our own types
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	_, _ = w.Write(data) // a reader who left is no fault
}

// faults are what is wrong, a line each.
type faults struct {
	Faults []string `json:"faults"`
}

func faultsOf(err error) faults {
	var f faults
	for line := range strings.Lines(err.Error()) {
		f.Faults = append(f.Faults, strings.TrimSpace(line))
	}
	return f
}

// fail answers with all faults. What belongs to this machine is not told to a browser.
func fail(w http.ResponseWriter, code int, err error) {
	if many := (input.Faults)(nil); !errors.As(err, &many) && code >= 500 && !errors.Is(err, errFull) {
		err = errors.New("this went wrong here and not with what was asked; try again")
	}
	sendJSON(w, code, faultsOf(err))
}
