package report

import (
	"fmt"

	"whatbout/calibrate"
	"whatbout/report/chart"
)

// Answer is the audit's.
func (a *Audit) Answer() Answer {
	wrong := "Nothing is called wrong."
	if names := a.misfits(); names != "" {
		wrong = "Not reproduced: " + names + "."
	}
	return Answer{Title: "The model against coded tape", Under: fmt.Sprintf("%s of %s", counted(a.Rounds, "round"), counted(a.Bouts, "bout")), Sentence: a.sentence(),
		Leads: []string{wrong, a.held()}, Played: fmt.Sprintf("%d simulated bouts for each coded one.", a.Draws)}
}

// Sections lists the parts of the audit.
func (a *Audit) Sections() []Section {
	out := []Section{{ID: "groups", Heading: "Group by group", Figures: []chart.Figure{a.ranksFigure("ranks")}, Terms: a.verdictTerms()}}
	if a.Landing != nil && len(a.Landing.Curve) > 0 {
		out = append(out, Section{ID: "landing", Heading: "Do strikes land as often as said?", Figures: []chart.Figure{a.landingFigure()}})
	}
	out = append(out, a.rivalsSection())
	notes := []string{"Simulated rounds are whole, with nobody stopped; a coded round that a stoppage ended is compared up to its end.",
		"All groups together are called wrong without reason at most once in 20 audits."}
	return append(out, Section{ID: "notes", Heading: "What to bear in mind", Items: append(notes, a.Notes...)})
}

// landingFigure holds stated chances against what came.
func (a *Audit) landingFigure() chart.Figure {
	t := chart.Table{Head: []string{"strikes", "said, %", "landed, %", "low", "high"}}
	var points []chart.StatedPoint
	outside := 0
	for _, x := range a.Landing.Curve {
		points = append(points, chart.StatedPoint{Said: x.Chance, Came: x.Landed, Low: x.Low, High: x.High, Count: x.Strikes})
		t.Rows = append(t.Rows, []string{fmt.Sprint(x.Strikes), chart.Plain(100*x.Chance, 1), chart.Plain(100*x.Landed, 1), chart.Plain(100*x.Low, 1), chart.Plain(100*x.High, 1)})
		if x.Landed < x.Low || x.Landed > x.High {
			outside++
		}
	}
	return chart.NewFigure("landing-curve", "Strikes that landed, against what the model said of them",
		fmt.Sprintf("Of %d classes of strikes %d landed more or less often than in 90 %% of the simulated tapes.", len(points), outside),
		"Strikes are put together by the chance that the model gave them; the upright bar is what nine in ten simulated tapes show. On the dotted line both are the same.", t,
		func(w float64) string {
			return chart.Stated(w, "said to land, of 100", "landed, of 100", points)
		})
}

// rivalsSection says whether plain arithmetic does as well.
func (a *Audit) rivalsSection() Section {
	s := Section{ID: "rivals", Heading: "Does it forecast counts better than plain arithmetic?"}
	for i := range a.Against {
		r := &a.Against[i]
		if r.Group == "all" && r.Score == calibrate.ScoreLog {
			s.Terms = append(s.Terms, Term{capital(contest(r)), capital(a.outcome(r)) + "."})
		}
	}
	switch {
	case len(a.Against) == 0:
		s.Lead = []string{"Nobody has another round to go by, so no plain rival was met."}
	case a.InSample && a.Against[0].HeldBack == "":
		s.Lead = []string{"In-sample: the model may have seen the rounds, and the rivals have not. It must win here, and not to win says much."}
	}
	return s
}
