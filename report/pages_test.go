package report

import (
	"bytes"
	"context"
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/report/chart"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

// brief is a bout of a minute.
func brief(t *testing.T) study.Meeting {
	t.Helper()
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	rules.Rounds, rules.RoundSeconds = 1, 60
	return study.Meeting{Fighter: fighter.Population("red-fox", fighter.AverageBody()), Opponent: fighter.Population("newt", fighter.AverageBody()), Rules: rules, Seed: 3}
}

func swept(t *testing.T) *Sweep {
	t.Helper()
	d, err := study.DialNamed("bites.hip")
	require.NoError(t, err)
	m := brief(t)
	q := &study.Sweep{Meeting: m, Plans: []*tactics.Plan{nil, plan("hands", .8, "punches", 2)}, Dial: d, Whose: 1, At: []float64{0, 5, 10}, Draws: 12, Bouts: 3, Level: .9}
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	s := NewSweep(q, r)
	s.Again = "whatbout sweep"
	return s
}

// toCode is what to code next, of worths that are set: the study's own tests hold how they come about.
func toCode() *Next {
	worth := func(low, gain, high float64) study.Worth { return study.Worth{Gain: gain, Low: low, High: high} }
	n := &Next{Schema: NextSchema, Draws: 1300, Bouts: 2, Played: 5200, Level: .95, Rules: "mma-3x5", Fighter: "red-fox", Opponent: "newt", OpponentPlan: "as usual", Plans: []string{"as usual", "hands"}, Counts: "win", Unit: "bouts in 100", Means: []float64{.5, .53},
		Differences: []study.Doubtful{{Mean: .03, Simulation: .01, AllDoubt: .06}}, Everything: worth(.002, .01, .02), AllTape: worth(.001, .004, .01), Explained: .4, CoderMinutes: 12, Tolerance: .001, Again: "whatbout next",
		Groups: []study.GroupWorth{{Group: "timing, power, chin, stamina", Of: "newt", Doubt: "assumption", Worth: worth(0, .002, .007)}, {Group: "mechanics", Doubt: "assumption", Worth: worth(0, 0, .001)}}}
	for _, minutes := range []float64{6, 30} {
		n.Tape = append(n.Tape, study.TapeWorth{Of: "newt", Zone: "pocket", Minutes: minutes, Share: .2, Worth: worth(.0001, minutes/10000, .005)}, study.TapeWorth{Of: "red-fox", Minutes: minutes, Share: 1, Worth: worth(0, 0, .004)})
	}
	return n
}

func tornadoOf() *Tornado {
	e := func(mean float64) study.Estimate {
		return study.Estimate{Mean: mean, Simulation: infer.Interval{Low: mean - .02, High: mean + .02}, AllDoubt: infer.Interval{Low: mean - .1, High: mean + .1}, Resolved: true}
	}
	bar := func(name string, by float64, told bool) study.Bar {
		return study.Bar{MovedFigure: study.MovedFigure{Figure: name, Of: "newt", Plain: "what newt does", Unit: "of ten", High: 10, Source: "tape"}, AtLow: e(0), AtHigh: e(by), Effect: e(by), Told: told}
	}
	return &Tornado{Schema: TornadoSchema, Draws: 60, Bouts: 4, Played: 1000, Level: .95, Rules: "mma-3x5", Fighter: "red-fox", Opponent: "newt", OpponentPlan: "as usual", Plan: "hands", Against: "as usual", Counts: "win",
		Unit: "bouts in 100", Bars: []study.Bar{bar("bites.hip", .05, true), bar("chin", -.01, false)}, LeftOut: []string{"rate.spin: never done"}, Again: "whatbout tornado"}
}

// hangsOf is what a difference hangs on: by shares, or by a screening.
func hangsOf(screening bool) *HangsOn {
	h := &HangsOn{Schema: HangsOnSchema, Draws: 200, Bouts: 4, Played: 1600, Level: .95, Rules: "mma-3x5", Fighter: "red-fox", Opponent: "newt", OpponentPlan: "as usual", Plan: "hands", Against: "as usual",
		Counts: "win", Unit: "bouts in 100", SD: .05, SDTold: true, Again: "whatbout hangs-on"}
	h.Difference = study.Estimate{Mean: .03, Simulation: infer.Interval{Low: .01, High: .05}}
	for i, name := range []string{"newt's chin", "how well the plan is followed"} {
		p := study.Hang{Strand: study.Strand{Name: name, Doubt: []string{"assumption", "tape"}[i]}, Figures: 2}
		if screening {
			p.Effect = &infer.Elementary{Size: .02 / float64(i+1), SizeSE: .005, Told: i == 0}
		} else {
			p.Share = &infer.Ratio{Value: .6 / float64(i+1), Low: .4 - .4*float64(i), High: .8, Told: true}
		}
		h.Parts = append(h.Parts, p)
	}
	return h
}

// What a difference hangs on is named where it is told; a page of a screening has sizes instead of shares.
func TestHangsOnPages(t *testing.T) {
	p, err := PageOf(hangsOf(false), nil)
	require.NoError(t, err)
	sound(t, p)
	require.Contains(t, p.Result.Answer().Sentence, "newt's chin, 60 % (40 to 80)")
	require.Contains(t, hangsOf(false).partsFigure().Finding, "Told from none: 1 of 2 parts.")
	p, err = PageOf(hangsOf(true), nil)
	require.NoError(t, err)
	require.Contains(t, sound(t, p), "size of the change, bouts in 100")
	require.Equal(t, "What moves it most: newt's chin.", p.Result.Answer().Sentence)
	none := hangsOf(true)
	none.Difference = study.Estimate{}
	require.Contains(t, none.Answer().Sentence, "nothing hangs on anything")
}

// everyResult is one of each kind that is kept, but for records, which hold another.
func everyResult(t *testing.T) map[string]Paged {
	t.Helper()
	c := compared(t, plan("hands", .8, "punches", 2))
	a := audited("red-fox")
	a.Schema, a.Again = AuditSchema, "whatbout audit"
	a.Landing = &calibrate.AuditLanding{Curve: []calibrate.AuditBin{{Strikes: 40, Chance: .3, Landed: .5, Low: .2, High: .4}}}
	a.Against = []calibrate.AuditRival{{HeldBack: "bout", Rival: calibrate.RivalLast, Score: calibrate.ScoreLog, Group: "all", Verdict: calibrate.Beats}}
	return map[string]Paged{SchemaOfComparison: c, SchemaOfChoice: chose(t, "win", false, plan("hands", .8, "punches", 2), plan("feet", .6, "kicks", 3)), NextSchema: toCode(), SweepSchema: swept(t),
		TornadoSchema: tornadoOf(), CreditSchema: creditOf(t, rulesOf(3), 60), AdjustSchema: told2(), HangsOnSchema: hangsOf(false), AuditSchema: a}
}

// sound holds a page against the laws of all pages.
func sound(t *testing.T, p *Page) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, p.HTML(&b))
	out := b.String()
	require.Empty(t, asks.FindAllString(out, -1))
	for _, never := range []string{"http:", "https:", "ZgotmplZ", "NaN", "%!", "+Inf", "<script"} {
		require.NotContains(t, out, never)
	}
	a := p.Result.Answer()
	require.Regexp(t, `[.?]$`, a.Sentence)
	require.NotEmpty(t, a.Title)
	require.Regexp(t, `\.$`, a.Played)
	for _, lead := range a.Leads {
		require.NotRegexp(t, `\.\.$|  |\n`, lead)
	}
	h, err := p.header()
	require.NoError(t, err)
	seen := map[string]bool{}
	for _, s := range p.sections(&h) {
		require.False(t, seen[s.ID], s.ID)
		seen[s.ID] = true
		require.NotEmpty(t, s.Heading)
		for _, f := range s.Figures {
			require.False(t, seen[f.ID], f.ID)
			seen[f.ID] = true
			soundFigure(t, &f)
			require.Contains(t, out, `download="`+f.ID+`.csv" href="data:text/csv`)
		}
	}
	require.True(t, seen["cautions"] && seen["again"])
	return out
}

func soundFigure(t *testing.T, f *chart.Figure) {
	t.Helper()
	require.NotEmpty(t, f.Title, f.ID)
	require.Regexp(t, `\.$`, f.Finding, f.ID)
	require.NotRegexp(t, `NaN|Inf|%!|\.\.$`, f.Finding, f.ID)
	require.NotEmpty(t, f.Table.Rows, f.ID)
	for _, row := range f.Table.Rows {
		require.Len(t, row, len(f.Table.Head), f.ID)
	}
	require.Contains(t, string(f.Wide), "<svg", f.ID)
	require.Contains(t, string(f.Narrow), "<svg", f.ID)
}

// Every kind of result that is kept has a page, and that of the result read back is the same.
func TestEveryResultHasAPage(t *testing.T) {
	results := everyResult(t)
	for schema := range kinds {
		if schema == RecordSchema {
			continue
		}
		t.Run(schema, func(t *testing.T) {
			r, ok := results[schema]
			require.True(t, ok, "a kind of result that this test does not know")
			p, err := PageOf(r, nil)
			require.NoError(t, err)
			out := sound(t, p)
			var kept, again bytes.Buffer
			require.NoError(t, r.JSON(&kept))
			back, err := Read("kept", kept.Bytes())
			require.NoError(t, err)
			p, err = PageOf(back, nil)
			require.NoError(t, err)
			require.NoError(t, p.HTML(&again))
			require.Equal(t, out, again.String())
			require.Equal(t, schema != AuditSchema, strings.Contains(out, "No check of the calibration came with this"))
			require.Equal(t, schema != AuditSchema, strings.Contains(out, "STRESS-DES"))
		})
	}
}

// A choice is never without its harm line: what is kept out is said, drawn and told why; what is accepted heads the page.
func TestChoicePageShowsHarm(t *testing.T) {
	c := chose(t, "win", false, plan("hands", .8, "punches", 2), plan("feet", .6, "kicks", 3))
	p := &c.Plans[1]
	p.Barred, p.Gain.Mean, p.Prices[0].Stand, p.Prices[0].Difference = true, .2, study.Raises, 1.25
	c.Leader, c.AsGood, c.Verdict = "as usual", []string{"as usual"}, study.Settled
	out := sound(t, &Page{Result: c})
	at := 0
	for _, want := range []string{"Stay as usual", "Kept out by what it costs", `id="frontier"`, "and is kept out: it raises clean head strikes absorbed", "costs more", "harm line", "kept out by its price", "The rule: kept out"} {
		next := strings.Index(out[at:], want)
		require.GreaterOrEqual(t, next, 0, want)
		at += next
	}
	require.NotContains(t, out, `class="alarm"`)
	c.AcceptHarm, p.Barred, c.Leader = true, false, "hands"
	out = sound(t, &Page{Result: c})
	require.Less(t, strings.Index(out, `class="alarm">HARM ACCEPTED`), strings.Index(out, "<h1"))
	require.Contains(t, html.UnescapeString(out), "Its price: clean head strikes absorbed +1.25 on")
	require.Contains(t, out, "(raised)")
}

// Where nothing is told, a page of what to code next says so and names the upper end; where something is, it names that.
func TestNextPageFindings(t *testing.T) {
	n := toCode()
	require.Contains(t, n.tapeFinding(), "Most for your time: 6 minutes of Newt in the pocket, which win 0.06 bouts in 100, and at most 0.50.")
	for i := range n.Tape {
		n.Tape[i].Low = 0
	}
	require.Contains(t, n.tapeFinding(), "Of no situation is more tape told to win anything; by the upper ends, 6 minutes of Newt in the pocket could still win 0.50")
	n.Tape = nil
	require.Contains(t, n.tapeFinding(), "No tape wins anything")
}

// Every measure of a sweep has a panel in one of the charts.
func TestSweepPageHasAllMeasures(t *testing.T) {
	seen := map[string]bool{"win": true}
	for _, x := range followsCharts {
		for _, name := range x.measures {
			seen[name] = true
		}
	}
	for _, m := range study.SweepMeasures {
		require.True(t, seen[m.Name], m.Name)
	}
}

// A sweep's band of all doubt is left out where it is not told apart, and that is said; a record's page holds what its user has said.
func TestSweepPageAndRecord(t *testing.T) {
	s := swept(t)
	for i := range s.Points {
		e := s.Points[i].Outcomes["win"]
		e.Resolved = false
		s.Points[i].Outcomes["win"] = e
	}
	require.Contains(t, string(s.winFigure("win").Wide), "no thin strokes: all doubt is not told")
	var kept bytes.Buffer
	require.NoError(t, s.JSON(&kept))
	r, err := NewRecord(Input{"study.yaml", strings.Repeat("a", 64)}, "whatbout sweep", kept.Bytes(), map[string]string{"purpose": "To see whether biting matters."})
	require.NoError(t, err)
	p, err := PageOf(r, audited("newt"))
	require.NoError(t, err)
	out := sound(t, p)
	for _, want := range []string{"To see whether biting matters.", "Study study.yaml (sha256 aaaaaaaaaaaa)", "These checks know nothing of Red fox.", `id="curve-1"`, `id="contrast-1"`} {
		require.Contains(t, out, want)
	}
}

// Hostile names stay words on every page.
func TestPagesOfHostileNames(t *testing.T) {
	const bad = `<script>alert(1)</script>"><img src=x onerror=alert(2)>&'`
	c := chose(t, "win", false, plan(bad, .8, "punches", 2))
	c.Fighter, c.Again, c.Warnings, c.Ledger.Plan = bad, bad, []string{bad}, bad
	n := toCode()
	n.Plans[1], n.Tape[0].Of, n.Groups[0].Group = bad, bad, bad
	s := swept(t)
	s.Plan, s.Others[0].Plan, s.Contrast[0].Plan, s.Figure.Plain, s.Figure.Unit = bad, bad, bad, bad, bad
	d := tornadoOf()
	d.Bars[0].Figure, d.Bars[0].Plain, d.Plan = bad, bad, bad
	for _, r := range []Paged{c, n, s, d} {
		out := htmlOf(t, &paper{Page: &Page{Result: r, Checks: audited(bad)}})
		require.NotContains(t, out, "<script")
		require.NotContains(t, out, "<img")
		require.Contains(t, out, "&lt;script&gt;")
	}
}
