package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"time"

	"whatbout/report"
	"whatbout/study"
)

// Draws after which an answer is shown while it grows; all of them are the draws of the final answer. Before them comes a glance of few short
// draws, so that something true stands there at once.
var looks = []int{6, 12, 24, 48, 100, 200, 300, 500, 700}

const glanceDraws, glanceBouts = 6, 4

// answer streams the answers to a state as server-sent events: queued (a place in the line), picture (each whole, the last of them final),
// fault. It ends with the final picture, and when the reader leaves or does not read.
func (s *Server) answer(w http.ResponseWriter, r *http.Request) {
	state, err := Parse(r.URL.RawQuery)
	if err != nil {
		fail(w, http.StatusBadRequest, err)
		return
	}
	a, err := s.ask(state)
	if err != nil {
		fail(w, http.StatusUnprocessableEntity, err)
		return
	}
	ctx, stop := context.WithTimeout(r.Context(), s.RunFor)
	defer stop()
	out := &events{w: w, stop: stop, patience: s.Patience}
	if a.Same {
		out.send("picture", nothing(a))
		return
	}
	if kept := s.answers.get(a.key()); kept != nil {
		out.raw("picture", kept)
		return
	}
	err = s.queue.enter(ctx, func(place int) { out.send("queued", map[string]int{"place": place}) })
	if errors.Is(err, errFull) && !out.begun {
		w.Header().Set("Retry-After", "2")
		fail(w, http.StatusServiceUnavailable, err)
		return
	}
	if err != nil {
		return
	}
	defer s.queue.leave()
	s.grow(ctx, a, out)
}

// grow plays an answer from coarse to fine.
func (s *Server) grow(ctx context.Context, a *ask, out *events) {
	show := func(r *study.Result, rough bool) {
		p, err := picture(a, s.describe(a, r), rough)
		if err != nil {
			out.send("fault", faultsOf(err))
			return
		}
		out.send("picture", p)
	}
	if glance, err := a.glance(ctx); err == nil {
		show(glance, true)
	}
	q := a.q
	q.Looks, q.Seen = looks, func(r *study.Result) { show(r, false) }
	result, err := q.Run(ctx)
	switch {
	case err != nil && result != nil && errors.Is(err, context.DeadlineExceeded):
		a.warnings = append(a.warnings, fmt.Sprintf("this ran longer than %s and was ended: the figures rest on the draws that were finished.", s.RunFor))
		show(result, false)
		return
	case err != nil:
		if ctx.Err() == nil {
			out.send("fault", faultsOf(err))
		}
		return
	}
	data, err := s.last(a, result)
	if err != nil {
		out.send("fault", faultsOf(err))
		return
	}
	s.answers.put(a.key(), data)
	out.raw("picture", data)
}

// glance is a comparison of few bouts.
func (a *ask) glance(ctx context.Context) (*study.Result, error) {
	q := a.q
	q.Draws, q.Bouts = glanceDraws, min(q.Bouts, glanceBouts)
	return q.Run(ctx)
}

// describe makes the comparison that a command would print.
func (s *Server) describe(a *ask, r *study.Result) *report.Comparison {
	c := report.NewComparison(&a.q, r)
	c.Version, c.Inputs, c.Again, c.Warnings = s.Version, a.inputs, a.again, a.warnings
	return c
}

// last is the final picture: its words are those of a command's JSON, on every machine. Rounding takes longer than a glance may.
func (s *Server) last(a *ask, r *study.Result) ([]byte, error) {
	rounded, err := report.Rounded(s.describe(a, r))
	if err != nil {
		return nil, err
	}
	p, err := picture(a, rounded.(*report.Comparison), false)
	if err != nil {
		return nil, err
	}
	p.Final = true
	return json.Marshal(p)
}

// events writes server-sent events. A reader who does not take one within patience is given up, and the run with him.
type events struct {
	w        http.ResponseWriter
	stop     func()
	patience time.Duration
	begun    bool
}

func (e *events) send(name string, value any) {
	data, err := json.Marshal(value)
	if err != nil {
		panic("web: " + err.Error()) // these are our own types
	}
	e.raw(name, data)
}

// raw writes an event whose data is JSON, which has no line ends.
func (e *events) raw(name string, data []byte) {
	if !e.begun {
		e.begun = true
		e.w.Header().Set("Content-Type", "text/event-stream; charset=utf-8")
		e.w.Header().Set("Cache-Control", "no-store")
		e.w.WriteHeader(http.StatusOK)
	}
	control := http.NewResponseController(e.w)
	_ = control.SetWriteDeadline(time.Now().Add(e.patience)) // recorders have none
	var b bytes.Buffer
	fmt.Fprintf(&b, "event: %s\ndata: %s\n\n", name, data)
	if _, err := e.w.Write(b.Bytes()); err != nil {
		e.stop()
		return
	}
	if err := control.Flush(); err != nil && !errors.Is(err, http.ErrNotSupported) {
		e.stop()
	}
}
