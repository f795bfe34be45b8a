package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/study"
	"whatbout/tactics"
)

// exported reads the state of a download.
func (s *Server) exported(w http.ResponseWriter, query string) *ask {
	state, err := Parse(query)
	if err != nil {
		fail(w, http.StatusBadRequest, err)
		return nil
	}
	a, err := s.ask(state)
	if err != nil {
		fail(w, http.StatusUnprocessableEntity, err)
		return nil
	}
	return a
}

// download names a file after what it holds.
func download(w http.ResponseWriter, name, kind string) {
	safe := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '.' || r == '_' {
			return r
		}
		return '-'
	}, name)
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", safe))
}

// exportPlan gives the plan as a file that every command reads. How well it is followed is taken from its slider.
func (s *Server) exportPlan(w http.ResponseWriter, r *http.Request) {
	a := s.exported(w, r.URL.RawQuery)
	if a == nil {
		return
	}
	p := *a.q.Plans[1]
	for _, set := range a.q.Set[1] {
		if set.Dial.OfPlan() {
			p = follow(p, set.At/100)
		}
	}
	data, err := tactics.Write(&p)
	if err != nil {
		fail(w, http.StatusUnprocessableEntity, err)
		return
	}
	download(w, p.Name+".yaml", "application/yaml; charset=utf-8")
	_, _ = w.Write(data) // a reader who left is no fault
}

// follow is the plan followed that often, by every rule.
func follow(p tactics.Plan, share float64) tactics.Plan {
	p.Adherence = tactics.Adherence{Share: share}
	p.Rules = append([]tactics.Rule(nil), p.Rules...)
	for i := range p.Rules {
		p.Rules[i].Adherence = nil
	}
	return p
}

// exportProfile gives a profile as a file, the fighter's or with who=opponent the other's, with what is moved of it.
func (s *Server) exportProfile(w http.ResponseWriter, r *http.Request) {
	who, rest := "fighter", []string{}
	for _, pair := range strings.Split(r.URL.RawQuery, "&") {
		if x, ok := strings.CutPrefix(pair, "who="); ok {
			who = x
			continue
		}
		rest = append(rest, pair)
	}
	if who != "fighter" && who != "opponent" {
		fail(w, http.StatusBadRequest, input.Fault{File: "the address", What: fmt.Sprintf("who=%.40q", who), Want: "fighter or opponent"})
		return
	}
	a := s.exported(w, strings.Join(rest, "&"))
	if a == nil {
		return
	}
	p, corner := a.q.Fighter, 0
	if who == "opponent" {
		p, corner = a.q.Opponent, 1
	}
	var own []study.Setting
	for _, set := range a.q.Set[1] {
		if set.Whose == corner && !set.Dial.OfPlan() {
			own = append(own, set)
		}
	}
	moved := study.Moved(p, own)
	if a.shipped {
		moved.JointFile = "" // there is no file of it here
	}
	download(w, p.ID+".yaml", "application/yaml; charset=utf-8")
	data := fighter.WriteProfile(moved)
	for _, set := range own {
		data = fmt.Appendf(data, "# moved by hand: %s at %g %s\n", set.Dial.Name, set.At, set.Dial.Unit)
	}
	_, _ = w.Write(data) // a reader who left is no fault
}

// exportReport gives the whole report as one file. It plays what the final answer plays, and watches some bouts closely, in its turn.
func (s *Server) exportReport(w http.ResponseWriter, r *http.Request) {
	a := s.exported(w, r.URL.RawQuery)
	if a == nil {
		return
	}
	if a.Same {
		refuse(w, http.StatusConflict, "there is nothing to compare yet: choose a plan or move something first")
		return
	}
	ctx, stop := context.WithTimeout(r.Context(), s.RunFor)
	defer stop()
	_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(2 * s.RunFor)) // recorders have none
	if err := s.queue.enter(ctx, func(int) {}); err != nil {
		w.Header().Set("Retry-After", "5")
		fail(w, http.StatusServiceUnavailable, err)
		return
	}
	defer s.queue.leave()
	page, err := s.page(ctx, a)
	if errors.Is(err, context.DeadlineExceeded) {
		refuse(w, http.StatusServiceUnavailable, fmt.Sprintf("this took longer than %s and was ended; ask for fewer draws or bouts, or use whatbout compare --report", s.RunFor))
		return
	}
	if err != nil {
		fail(w, http.StatusServiceUnavailable, err)
		return
	}
	_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(writeTime))
	download(w, "what-if-"+a.q.Fighter.ID+"-"+a.q.Opponent.ID+".html", "text/html; charset=utf-8")
	_ = page.HTML(w) // a reader who left is no fault
}

// What is watched closely for a report.
const (
	tracedDraws, tracedBouts = 200, 6
	bandLevel                = .8
)

func (s *Server) page(ctx context.Context, a *ask) (*report.Page, error) {
	result, err := a.q.Run(ctx)
	if err != nil {
		return nil, err
	}
	trace := study.Trace{Meeting: study.Meeting{Fighter: a.q.Fighter, Opponent: a.q.Opponent, Joint: a.q.Joint, Rules: a.q.Rules, Seed: a.q.Seed}, Plans: a.q.Plans,
		OpponentPlan: a.q.OpponentPlan, Set: a.q.Set, Draws: min(a.q.Draws, tracedDraws), Bouts: min(a.q.Bouts, tracedBouts), Level: bandLevel}
	watched, err := trace.Run(ctx)
	if err != nil {
		return nil, err
	}
	return report.NewPage(s.describe(a, result), watched)
}
