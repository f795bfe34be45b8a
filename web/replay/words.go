package replay

import "whatbout/report"

// words is what the page says whether or not its script runs.
type words struct {
	Title, Rules, Which, Heading string
	Names, Round, Angular        string
	Two, Parting                 bool
	PartingHead, Cautions, Again string
	PartingText                  []string
	Bouts                        []boutWords
}

type boutWords struct {
	Name, Ink, Ending string
	Rounds            []report.ToldRound
}

// wordsOf puts a replay into words.
func wordsOf(r *report.Replay) *words {
	names := r.Called()
	w := &words{Title: names[0] + " against " + names[1], Rules: r.Rules.Name, Which: r.Story(0).Which(), Names: names[0] + " and " + names[1], Round: names[0], Angular: names[1],
		Two: len(r.Bouts) == 2, Cautions: report.Cautions, Again: r.Next}
	for i := range r.Bouts {
		story := r.Story(i)
		b := boutWords{Name: names[0] + " " + story.Plans[0], Ink: "plan", Ending: story.Ending(), Rounds: story.Rounds()}
		if story.Plans[0] != report.AsUsual {
			b.Name = names[0] + " with \u201c" + story.Plans[0] + "\u201d"
		}
		if i == 0 && w.Two || story.Plans[0] == report.AsUsual {
			b.Ink = "usual"
		}
		w.Bouts = append(w.Bouts, b)
	}
	w.Heading = w.Bouts[0].Name
	if !w.Two {
		return w
	}
	w.Heading += ", and " + w.Bouts[1].Name[len(names[0])+1:] + ", on the same luck"
	w.Parting = r.Parting.Parts
	w.PartingText = r.PartingText()
	w.PartingHead = w.PartingText[0]
	return w
}
