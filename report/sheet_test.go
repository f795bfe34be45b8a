package report

import (
	"bytes"
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/plans"
	"whatbout/study"
	"whatbout/tactics"
)

func sheetText(t *testing.T, s *Sheet) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, s.Text(&b))
	for line := range strings.Lines(b.String()) {
		require.Equal(t, strings.TrimRight(line, " \n"), strings.TrimSuffix(line, "\n"), "no blanks at the end of lines")
	}
	return b.String()
}

func sheetHTML(t *testing.T, s *Sheet) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, s.HTML(&b))
	return b.String()
}

// The sheet has everything that a corner asks, in that order, in words and on a page that asks for nothing.
func TestSheet(t *testing.T) {
	hands := plan("hands", 1, "punches", 4)
	p := paged(t, hands, plan("feet", .6, "kicks", 3))
	p.Trace.Plans[0].Signs[7], p.Trace.Plans[1].Signs[7] = study.SignCounts{40, 60}, study.SignCounts{10, 90} // clean to the head
	s := NewSheet(p.Comparison, 1, hands, p.Trace, []Worth{{2.31, 1, 3.5, study.MeanResolved}, {-.3, -1, .4, study.Unresolved}})
	for _, out := range []string{sheetText(t, s), html.UnescapeString(sheetHTML(t, s))} {
		at := 0
		for _, want := range []string{"Red fox against Newt", "Of 100 such bouts Red fox wins", "Hands it is", "When nothing is on, punches 4 times as often.", "a round as usual",
			"Not working, if at 0:30 of the first round Red fox has not landed clean to the head at all", "in 40 of 100 bouts as usual", "in 10 with", "Clean head strikes taken in a bout",
			StopLine, DrillLine, "whatbout sheet", "Medical clearance"} {
			plain := strings.Join(strings.Fields(out), " ")
			next := strings.Index(plain[at:], want)
			require.GreaterOrEqual(t, next, 0, "%s in\n%s", want, out)
			at += next
		}
		require.Contains(t, strings.Join(strings.Fields(out), " "), "Worth: +2.3 bouts in 100 (+1.0 to +3.5) on average; not for every possible truth.")
		require.Contains(t, strings.Join(strings.Fields(out), " "), "\u22120.3 bouts in 100 (\u22121.0 to +0.4), not told from nothing.")
		require.NotContains(t, out, "feet\" and", "the answer is that of one plan")
		require.NotContains(t, out, "%!")
	}
	require.Empty(t, asks.FindAllString(sheetHTML(t, s), -1))
	require.NotRegexp(t, `https?:`, sheetHTML(t, s))
}

// What is not among the three things is named, with what it is worth if that is told.
func TestSheetAlso(t *testing.T) {
	p := paged(t, plan("hands", 1, "punches", 4))
	many := &tactics.Plan{Name: "hands"}
	for _, what := range []string{"punches", "step_back", "kicks", "hand_fight"} {
		many.Rules = append(many.Rules, tactics.Rule{Name: "more " + what, At: tactics.Initiate, Multiples: []tactics.Multiple{{What: what, By: 2}}})
	}
	require.Len(t, p.Things(many), 4)
	worths := []Worth{{Mean: 1, Low: .5, High: 1.5, Resolved: study.Resolved}, {Mean: -1, Low: -1.5, High: -.5, Resolved: study.Resolved}, {Mean: 2, Low: 1, High: 3, Resolved: study.Resolved},
		{Mean: 3, Low: 2, High: 4, Resolved: study.Resolved}}
	s := NewSheet(p.Comparison, 1, many, p.Trace, worths)
	require.Len(t, s.Things, 3)
	require.Len(t, s.Also, 1)
	require.Regexp(t, `^more [a-z_]+ \(worth [+−][123]\.0 bouts in 100 \(.* to .*\)\)$`, s.Also[0])
	worths = []Worth{{Resolved: study.Unresolved}, {Resolved: study.Unresolved}, {Resolved: study.Unresolved}, {Resolved: study.Unresolved}}
	require.Regexp(t, `^more [a-z_]+$`, NewSheet(p.Comparison, 1, many, p.Trace, worths).Also[0])
}

// Names are words and nothing else.
func TestSheetOfHostileNames(t *testing.T) {
	const bad = `<script>alert(1)</script>"><img src=x onerror=alert(2)>`
	p := paged(t, plan("hands", 1, "punches", 4))
	p.Fighter, p.Opponent, p.Rules, p.Again = bad, bad, bad, bad
	evil := plan("hands", 1, "punches", 4)
	evil.Rules[0].Name = bad
	s := NewSheet(p.Comparison, 1, evil, p.Trace, nil)
	s.Notes = []string{bad}
	out := sheetHTML(t, s)
	require.NotContains(t, out, "<script")
	require.NotContains(t, out, "<img")
	require.Greater(t, strings.Count(out, "&lt;script&gt;"), 5)
}

// A plan that changes nothing is said to, has no sign, and nothing is claimed of what it moves.
func TestSheetOfNothing(t *testing.T) {
	nothing := &tactics.Plan{Name: "no change", Adherence: tactics.Adherence{Share: 1}, Rules: []tactics.Rule{
		{Name: "as always", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "punches", By: 1}}}}}
	p := paged(t, nothing)
	out := strings.Join(strings.Fields(sheetText(t, NewSheet(p.Comparison, 1, nothing, p.Trace, nil))), " ")
	require.Contains(t, out, "No change: no bout went differently; the plan changes nothing that matters here.")
	require.Contains(t, out, "Nothing that a corner can count by 0:30 of the first round tells whether it works")
	require.NotContains(t, out, "Not being done")
	require.Contains(t, out, "not told from no difference")
	require.Contains(t, out, "(not told apart)")
	require.Contains(t, out, "Back to as usual: no other plan was compared.")
}

// What to change to is the best of the others that is told to be better, and never one that is not.
func TestThen(t *testing.T) {
	p := paged(t, plan("hands", .8, "punches", 2), plan("feet", .6, "kicks", 3), plan("legs", .6, "low_kicks", 3))
	set := func(name string, mean float64, how study.Resolution) {
		d := p.find(name, "win")
		d.Mean, d.SignResolved = mean, how
	}
	set("feet", .03, study.Resolved)
	set("legs", .09, study.Unresolved)
	require.Contains(t, p.then(1), `Change to "feet": +3.0 bouts in 100 against as usual`)
	set("legs", .04, study.MeanResolved)
	require.Contains(t, p.then(1), `Change to "legs": +4.0`)
	require.Contains(t, p.then(1), "not for every possible truth")
	set("feet", -.03, study.Resolved)
	set("legs", .09, study.Unresolved)
	require.Contains(t, p.then(1), `Back to as usual: no other plan that was compared ("feet" and "legs") is told to be better`)
}

// A sign is taken at the count that tells the two plans apart best, worked out by hand: at least 2 is seen in 60 of 100 bouts as usual and in
// 20 with the plan, at least 1 in 80 and 50, at least 3 in 30 and 0.
func TestBestSign(t *testing.T) {
	trace := &study.TraceResult{Plans: []study.PlanTrace{{Signs: make([]study.SignCounts, len(study.Signs))}, {Signs: make([]study.SignCounts, len(study.Signs))}}}
	require.Nil(t, bestSign(trace, 1, working))
	at := -1
	for i := range study.Signs {
		if study.Signs[i].Name == "kicks_against" {
			at = i
		}
	}
	trace.Plans[0].Signs[at], trace.Plans[1].Signs[at] = study.SignCounts{20, 20, 30, 30}, study.SignCounts{50, 30, 20}
	s := bestSign(trace, 1, working)
	require.Equal(t, 2, s.n)
	require.InDelta(t, .4, s.gap(), 1e-12)
	c := &Comparison{Fighter: "red-fox", Opponent: "newt"}
	require.Equal(t, "Newt has thrown a kick 2 times or more", c.seen(s))
	require.Equal(t, "So it is in 60 of 100 bouts as usual, in 20 with the plan.", s.often("as usual"))
	require.Nil(t, bestSign(trace, 1, following), "it shows an effect")
	trace.Plans[0].Signs[at], trace.Plans[1].Signs[at] = trace.Plans[1].Signs[at], trace.Plans[0].Signs[at]
	require.Nil(t, bestSign(trace, 1, working), "that he kicks as rarely as usual is no bad sign")
	for i := range study.Signs {
		if study.Signs[i].Name == "head_strikes_landed" {
			trace.Plans[0].Signs[i], trace.Plans[1].Signs[i] = trace.Plans[0].Signs[at], trace.Plans[1].Signs[at]
		}
	}
	s = bestSign(trace, 1, working)
	require.Equal(t, "Red fox has not landed clean to the head 2 times", c.seen(s))
	require.Equal(t, "So it is in 80 of 100 bouts as usual, in 40 with the plan.", s.often("as usual"))
}

// A plan that loses bouts is said to, before anything that it asks for.
func TestSheetOfABadPlan(t *testing.T) {
	hands := plan("hands", 1, "punches", 4)
	p := paged(t, hands)
	win := p.find("hands", "win")
	win.Mean, win.SignResolved = -.1, study.MeanResolved
	out := sheetText(t, NewSheet(p.Comparison, 1, hands, p.Trace, nil))
	require.Less(t, strings.Index(out, "On average it loses bouts: do not take it."), strings.Index(out, "\nDO\n"))
	win.SignResolved = study.Unresolved
	s := NewSheet(p.Comparison, 1, hands, p.Trace, nil)
	require.Contains(t, sheetText(t, s), "Nothing shows that it is better than as usual.")
	require.Contains(t, sheetHTML(t, s), "Nothing shows that it is better than as usual.")
	win.Mean, win.SignResolved = .1, study.MeanResolved
	require.Empty(t, NewSheet(p.Comparison, 1, hands, p.Trace, nil).Warning)
}

// Rules are said as a coach would; every named rule can be.
func TestRuleWords(t *testing.T) {
	for want, rule := range map[string]*tactics.Rule{
		"when nothing is on, at kicking range or in the pocket, never step back, hand-fight 3 times as often": {At: tactics.Initiate, When: map[tactics.Fact][]int{tactics.FactRange: {3, 1}},
			Multiples: []tactics.Multiple{{What: "step_back", By: 0}, {What: "hand_fight", By: 3}}},
		"when something moves, from the second round on, the hip, believe it half as readily": {At: tactics.Believe, When: map[tactics.Fact][]int{tactics.FactRound: {1, 2, 3, 4}, tactics.FactCue: {1}},
			Multiples: []tactics.Multiple{{What: "real", By: .5}}},
		"straight after an own act, last did: a punch or kick, own last attack missed or was blocked, no kicks": {At: tactics.Continue,
			When: map[tactics.Fact][]int{tactics.FactLastAct: {4, 5}, tactics.FactLastResult: {1, 2}}, Multiples: []tactics.Multiple{{What: "kicks", By: 0}}},
		"when it comes, only guard high or parry":             {At: tactics.Defend, Only: []string{"guard_high", "parry"}},
		"straight after an own act, never stop after one act": {At: tactics.Continue, Multiples: []tactics.Multiple{{What: "none", By: 0}}},
	} {
		require.Equal(t, want, ruleWords(rule))
	}
	for _, name := range plans.Names() {
		data, err := plans.Read(name)
		require.NoError(t, err)
		p, err := tactics.Read(name, data)
		require.NoError(t, err)
		for i := range p.Rules {
			words := ruleWords(&p.Rules[i])
			require.NotRegexp(t, `_|%!|, ,|^,|,$`, words, name)
			require.Greater(t, len(words), 20, name)
		}
	}
}

// Every measure that shows a word is one, and words are the vocabulary's.
func TestShowing(t *testing.T) {
	words := map[string]bool{}
	for at := range tactics.NumPoints {
		for _, w := range tactics.Words(at) {
			words[w] = true
		}
	}
	for word, measure := range showing {
		require.GreaterOrEqual(t, study.MeasureNamed(measure), 0, measure)
		require.True(t, words[word], word)
	}
}
