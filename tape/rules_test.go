package tape

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// MMA: Unified Rules of MMA (Association of Boxing Commissions, approved 2 Aug 2016): 3 rounds of 5 minutes, title bouts 5, a minute
// of rest, a circle or at least eight equal sides, 20 to 32 ft across. Boxing: 16 to 24 ft inside the ropes (Md. 09.14.05.01),
// 3-minute rounds, a minute of rest (Ohio 3773-2-03); kickboxing rings as in boxing (Md.), kickboxing rounds: common
// practice, no source.
func TestPublishedRules(t *testing.T) {
	const foot = .3048 // m, exact
	for name, want := range map[string]struct {
		rounds, seconds int
		low, high       float64 // ft
		ground          bool
	}{
		"mma-3x5": {3, 300, 20, 32, true}, "mma-5x5": {5, 300, 20, 32, true},
		"kickboxing-3x3": {3, 180, 16, 24, false}, "boxing-3x3": {3, 180, 16, 24, false},
	} {
		r, err := RuleSetNamed(name)
		require.NoError(t, err)
		require.Equal(t, want.rounds, r.Rounds, name)
		require.Equal(t, want.seconds, r.RoundSeconds, name)
		require.Equal(t, 60, r.RestSeconds, name)
		require.GreaterOrEqual(t, r.Area.Diameter, want.low*foot, name)
		require.LessOrEqual(t, r.Area.Diameter, want.high*foot, name)
		require.Equal(t, want.ground, r.Ground, name)
		require.Equal(t, want.ground, r.Allowed[MoveShoot], name)
		require.Equal(t, !want.ground, r.Count, name)
		if want.ground {
			require.True(t, r.Area.Shape == "circle" || r.Area.Sides >= 8, name)
		}
	}
	require.Len(t, RuleSetNames(), 4)
}

// Common practice, no source: who boxes does not kick, and who kickboxes does not wrestle.
func TestForbiddenMoves(t *testing.T) {
	boxing, err := RuleSetNamed("boxing-3x3")
	require.NoError(t, err)
	kicks, err := RuleSetNamed("kickboxing-3x3")
	require.NoError(t, err)
	for m := range NumMoves {
		a := m.Act()
		if a >= FrontKick && a <= Elbow || a.IsTakedown() {
			require.False(t, boxing.Allowed[m], m)
		}
		if a >= FrontKick && a <= Knee || a == Jab || a == Cross {
			require.True(t, kicks.Allowed[m], m)
		}
		require.Equal(t, !a.IsTakedown() && a != Elbow && a != GroundStrike && a != Submission, kicks.Allowed[m], m)
	}
	require.True(t, boxing.Allowed[MoveJab])
}

// A caller who changes a rule set changes nobody else's.
func TestRuleSetNamedCopies(t *testing.T) {
	r, err := RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	r.Rounds, r.Allowed[MoveJab] = 9, false
	again, err := RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	require.Equal(t, 3, again.Rounds)
	require.True(t, again.Allowed[MoveJab])
	_, err = RuleSetNamed("mma")
	require.ErrorContains(t, err, "mma-3x5, mma-5x5")
	data, err := RuleSetFile("mma-5x5")
	require.NoError(t, err)
	r, err = ReadRuleSet("x", data)
	require.NoError(t, err)
	require.Equal(t, 5, r.Rounds)
}

func drawRuleSet(t *rapid.T) *RuleSet {
	r := &RuleSet{Name: drawText(t, "name"), Rounds: rapid.IntRange(1, 15).Draw(t, "rounds"),
		RoundSeconds: rapid.IntRange(1, 3600).Draw(t, "seconds"), RestSeconds: rapid.IntRange(0, 3600).Draw(t, "rest"),
		Area: drawArea(t), Clinch: rapid.Bool().Draw(t, "clinch"), Ground: rapid.Bool().Draw(t, "ground"),
		Count: rapid.Bool().Draw(t, "count"), MaxKnockdowns: rapid.IntRange(0, 100).Draw(t, "knockdowns")}
	for m := range r.Allowed {
		r.Allowed[m] = Move(m) == NoMove || rapid.Bool().Draw(t, "allowed")
	}
	if r.Clinch {
		r.BreakSeconds = rapid.Float64Range(.5, 3600).Draw(t, "break")
	}
	if r.Ground {
		r.StandUpSeconds = rapid.Float64Range(.5, 3600).Draw(t, "stand up")
	}
	return r
}

func drawArea(t *rapid.T) Area {
	a := Area{Shape: rapid.SampledFrom([]string{"circle", "polygon", "square"}).Draw(t, "shape"), Diameter: rapid.Float64Range(2, 30).Draw(t, "diameter")}
	switch a.Shape {
	case "polygon":
		a.Sides = rapid.IntRange(3, 64).Draw(t, "sides")
	case "square":
		a.Sides = 4
	}
	return a
}

// drawText draws text of the kind that people write in files: any printable characters, quotes and line breaks included.
func drawText(t *rapid.T, label string) string {
	return rapid.StringMatching(`[ -~äöü日\n]{1,12}`).Draw(t, label)
}

func TestRuleSetRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRuleSet(t)
		back, err := ReadRuleSet("r.yaml", WriteRuleSet(r))
		require.NoError(t, err)
		require.Equal(t, r, back)
	})
}

func TestRuleSetFaults(t *testing.T) {
	_, err := ReadRuleSet("r.yaml", []byte(`format: whatbout.rules/2
name: mine
rounds: 0
round_seconds: .nan
rest_seconds: 60
rest_seconds: 30
area: {shape: squar, diameter: -1}
clinch: true
ground: false
break_seconds: 0
stand_up_seconds: 3
count: yes
forbidden: [jabb, none]
scoring: ten
`))
	for _, want := range []string{"r.yaml:1:9:", "r.yaml:3:9:", "r.yaml:4:16:", `r.yaml:6:1: key "rest_seconds" stands twice`, `did you mean "square"?`, "r.yaml:7:32:",
		"r.yaml:10:16:", "r.yaml:11:19: stand_up_seconds without ground", "r.yaml:12:8:", `did you mean "jab"?`, "r.yaml:13:19:", `r.yaml:14:1: unknown key "scoring"`} {
		require.ErrorContains(t, err, want)
	}
	_, err = ReadRuleSet("r.yaml", nil)
	require.ErrorContains(t, err, "empty")
}

func FuzzRuleSet(f *testing.F) {
	for _, name := range RuleSetNames() {
		data, err := RuleSetFile(name)
		require.NoError(f, err)
		f.Add(data)
	}
	f.Add([]byte("a: &a [*a]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := ReadRuleSet("f.yaml", data)
		if err != nil {
			return
		}
		back, err := ReadRuleSet("f.yaml", WriteRuleSet(r))
		require.NoError(t, err)
		require.Equal(t, r, back)
	})
}
