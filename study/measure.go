// Package study asks questions of many bouts: what a plan changes, by how much, and how sure one may be. It decides what is measured
// and how draws and bouts are laid out; playing them is left to sim and sim/batch, the intervals to internal/infer, words to report.
package study

import (
	"slices"

	"whatbout/fighter"
	"whatbout/sim"
)

// Measure is a figure of a bout seen from one corner.
type Measure struct {
	Name  string
	Lower bool   // lower is better
	Plain string // words for a table whose heading gives the unit
	of    func(o *sim.Outcome, c int) float64
}

func is(x bool) float64 {
	if x {
		return 1
	}
	return 0
}

// winChance is the chance that corner c wins, given all that happened in the bout: what is left to the judges is not drawn but counted (see
// [sim.Chances]).
func winChance(o *sim.Outcome, c int) float64 {
	return float64([2]int64{o.Chances.Red, o.Chances.Blue}[c]) / (1 << 32)
}

func won(by ...sim.Method) func(*sim.Outcome, int) float64 {
	return func(o *sim.Outcome, c int) float64 {
		if slices.Contains(by, o.Verdict.Method) {
			return winChance(o, c)
		}
		return 0
	}
}

func drawn(o *sim.Outcome, _ int) float64 {
	if o.Verdict.Method != sim.ByDecision {
		return 0
	}
	return float64(o.Chances.Nobody) / (1 << 32)
}

func lost(by ...sim.Method) func(*sim.Outcome, int) float64 {
	w := won(by...)
	return func(o *sim.Outcome, c int) float64 { return w(o, 1-c) }
}

func count(of func(*sim.Counts) int64) func(*sim.Outcome, int) float64 {
	return func(o *sim.Outcome, c int) float64 { return float64(of(&o.Sides[c])) }
}

func perMinute(of func(*sim.Counts) int64) func(*sim.Outcome, int) float64 {
	return func(o *sim.Outcome, c int) float64 { return float64(of(&o.Sides[c])) * 60e6 / float64(max(o.Time, 1)) }
}

func share(of func(*sim.Counts) int64) func(*sim.Outcome, int) float64 {
	return func(o *sim.Outcome, c int) float64 { return float64(of(&o.Sides[c])) / float64(max(o.Time, 1)) }
}

func theirs(of func(*sim.Outcome, int) float64) func(*sim.Outcome, int) float64 {
	return func(o *sim.Outcome, c int) float64 { return of(o, 1-c) }
}

// margin is the expected difference on a judge's card in points, counting only finished rounds.
func margin(o *sim.Outcome, c int) float64 {
	return float64(o.Chances.Margin*int64(1-2*c)) / (1 << 20)
}

var stoppages = []sim.Method{sim.ByKO, sim.ByTKO, sim.BySubmission, sim.ByCorner}

// Measures lists what every study reports, in the order in which reports show it.
var Measures = buildMeasures()

var winMeasure = MeasureNamed("win")

func buildMeasures() []Measure {
	headClean := func(s *sim.Counts) int64 { return s.HeadClean }
	headLanded := func(s *sim.Counts) int64 { return s.HeadLanded }
	knockdowns := func(s *sim.Counts) int64 { return s.Knockdowns }
	m := []Measure{
		{"win", false, "bouts won", winChance},
		{"draw", false, "draws", drawn},
		{"no_contest", false, "no contest", func(o *sim.Outcome, c int) float64 { return is(o.Verdict.Method == sim.NoContest) }},
		{"win_by_disqualification", false, "won by disqualification", won(sim.ByDisqualification)},
		{"loss_by_disqualification", true, "lost by disqualification", lost(sim.ByDisqualification)},
		{"loss", true, "bouts lost", theirs(winChance)},
		{"score_margin", false, "judges' margin, points", margin},
		{"win_by_stoppage", false, "won by stoppage", won(stoppages...)},
		{"loss_by_stoppage", true, "lost by stoppage", lost(stoppages...)},
		{"win_by_decision", false, "won on the cards", won(sim.ByDecision)},
		{"loss_by_decision", true, "lost on the cards", lost(sim.ByDecision)},
		{"win_by_strikes", false, "won by KO or TKO", won(sim.ByKO, sim.ByTKO, sim.ByCorner)},
		{"loss_by_strikes", true, "lost by KO or TKO", lost(sim.ByKO, sim.ByTKO, sim.ByCorner)},
		{"win_by_submission", false, "won by submission", won(sim.BySubmission)},
		{"loss_by_submission", true, "lost by submission", lost(sim.BySubmission)},
		{"bout_seconds", false, "length of the bout, s", func(o *sim.Outcome, c int) float64 { return float64(o.Time) / 1e6 }},
		{"head_strikes_absorbed", true, "clean head strikes absorbed", theirs(count(headClean))},
		{"head_strikes_absorbed_per_minute", true, "the same, per minute", theirs(perMinute(headClean))},
		{"head_contacts_absorbed_per_minute", true, "head contacts of any kind, per minute", theirs(perMinute(headLanded))},
		{"knockdowns_suffered", true, "knockdowns suffered", theirs(count(knockdowns))},
		{"knockdowns_scored", false, "knockdowns scored", count(knockdowns)},
		{"head_strikes_per_minute", false, "clean head strikes landed per minute", perMinute(headClean)},
		{"steps_back_per_minute", true, "steps back", perMinute(func(s *sim.Counts) int64 { return s.StepsBack })},
		{"bites_per_minute", true, "feints bitten on", theirs(perMinute(func(s *sim.Counts) int64 { return s.Bitten }))},
		{"feints_against_per_minute", false, "feints by the other", theirs(perMinute(func(s *sim.Counts) int64 { return s.Feints }))},
		{"hand_fights_won_per_minute", false, "hand-fights won", perMinute(func(s *sim.Counts) int64 { return s.HandFightsWon })},
		{"counters_per_minute", false, "strikes in answer", perMinute(func(s *sim.Counts) int64 { return s.Counters })},
		{"centre_share", false, "holding the centre", share(func(s *sim.Counts) int64 { return s.Centre })},
		{"fence_share", true, "back on the fence", share(func(s *sim.Counts) int64 { return s.Fence })},
		{"takedowns", false, "takedowns, per bout", count(func(s *sim.Counts) int64 { return s.Takedowns })},
		{"takedowns_suffered", true, "takedowns suffered, per bout", theirs(count(func(s *sim.Counts) int64 { return s.Takedowns }))},
	}
	for z := range fighter.NumZones {
		m = append(m, Measure{"time_share_" + z.String(), false, zoneWords[z], share(func(s *sim.Counts) int64 { return s.Zone[z] })})
	}
	for f := range fighter.Takedown {
		thrown := perMinute(func(s *sim.Counts) int64 { return s.Thrown[f] })
		clean := perMinute(func(s *sim.Counts) int64 { return s.Clean[f] })
		m = append(m,
			Measure{"thrown_" + f.String(), false, familyWords[f] + " thrown", thrown},
			Measure{"clean_" + f.String(), false, "  landed clean", clean},
			Measure{"thrown_against_" + f.String(), false, familyWords[f] + " by the other", theirs(thrown)},
			Measure{"clean_against_" + f.String(), true, "  landed clean", theirs(clean)})
	}
	return m
}

// MeasureNamed gives the index of a measure, -1 if there is none.
func MeasureNamed(name string) int {
	for i, m := range Measures {
		if m.Name == name {
			return i
		}
	}
	return -1
}
