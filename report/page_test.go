package report

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

// paper is a comparison with what its page needs beside it.
type paper struct {
	*Comparison
	Trace *study.TraceResult
	Page  *Page
}

// paged is a page of short bouts, with a trace.
func paged(t *testing.T, plans ...*tactics.Plan) *paper {
	t.Helper()
	c := compared(t, plans...)
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	rules.Rounds, rules.RoundSeconds = 1, 60
	q := &study.Trace{Meeting: study.Meeting{Fighter: fighter.Population(c.Fighter, fighter.AverageBody()), Opponent: fighter.Population(c.Opponent, fighter.AverageBody()),
		Rules: rules, Seed: c.Seed}, Plans: append([]*tactics.Plan{{Name: "as usual"}}, plans...), Draws: 40, Bouts: 4, Level: .8}
	trace, err := q.Run(context.Background())
	require.NoError(t, err)
	c.Watched = trace
	return &paper{c, trace, &Page{Result: c, Checklist: Checklist(&Header{Again: c.Again}, nil)}}
}

func htmlOf(t *testing.T, p *paper) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, p.Page.HTML(&b))
	return b.String()
}

// audited is an audit of one fighter, in which low kicks are off.
func audited(name string) *Audit {
	a := &Audit{Audit: calibrate.Audit{Draws: 500, Bouts: 2, Rounds: 6, HeldBack: "bout"}}
	a.Verdicts = []calibrate.AuditVerdict{{Group: calibrate.AuditActs, Verdict: calibrate.DoesNot, Worst: []string{name + " low kicks above"}, Looked: 1, Telling: 1},
		{Group: calibrate.AuditBites, Verdict: calibrate.TooLittle, Looked: 4}}
	a.Totals = []calibrate.AuditTotal{{Fighter: name, Group: calibrate.AuditActs, Figure: "low kicks", Coded: 30, Forecast: infer.Interval{Low: 10, High: 20}, Fewer: .99, AtMost: .99}}
	return a
}

// asks finds whatever would make a browser ask for something, or run something.
var asks = regexp.MustCompile(`(?i)<(script|iframe|img|object|embed|form|base|audio|video|meta http-equiv="refresh)|\son\w+\s*=|@import|url\(|\ssrc=|href="(?:[^d]|d[^a])`)

// The page stands alone, in the order in which a coach asks, and every figure has all that it needs.
func TestPageStandsAlone(t *testing.T) {
	p := paged(t, plan("hands", .8, "punches", 2))
	out := htmlOf(t, p)
	require.Empty(t, asks.FindAllString(out, -1))
	require.NotContains(t, out, "http:")
	require.NotContains(t, out, "https:")
	require.NotContains(t, out, "ZgotmplZ")
	require.NotContains(t, out, "NaN")
	require.NotContains(t, out, "%!")
	require.Contains(t, out, `content="default-src 'none'`)
	at := 0
	for _, want := range []string{"Of 100 such bouts Red fox wins", `id="of-100"`, `id="plan-1-margin"`, `id="plan-1-doubt"`, `id="plan-1-ends"`, `id="plan-1-price"`, `id="plan-1-way"`,
		`id="plan-1-range"`, `id="plan-1-floor"`, `id="little-tape"`, `id="checks"`, `id="checklist"`, "STRESS-DES", `id="cautions"`, "Medical clearance", `id="again"`, "whatbout compare"} {
		next := strings.Index(out[at:], want)
		require.GreaterOrEqual(t, next, 0, want)
		at += next
	}
	seen := map[string]bool{}
	for _, s := range p.Page.sections(&Header{}) {
		require.False(t, seen[s.ID], s.ID)
		seen[s.ID] = true
		for _, f := range s.Figures {
			require.False(t, seen[f.ID], f.ID)
			seen[f.ID] = true
			require.NotEmpty(t, f.Title)
			require.Regexp(t, `\.$`, f.Finding, f.ID)
			require.NotRegexp(t, `NaN|Inf|%!|\+0\.00? points`, f.Finding, f.ID)
			require.NotEmpty(t, f.Table.Rows, f.ID)
			for _, row := range f.Table.Rows {
				require.Len(t, row, len(f.Table.Head), f.ID)
			}
			require.Contains(t, out, `download="`+f.ID+`.csv" href="data:text/csv`)
		}
	}
	require.Len(t, seen, 13+11) // sections and figures
}

// Two plans have parts of their own each; without a trace the rest still stands, and it is said.
func TestPageOfTwoPlansAndNoTrace(t *testing.T) {
	p := paged(t, plan("hands", .8, "punches", 2), plan("feet", .6, "kicks", 3))
	out := htmlOf(t, p)
	for _, want := range []string{"Hands: the price", "Feet: the price", `id="plan-2-floor"`, `id="floor-2"`} {
		require.Contains(t, out, want)
	}
	p.Watched, p.Page.Checks = nil, audited("mole")
	out = htmlOf(t, p)
	require.NotContains(t, out, `id="floor-1"`)
	require.Contains(t, out, "No bouts were watched closely")
	require.Contains(t, out, `id="calibration-checks"`)
	require.Contains(t, out, "Does not fit: farthest off: mole low kicks above (30, expected 10 to 20)")
	require.NotContains(t, out, "No check of the calibration")
}

// Names are words and nothing else, wherever they stand.
func TestPageOfHostileNames(t *testing.T) {
	const bad = `<script>alert(1)</script>"><img src=x onerror=alert(2)>&'`
	p := paged(t, plan("hands", .8, "punches", 2))
	p.Fighter, p.Opponent, p.OpponentPlan, p.Rules, p.Again = bad, bad, bad, bad, bad
	p.Plans[1].Intent = bad
	for i := range p.Evidence {
		p.Evidence[i].Fighter = bad
		p.Evidence[i].Skills = []string{bad}
	}
	for i := range p.Differences {
		p.Differences[i].Plan = bad
	}
	for i := range p.Full {
		p.Full[i].Plan = bad
	}
	p.Plans[1].Name = bad
	p.PriorOnly = []study.PriorOnly{{Plan: bad, Rule: bad, Act: bad, Where: []string{bad}}}
	p.Warnings, p.Inputs = []string{bad}, []Input{{bad, bad}}
	p.Page.Checks = audited(bad)
	p.Page.Checklist = []ChecklistRow{{Item: bad, Text: bad}}
	out := htmlOf(t, p)
	in := xml.NewDecoder(strings.NewReader(out))
	in.Strict, in.AutoClose, in.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	for {
		token, err := in.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		require.NotContains(t, []string{"script", "img"}, strings.ToLower(e.Name.Local))
		for _, a := range e.Attr {
			require.False(t, strings.HasPrefix(strings.ToLower(a.Name.Local), "on"), a.Name.Local)
		}
	}
	require.Greater(t, strings.Count(out, "&lt;script&gt;"), 20)
}

// Where nothing differs, nothing is said to; where the sign cannot be told, that is said; where it is against the plan, that too.
func TestPageFindingsAreTrue(t *testing.T) {
	p := paged(t, &tactics.Plan{Name: "no change", Adherence: tactics.Adherence{Share: 1}})
	out := htmlOf(t, p)
	for _, want := range []string{"No bout went differently", "exactly as many", "there is nothing to doubt", "No ending moves by more", "Nothing that is paid differs",
		"Nothing here differs", "In no range does the share", "stands in the same places under both"} {
		require.Contains(t, strings.ReplaceAll(out, "&#39;", "'"), want)
	}
	require.NotContains(t, out, "What changes most")
	p = paged(t, plan("hands", .8, "punches", 2))
	win := p.find("hands", "win")
	win.Mean, win.Simulation.Low, win.Simulation.High, win.SignResolved = -.05, -.06, -.04, study.Resolved
	require.Contains(t, p.lead("hands"), "\u22125.0 bouts in 100 (simulation leaves \u22126.0 to \u22124.0), and all doubt leaves that sign")
	require.Contains(t, p.iconFinding(), "5.0 fewer with")
	win.SignResolved = study.Unresolved
	require.Contains(t, p.lead("hands"), "do not tell from no difference")
	require.Contains(t, p.iconFinding(), "not told from as many (\u22125.0)")
	win.SignResolved = study.MeanResolved
	require.Contains(t, p.lead("hands"), "lies on the other side of none")
	require.Contains(t, doubtFinding(win), "on the other side of it")
	for _, x := range prices {
		d := p.find("hands", x.measure)
		d.Mean, d.SignResolved = -1, study.Resolved
	}
	require.Contains(t, p.priceFinding(p.Plans[1]), "Less is taken than usual: 1.0 fewer clean head strikes taken in a bout")
	p.find("hands", "knockdowns_suffered").Mean = .2
	require.Contains(t, p.priceFinding(p.Plans[1]), "It costs 2.0 more knockdowns suffered in ten bouts; against that stand 1.0 fewer")
}
