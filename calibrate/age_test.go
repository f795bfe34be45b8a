package calibrate

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tape"
)

// dated gives bouts of the vole with those days.
func dated(t *testing.T, days ...string) []*tape.Coding {
	t.Helper()
	out := simulated(t, truth(), 9, len(days))
	for i, day := range days {
		out[i].Bout.Date = day
	}
	return out
}

// A bout a half-life older weighs one half, two half-lives a quarter: counts and seconds are 1, 1/2 and 1/4 of those of each bout alone, while
// the over-dispersion, which is of rounds and not of what they weigh, stays.
func TestHalfLife(t *testing.T) {
	tapes := dated(t, "2026-01-01", "2025-01-01", "2024-01-02") // 365 and 730 days, since 2024 is a leap year
	days := Ageing{HalfLife: 365}
	r, err := Calibrate(tapes, Options{Age: days})
	require.NoError(t, err)
	plain, err := Calibrate(tapes, Options{})
	require.NoError(t, err)
	jab := fighter.Initiate(fighter.Long, tape.MoveJab)
	weights := []float64{1, .5, .25}
	seen, minutes := 0.0, 0.0
	for i, c := range tapes {
		alone, err := Calibrate([]*tape.Coding{c}, Options{})
		require.NoError(t, err)
		seen += weights[i] * alone.Profiles["vole"].Seen[jab]
		minutes += weights[i] * alone.Evidence["vole"].Minutes
	}
	require.InEpsilon(t, seen, r.Profiles["vole"].Seen[jab], 1e-9)
	e, whole := r.Evidence["vole"], plain.Evidence["vole"]
	require.InEpsilon(t, minutes, e.Weighed, 1e-9)
	require.InEpsilon(t, whole.Minutes, e.Minutes, 1e-9)
	require.InEpsilon(t, whole.Minutes, whole.Weighed, 1e-9)
	require.Equal(t, whole.Rounds, e.Rounds)
	for z := range e.Dispersion {
		require.InDelta(t, whole.Dispersion[z].Factor, e.Dispersion[z].Factor, 1e-9)
		require.Equal(t, whole.Dispersion[z].DF, e.Dispersion[z].DF)
	}
	rows, err := Behind(tapes, Options{Age: days}, "vole", jab)
	require.NoError(t, err)
	require.InEpsilon(t, r.Profiles["vole"].Seen[jab], rows.Count, 1e-9)

	// From a later day all weigh less by the same; with an endless half-life all weigh the same, to rounding.
	later, err := Calibrate(tapes, Options{Age: Ageing{365, "2027-01-01"}})
	require.NoError(t, err)
	require.InEpsilon(t, seen/2, later.Profiles["vole"].Seen[jab], 1e-9)
	endless, err := Calibrate(tapes, Options{Age: Ageing{HalfLife: 1e12}})
	require.NoError(t, err)
	require.InEpsilon(t, plain.Profiles["vole"].Seen[jab], endless.Profiles["vole"].Seen[jab], 1e-6)
}

// A bout without a date matters only when age does; what cannot be weighed is listed, all of it.
func TestNoDate(t *testing.T) {
	tapes := dated(t, "2026-01-01", "", "", "2026-03-01")
	_, err := Calibrate(tapes, Options{})
	require.NoError(t, err)
	for o, want := range map[Ageing][]string{
		{HalfLife: 365}:                       {`bout "bout 1" has no date`, `bout "bout 2" has no date`, "date: 2026-03-14"},
		{HalfLife: 365, AsOf: "2026-02-01"}:   {`bout "bout 1" has no date`, `bout "bout 3" is of 2026-03-01, after`},
		{HalfLife: -1}:                        {"above 0"},
		{HalfLife: math.NaN()}:                {"above 0"},
		{HalfLife: math.Inf(1)}:               {"above 0"},
		{AsOf: "2026-02-01"}:                  {"above 0"},
		{HalfLife: 365, AsOf: "last January"}: {"is no date"},
	} {
		_, err := Calibrate(tapes, Options{Age: o})
		for _, w := range want {
			require.ErrorContains(t, err, w)
		}
	}
}

func TestOnlyWins(t *testing.T) {
	tapes := dated(t, "", "", "")
	said := func() string {
		r, err := Calibrate(tapes, Options{})
		require.NoError(t, err)
		return strings.Join(r.Notes, "\n")
	}
	require.NotContains(t, said(), " won ", "nobody knows who won")
	tapes[0].Bout.Ended = tape.Ended{How: "tko", Winner: tape.RedCorner}
	require.Contains(t, said(), "vole won the one coded bout whose result is known (of 2 more it is not)")
	require.NotContains(t, said(), "shrew won")
	tapes[1].Bout.Ended = tape.Ended{How: "split", Winner: tape.RedCorner}
	tapes[2].Bout.Ended = tape.Ended{How: "unanimous", Winner: tape.RedCorner}
	require.Contains(t, said(), "vole won all 3 coded bouts:")
	tapes[2].Bout.Ended = tape.Ended{How: "draw", Winner: tape.NoCorner}
	require.NotContains(t, said(), " won ")
}

// A camera that loses two fighters in the clinch: sight is lost there more often than elsewhere, and that is said with its seconds; lost at
// random, it is not.
func TestSightLostByRange(t *testing.T) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	rows := func(lost tape.Value) (out []tape.Event) {
		at := func(s float64, act tape.Act, v tape.Value) {
			out = append(out, tape.Event{Round: 1, Clock: int64(s * 1e6), Corner: tape.NoCorner, Act: act, Value: v})
		}
		for i := range 10 {
			from := 30 * float64(i)
			at(from, tape.StateRange, tape.Kicking)
			if lost == tape.Kicking || lost == tape.NoValue && i%2 == 0 {
				at(from+5, tape.StateSeen, tape.No)
				at(from+8, tape.StateSeen, tape.Yes)
				at(from+8, tape.StateRange, tape.Kicking)
			}
			at(from+15, tape.StateRange, tape.Clinch)
			if lost == tape.Clinch || lost == tape.NoValue && i%2 == 1 {
				at(from+20, tape.StateSeen, tape.No)
				at(from+23, tape.StateSeen, tape.Yes)
				at(from+23, tape.StateRange, tape.Clinch)
			}
		}
		return out
	}
	for lost, want := range map[tape.Value]string{tape.Clinch: "clinch (30 of 150 s, 20 %; elsewhere 0 %)", tape.Kicking: "kicking (30 of 150 s, 20 %; elsewhere 0 %)",
		tape.NoValue: ""} {
		r, err := Calibrate([]*tape.Coding{codingOf(boutOf("dark", rules, "vole", "shrew"), rows(lost))}, Options{})
		require.NoError(t, err)
		said := strings.Join(r.Notes, "\n")
		if want == "" {
			require.NotContains(t, said, "sight is lost more often")
			continue
		}
		require.Contains(t, said, "sight is lost more often at some ranges than at others: "+want+".")
	}
}
