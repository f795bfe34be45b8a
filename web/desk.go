package web

import (
	"net/http"

	"whatbout/fighter"
	"whatbout/plans"
	"whatbout/report"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

// choices lists what can be chosen, whatever the address says.
func (s *Server) choices(w http.ResponseWriter, _ *http.Request) {
	people, whole := []Choice{}, []Choice{}
	for _, p := range s.Shipped.Fighters {
		people = append(people, Choice{Key: p.ID, Name: title(p.ID), From: shippedWords})
	}
	for _, p := range s.Shipped.Plans {
		whole = append(whole, Choice{Key: planKey(p), Name: p.Name, From: shippedWords, Note: p.Intent})
	}
	for _, name := range s.folder.list(fighter.ProfileFormat) {
		people = append(people, Choice{Key: name, Name: name, From: folderWords})
	}
	for _, name := range s.folder.list(tactics.Format) {
		whole = append(whole, Choice{Key: name, Name: name, From: folderWords})
	}
	for _, u := range s.uploads.list() {
		c := Choice{Key: u.key, Name: u.name() + " (" + u.input.Name + ")", From: uploadWords}
		if u.profile != nil {
			people = append(people, c)
		} else {
			whole = append(whole, c)
		}
	}
	sendJSON(w, http.StatusOK, map[string]any{"people": people, "plans": whole, "phrases": phrases(), "rules": ruleSets(s), "questions": s.Shipped.Questions,
		"cautions": report.Cautions, "start": s.start(), "version": s.Version, "replay": s.mounted["/replay/"] != nil})
}

const shippedWords, folderWords, uploadWords = "invented, to try things on", "in this folder", "uploaded, until the program ends"

// start is the state where the page begins.
func (s *Server) start() string {
	st := usual
	if len(s.Shipped.Plans) > 0 {
		st.Plan = planKey(s.Shipped.Plans[0])
	}
	return st.String()
}

func phrases() (out []Choice) {
	for _, name := range plans.Names() {
		data, err := plans.Read(name)
		if err != nil {
			panic("web: " + err.Error()) // they are part of the program
		}
		p, err := tactics.Read(name, data)
		if err != nil {
			panic("web: " + err.Error())
		}
		out = append(out, Choice{Key: name, Name: p.Name, Note: p.Intent})
	}
	return out
}

func ruleSets(s *Server) (out []Choice) {
	for _, name := range tape.RuleSetNames() {
		out = append(out, Choice{Key: name, Name: name, From: "built in"})
	}
	for _, name := range s.folder.list(tape.RulesFormat) {
		out = append(out, Choice{Key: name, Name: name, From: folderWords})
	}
	return out
}

// Desk is what lies on the table for a state.
type Desk struct {
	State   string       `json:"state"` // as it is best written
	Names   [2]string    `json:"names"`
	Keys    [2]string    `json:"keys"`
	Rules   []RuleChoice `json:"rules"` // of the whole plan
	Sliders []Slider     `json:"sliders"`
	Dials   []Choice     `json:"dials"` // all that could be shown
}

// RuleChoice is a rule of a plan, followed or left out.
type RuleChoice struct {
	Number int    `json:"number"`
	Name   string `json:"name"`
}

func (s *Server) desk(w http.ResponseWriter, r *http.Request) {
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
	d := Desk{State: state.String(), Names: [2]string{title(a.q.Fighter.ID), title(a.q.Opponent.ID)}, Keys: a.keys, Rules: []RuleChoice{}, Dials: a.dials()}
	if d.Sliders, err = s.sliders(a); err != nil {
		fail(w, http.StatusUnprocessableEntity, err)
		return
	}
	if a.whole != nil {
		for i, rule := range a.whole.Rules {
			d.Rules = append(d.Rules, RuleChoice{i + 1, rule.Name})
		}
	}
	sendJSON(w, http.StatusOK, d)
}

// dials lists what can be put on the table.
func (a *ask) dials() (out []Choice) {
	for i, p := range []*fighter.Profile{a.q.Fighter, a.q.Opponent} {
		for _, d := range study.Dials() {
			if d.OfPlan() && i == 1 {
				continue
			}
			name := Moved{Dial: d.Name, Theirs: i == 1}.Name()
			out = append(out, Choice{Key: name, Name: dialLabel(&d, title(p.ID)), From: title(p.ID)})
		}
	}
	return out
}
