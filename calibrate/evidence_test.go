package calibrate_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/calibrate"
	"whatbout/demo"
	"whatbout/fighter"
	"whatbout/tape"
)

// Of figures of every kind of the demo's heron that tape moved, as many rows stand behind it as the profile says were seen; of skills, which state
// information, as many as there are attempts with a result. Some have a count of 0.
func TestRowsAreAsManyAsTheProfileStates(t *testing.T) {
	codings, err := demo.Tape()
	require.NoError(t, err)
	r, err := calibrate.Calibrate(codings, calibrate.Options{})
	require.NoError(t, err)
	p := r.Profiles["heron"]
	kinds := map[string]int{}
	for i := range p.Figures {
		f := fighter.Figure(i)
		d := fighter.Define(f)
		kind, _, _ := strings.Cut(d.Name, ".")
		if p.Sources[f] != fighter.FromTape || kinds[kind] > 12 && !strings.HasSuffix(d.Name, ".none") || p.Seen[f] == 0 && kinds[kind+" none"] > 2 {
			continue // a dozen of a kind are enough, and so are the first few without a count
		}
		if p.Seen[f] == 0 {
			kinds[kind+" none"]++
		}
		rows, err := calibrate.Behind(codings, calibrate.Options{}, "heron", f)
		require.NoError(t, err, d.Name)
		require.Len(t, rows.Sightings, int(rows.Count), "%s: each coding is the only one of its bout", d.Name)
		kinds[kind]++
		if kind != "attack" && kind != "defence" {
			require.Equal(t, p.Seen[f], rows.Count, d.Name)
			require.GreaterOrEqual(t, rows.Exposure.Amount+1e-9, rows.Hits, d.Name)
		}
		switch kind { // what a count stands against, listed: the time by round, and the other choices of the table
		case "initiate":
			seconds, acts := 0.0, 0.0
			for _, s := range rows.Stretches {
				seconds, acts = seconds+s.Seconds, acts+s.Acts
			}
			require.InDelta(t, rows.Exposure.Amount, seconds, 1e-6, d.Name)
			require.InDelta(t, rows.Count, acts, 1e-9, d.Name)
			require.Len(t, rows.Stretches, rows.Exposure.Rounds)
			require.Empty(t, rows.Others)
		case "answer", "continue", "defend":
			require.Len(t, rows.Others, int(rows.Exposure.Amount-rows.Count), d.Name)
			require.False(t, slices.ContainsFunc(rows.Others, func(s calibrate.Sighting) bool { return s.Hit }))
		}
		for _, s := range rows.Sightings {
			if kind == "after" { // every choice after that act counts, and something done is a hit
				require.Equal(t, d.Name[strings.LastIndex(d.Name, ".")+1:], fighter.AfterOf(s.About.Act).String(), d.Name)
				require.Equal(t, strings.Contains(d.Name, ".own."), s.Bout.Fighters[s.About.Corner].ID == "heron", d.Name)
				require.Equal(t, s.Act != nil, s.Hit)
			}
			require.True(t, s.Act != nil || s.About != nil)
			require.True(t, s.Bout.Fighters[0].ID == "heron" || s.Bout.Fighters[1].ID == "heron")
			if s.Act != nil && (d.Law == fighter.Rate || d.Law == fighter.Weight) {
				require.Equal(t, d.Name[strings.LastIndex(d.Name, ".")+1:], tape.MoveOf(s.Act.Act, s.Act.Value).String())
			}
		}
	}
	for _, kind := range []string{"initiate", "answer", "continue", "defend", "bite", "attack", "defence"} {
		require.Positive(t, kinds[kind], kind)
	}

	// A skill's rows, counted by hand: straights of the heron's whose result was written down and known.
	want, clean := 0, 0
	for _, c := range codings {
		for _, row := range c.Rows {
			if row.Corner != tape.NoCorner && c.Bout.Fighters[row.Corner].ID == "heron" && (row.Act == tape.Jab || row.Act == tape.Cross) &&
				row.Result != tape.ResultUncoded && row.Result != tape.ResultUnknown {
				if want++; row.Result.IsClean() {
					clean++
				}
			}
		}
	}
	rows, err := calibrate.Behind(codings, calibrate.Options{}, "heron", fighter.Attack(fighter.StraightPunch))
	require.NoError(t, err)
	require.Equal(t, [2]float64{float64(want), float64(clean)}, [2]float64{rows.Count, rows.Hits})

	// And a rate's exposure is that by which the posterior grew: counts and seconds, both divided by the same factor. In the clinch, where no place
	// holds; on the feet seconds count as many times as the multiples of places have it, and less as these are in doubt.
	knee := fighter.Initiate(fighter.Clinch, tape.MoveKnee)
	rows, err = calibrate.Behind(codings, calibrate.Options{}, "heron", knee)
	require.NoError(t, err)
	phi := r.Evidence["heron"].Dispersion[fighter.Clinch].Factor
	require.Positive(t, rows.Count)
	require.InEpsilon(t, p.Figures[knee].B-fighter.Shipped().Figures[knee].B, rows.Exposure.Amount/phi, 1e-9)
	require.InEpsilon(t, p.Figures[knee].A-fighter.Shipped().Figures[knee].A, rows.Count/phi, 1e-9)
}

func TestNoRowsBehindIt(t *testing.T) {
	codings, err := demo.Tape()
	require.NoError(t, err)
	for name, want := range map[string]string{"chin": "assumption", "survive.hop": "assumption", "sense.hip": "bite.hip"} {
		f, _ := fighter.Named(name)
		_, err := calibrate.Behind(codings, calibrate.Options{}, "heron", f)
		require.ErrorContains(t, err, want)
	}
	_, err = calibrate.Behind(codings, calibrate.Options{}, "vole", fighter.Bite(fighter.Hip))
	require.ErrorContains(t, err, `no tape of "vole"`)
}

// What is unknown counts in rates, and not in shares of success: with the results of every other jab struck out, rates, choices, responses and
// bites stay to the bit; of the attempts as many fewer are left, and with all results struck out skills are the population's.
func TestUnknownCountsInRatesOnly(t *testing.T) {
	codings, err := demo.Tape()
	require.NoError(t, err)
	before, err := calibrate.Calibrate(codings, calibrate.Options{For: []string{"heron"}})
	require.NoError(t, err)
	straight := fighter.Attack(fighter.StraightPunch)
	all, err := calibrate.Behind(codings, calibrate.Options{}, "heron", straight)
	require.NoError(t, err)
	for _, every := range []int{2, 1} {
		struck := 0
		var less []*tape.Coding
		for _, c := range codings {
			d := *c
			d.Rows = slices.Clone(c.Rows)
			for i := range d.Rows {
				row := &d.Rows[i]
				if family, ok := fighter.FamilyOf(row.Act); !ok || i%every != 0 {
					continue
				} else if family == fighter.StraightPunch && c.Bout.Fighters[row.Corner].ID == "heron" && row.Result != tape.ResultUncoded {
					struck++
				}
				if row.Result < tape.Hurt || row.Result > tape.Stoppage { // who is hurt stays hurt
					row.Result = tape.ResultUnknown
				}
			}
			less = append(less, &d)
		}
		after, err := calibrate.Calibrate(less, calibrate.Options{For: []string{"heron"}})
		require.NoError(t, err)
		was, is := before.Profiles["heron"], after.Profiles["heron"]
		for i := range was.Figures {
			if f := fighter.Figure(i); f < fighter.Attack(0) {
				require.Equal(t, was.Figures[f], is.Figures[f], fighter.Define(f).Name)
				require.Equal(t, was.Seen[f], is.Seen[f])
			}
		}
		left, err := calibrate.Behind(less, calibrate.Options{}, "heron", straight)
		require.NoError(t, err)
		require.Positive(t, struck)
		require.Less(t, left.Count, all.Count)
		require.GreaterOrEqual(t, left.Count, all.Count-float64(struck))
		require.Less(t, is.Seen[straight], was.Seen[straight])
		if every == 1 {
			require.Less(t, left.Count, 4., "only who was hurt is left")
		}
	}
}
