package web

import (
	"bytes"
	"fmt"
	"strings"

	"whatbout/report"
	"whatbout/report/chart"
)

// Picture is an answer as far as it is known, whole: the page forgets the one before.
type Picture struct {
	State    string   `json:"state"` // of the address that it answers
	Draws    int      `json:"draws"` // played so far
	Of       int      `json:"of"`
	Bouts    int      `json:"bouts"` // in all
	Final    bool     `json:"final"`
	Rough    bool     `json:"rough"`   // a first glance: fewer bouts a draw than the answer will have
	Nothing  bool     `json:"nothing"` // there is nothing to compare
	Title    string   `json:"title"`
	Sentence string   `json:"sentence"`
	Worth    string   `json:"worth"` // the difference in bouts won
	Prices   []string `json:"prices"`
	Parts    []Part   `json:"parts"`
	Notes    []string `json:"notes"`
	Again    string   `json:"again"`
}

// Part is a section of the answer: markup of report's own making, every word of it escaped there.
type Part struct {
	ID      string   `json:"id"`
	Heading string   `json:"heading"`
	Lead    []string `json:"lead,omitempty"`
	Figures []string `json:"figures,omitempty"`
	Items   []string `json:"items,omitempty"`
}

// shownParts of a report's page, in the page's order: what changed on the way, the price, the doubts, what it rests on. Shares of bouts won are
// left to the report, where they stand beside their difference.
var shownParts = []string{"plan-1-way", "plan-1-price", "plan-1-doubt", "little-tape"}

// nothing answers a state that compares a way of fighting with itself.
func nothing(a *ask) *Picture {
	p := &Picture{State: a.State.String(), Final: true, Nothing: true, Title: a.title(), Notes: notes(a.warnings), Again: a.again}
	p.Sentence = "Nothing differs yet: tick what " + title(a.q.Fighter.ID) + " should do, or move a slider."
	if a.State.Pin != nil {
		p.Sentence = "This is the pinned baseline itself: tick, untick or move something, and see what follows."
	}
	return p
}

// notes are warnings as sentences.
func notes(warnings []string) (out []string) {
	for _, w := range warnings {
		out = append(out, capital(w))
	}
	return out
}

func (a *ask) title() string {
	return fmt.Sprintf("%s against %s, %s", title(a.q.Fighter.ID), title(a.q.Opponent.ID), a.q.Rules.Name)
}

// picture draws a result; a rough one does not say what a difference is worth.
func picture(a *ask, c *report.Comparison, rough bool) (*Picture, error) {
	p := &Picture{State: a.State.String(), Draws: c.Draws, Of: a.q.Draws, Bouts: c.Played, Rough: rough, Title: a.title(), Sentence: sentence(c), Worth: difference(c, rough),
		Prices: prices(a), Notes: notes(c.Warnings), Again: c.Again}
	if c.OpponentPlan != asUsual {
		p.Title += "; " + title(c.Opponent) + " fights \u201c" + c.OpponentPlan + "\u201d"
	}
	sections := map[string]report.Section{}
	for _, s := range c.Sections() {
		sections[s.ID] = s
	}
	for _, id := range shownParts {
		s, ok := sections[id]
		if !ok {
			continue
		}
		part := Part{ID: id, Heading: s.Heading, Lead: s.Lead, Items: s.Items}
		for _, f := range s.Figures {
			markup, err := figure(f)
			if err != nil {
				return nil, err
			}
			part.Figures = append(part.Figures, markup)
		}
		p.Parts = append(p.Parts, part)
	}
	return p, nil
}

func figure(f chart.Figure) (string, error) {
	var b bytes.Buffer
	err := report.FigureHTML(&b, f)
	return strings.TrimSpace(b.String()), err
}
