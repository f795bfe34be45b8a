package report

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

func adjustText(t *testing.T, a *Adjust) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, a.Text(&b))
	for line := range strings.Lines(b.String()) {
		require.LessOrEqual(t, len([]rune(line)), 175, line)
	}
	return b.String()
}

// A result that was played reads the same when it is read back from its JSON.
func TestAdjustReadBack(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	rules.Rounds, rules.RoundSeconds = 1, 60
	plan := func(name string, by float64) *tactics.Plan {
		return &tactics.Plan{Name: name, Adherence: tactics.UsualAdherence, Rules: []tactics.Rule{{Name: "jab", At: tactics.Initiate,
			Multiples: []tactics.Multiple{{What: "jab", By: by}}}}}
	}
	usual := &tactics.Plan{Name: "as usual"}
	q := &study.Adjust{Meeting: study.Meeting{Fighter: fighter.Population("mole", fighter.AverageBody()), Opponent: fighter.Population("newt", fighter.AverageBody()),
		Rules: rules, Seed: 3}, Plans: []*tactics.Plan{usual, plan("jabs", 3), plan("no jabs", 0)}, Replies: []*tactics.Plan{usual, plan("jabs too", 2)},
		Draws: 20, Bouts: 2, Level: .9}
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	a := NewAdjust(q, r)
	a.Version, a.Again = "0", "whatbout adjust"
	shown, err := Rounded(a)
	require.NoError(t, err)
	var once, twice, first, second bytes.Buffer
	require.NoError(t, shown.JSON(&first))
	back, err := Read("a file", first.Bytes())
	require.NoError(t, err)
	require.NoError(t, back.JSON(&second))
	require.Equal(t, first.String(), second.String())
	require.NoError(t, shown.Text(&once))
	require.NoError(t, back.Text(&twice))
	require.Equal(t, once.String(), twice.String())
	var rows bytes.Buffer
	require.NoError(t, back.CSV(&rows))
	require.Len(t, strings.Split(strings.TrimSpace(rows.String()), "\n"), 1+3*2+3+2+1)
	for _, broken := range []string{`{"schema":"whatbout.adjust/1"}`, strings.Replace(first.String(), `"met": [`, `"met": [[],`, 1),
		strings.Replace(first.String(), "head_strikes_absorbed", "hats", 1)} {
		_, err := Read("a file", []byte(broken))
		require.ErrorContains(t, err, "is no whole whatbout.adjust/1")
	}
}

// told2 is a game of two plans a side, with mixtures 6 of 10 and 4 of 10 against one reply.
func told2() *Adjust {
	at := func(x float64) infer.Interval {
		return infer.Interval{Level: .95, Low: x - .02, Centre: x, High: x + .02}
	}
	option := func(name string, share, usual, floor, given float64, reply string) study.Option {
		return study.Option{Name: name, Share: infer.ShareDoubt{Share: infer.Interval{Low: share / 2, Centre: share, High: 1}}, As: infer.Range{Low: share / 2, High: 1},
			Usual: usual, Floor: at(floor), Given: infer.Interval{Low: given / 2, Centre: given, High: 2 * given}, Reply: reply, InTruths: .5, Alone: .1,
			Truths: infer.Interval{Low: 0, High: 1}}
	}
	met := func(x float64) study.Met { return study.Met{Mean: x, Simulation: at(x)} }
	return &Adjust{Schema: AdjustSchema, Level: .95, Rules: "mma-3x5", Fighter: "mole", Opponent: "newt", Slack: .005, Draws: 20, Bouts: 2, Played: 160, Saved: 1.5,
		Yours:  []study.Option{option("as usual", .4, .55, .44, .06, "jabs"), option("walk", .6, .46, .46, .04, "as usual")},
		Theirs: []study.Option{option("as usual", 1, .45, .45, .02, "as usual"), option("jabs", 0, .5, .4, .1, "walk")},
		Met:    [][]study.Met{{met(.55), met(.44)}, {met(.46), met(.6)}}, Value: at(.5), Again: "whatbout adjust", Tried: [2]float64{.49, .51}, Usual: .496, Luck: .45}
}

// What a mixture means stands in words that a coach can act on.
func TestAdjustWordsOfAMixture(t *testing.T) {
	a := told2()
	text := adjustText(t, a)
	for _, want := range []string{"No single plan is safe once they know it. Be unpredictable: draw by lot before the bout",
		"  as usual in 4 of 10 (40 %)\n  \"walk\" in 6 of 10 (60 %)\n", "with a die and not by feel", "you win at least 50.0 of 100 bouts on average (simulation 48.0 to 52.0)",
		"If they know that it is as usual and answer with \"jabs\", it falls to 44.0.", "If they fight as usual all the same, you win 49.6 with this. Most would then be won with as usual: 55.0; but once they answer\nwith \"jabs\" it falls to 44.0.",
		"would take 1.5 times the bouts", "Tried on draws that they were not\npicked on, your mixture gets at least 49.0 and theirs holds you to 51.0",
		"a standard deviation of 45"} {
		require.Contains(t, text, want)
	}
	require.NotContains(t, text, "Too close to call")

	// A plan that gives hardly anything away is good enough; where none is shown to give anything away, that is said.
	a.Yours[1].Given = infer.Interval{Centre: .003, High: .01}
	a.Yours[0].Given.Low = 0
	text = adjustText(t, a)
	require.Contains(t, text, "Take \"walk\", every time, is good enough: even if they know it and answer with as usual, you win 46.0 of 100 bouts")
	require.Contains(t, text, "Too close to call. None of your plans is shown to give anything away")
}

// Degenerate games are named: a saddle point, a plan that changes nothing, one that is never better, mixtures that are as good, one that is barred.
func TestAdjustWordsOfOddGames(t *testing.T) {
	a := told2()
	a.Saddle, a.Several = true, [2]bool{false, true}
	a.Yours[0].Share.Share.Centre, a.Yours[1].Share.Share.Centre = 0, 1
	a.Yours[0].Beaten, a.Yours[0].Told = "walk", true
	a.Theirs[1].Beaten = "as usual"
	text := adjustText(t, a)
	for _, want := range []string{"Take \"walk\", every time: they may know it.", "their best answer is as usual.\nNeither side gains by leaving these two (a saddle point).",
		"Your plan as usual is worse than \"walk\" whatever the other side does.", "though these bouts do not tell them apart everywhere: their \"jabs\" (than as usual).",
		"Many of their mixtures are exactly as good"} {
		require.Contains(t, text, want)
	}
	a = told2()
	a.Yours[0].Share.Share.Centre, a.Yours[1].Share.Share.Centre = 1, 0
	a.Yours[1].Barred, a.Saved = true, 0
	a.Yours[1].Prices = []study.Price{{Outcome: "knockdowns_suffered", Usual: .4, Difference: .1, Stand: study.Raises}}
	a.Theirs[1].Same = "as usual"
	text = adjustText(t, a)
	for _, want := range []string{"Fight as usual, every time", "Kept out by what they cost", "raises knockdowns suffered by +0.10 on 0.40 a bout", "kept out",
		"Their plan \"jabs\" changes nothing here against as usual: every bout ended the same.", "no plan differs\nfrom as usual in any bout"} {
		require.Contains(t, text, want)
	}
	a.AcceptHarm, a.Yours[1].Barred = true, false
	require.True(t, strings.HasPrefix(adjustText(t, a), "HARM ACCEPTED (--accept-harm)"))
}
