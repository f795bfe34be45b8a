package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/study"
	"whatbout/tactics"
)

// Bout is one bout of a state, to be watched: under both plans on the same luck, or, where the two sides are moved differently, under the state's
// own alone.
type Bout struct {
	study.One
	Plans  []*tactics.Plan // one or two
	Inputs []report.Input
	Again  string // what shows it again
}

// Watch finds the bout that a request asks for, by its state, draw and bout (both from 0), and lets play have it in its turn.
func (s *Server) Watch(r *http.Request, play func(*Bout) error) error {
	b, err := s.bout(r.URL.RawQuery)
	if err != nil {
		return err
	}
	ctx, stop := context.WithTimeout(r.Context(), s.RunFor)
	defer stop()
	if err := s.queue.enter(ctx, func(int) {}); err != nil {
		return err
	}
	defer s.queue.leave()
	return play(b)
}

func (s *Server) bout(query string) (*Bout, error) {
	values, err := url.ParseQuery(query)
	if err != nil {
		return nil, input.Fault{File: "the address", What: err.Error()}
	}
	draw, err := number(values, "draw", mostDraws-1)
	if err != nil {
		return nil, err
	}
	nth, err := number(values, "bout", mostBouts-1)
	if err != nil {
		return nil, err
	}
	state, err := Parse(values.Encode())
	if err != nil {
		return nil, err
	}
	a, err := s.ask(state)
	if err != nil {
		return nil, err
	}
	b := &Bout{One: study.One{Fighter: a.q.Fighter, Opponent: a.q.Opponent, Joint: a.q.Joint, OpponentPlan: a.q.OpponentPlan, Rules: a.q.Rules, Seed: a.q.Seed,
		Draw: draw, Bout: nth, Set: a.q.Set[1]}, Plans: a.q.Plans, Inputs: a.inputs}
	if state.Pin == nil && len(a.q.Plans[1].Rules) == 0 || state.Pin != nil && !alike(a.q.Set[0], a.q.Set[1]) || a.Same {
		b.Plans = a.q.Plans[1:]
	}
	b.Again = fmt.Sprintf("whatbout serve, and in the browser the address that it prints followed by replay/?%s&draw=%d&bout=%d", state, draw, nth)
	return b, nil
}

// alike reports whether two sides are moved alike.
func alike(x, y []study.Setting) bool {
	if len(x) != len(y) {
		return false
	}
	for i := range x {
		if x[i].String() != y[i].String() {
			return false
		}
	}
	return true
}

// number takes a whole number from 0 out of a query.
func number(values url.Values, key string, most int) (int, error) {
	word := values.Get(key)
	values.Del(key)
	if word == "" {
		return 0, nil
	}
	x, err := strconv.Atoi(word)
	if err != nil || x < 0 || x > most {
		return 0, input.Fault{File: "the address", What: fmt.Sprintf("%s=%.40q", key, word), Want: fmt.Sprintf("a whole number from 0 to %d", most)}
	}
	return x, nil
}
