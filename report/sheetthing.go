package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"whatbout/report/chart"
	"whatbout/tactics"
)

// Thing is one thing to do, of one or more rules of the plan that act on the same.
type Thing struct {
	Do    string   // the rule's name
	How   []string // what it asks for, a line a rule
	Moved string   // what it moves on the way, a round or a bout; "" where nothing that is counted shows it
	Worth string   // bouts in 100, where that was worked out; "" otherwise
	size  float64
	rules []string
}

// Worth is what one rule is worth by itself, in bouts of 100 won, by the name of the rule.
type Worth struct {
	Mean, Low, High float64 // with an interval
	Told            bool    // from none
}

// mostThings is how many things a corner can say between rounds.
const mostThings = 3

// things groups the rules of a plan by what they move, and keeps those that move most, in the order of the plan.
func (c *Comparison) things(plan *tactics.Plan, minutes float64, worths map[string]Worth) (kept []Thing, also []string) {
	at := map[string]int{}
	var all []Thing
	for r := range plan.Rules {
		rule := &plan.Rules[r]
		measure := c.moves(plan.Name, rule, at)
		key := measure
		if measure == "" {
			key = "rule " + rule.Name
		}
		i, known := at[key]
		if !known {
			i = len(all)
			at[key] = i
			t := Thing{Do: capital(rule.Name)}
			if measure != "" {
				t.Moved, t.size = c.moved(plan.Name, measure, minutes)
			}
			all = append(all, t)
		}
		all[i].ask(ruleWords(rule))
		all[i].rules = append(all[i].rules, rule.Name)
		if w, ok := worths[rule.Name]; ok {
			all[i].Worth = strings.TrimPrefix(all[i].Worth+"; "+w.words(rule.Name, len(plan.Rules) > 1), "; ")
		}
	}
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case all[a].size > all[b].size:
			return -1
		case all[a].size < all[b].size:
			return 1
		}
		return 0
	})
	chosen := order[:min(len(order), mostThings)]
	for i, t := range all {
		if slices.Contains(chosen, i) {
			kept = append(kept, t)
			continue
		}
		also = append(also, t.rules...)
	}
	return kept, also
}

// mostWays is how many lines a thing has, so that the sheet stays one page.
const mostWays = 3

// ask adds a line; what is beyond the last is counted.
func (t *Thing) ask(words string) {
	switch n := len(t.rules); {
	case n < mostWays:
		t.How = append(t.How, capital(words)+".")
	default:
		t.How[mostWays-1] = fmt.Sprintf("And %d more rules of the plan to the same end.", n-mostWays+2)
	}
}

func (w Worth) words(rule string, several bool) string {
	words := fmt.Sprintf("%s bouts in 100 (%s to %s)", chart.Signed(w.Mean, 1), chart.Signed(w.Low, 1), chart.Signed(w.High, 1))
	if !w.Told {
		words += ", not told from none"
	}
	if several {
		words = rule + ": " + words
	}
	return words
}

// moves gives the measure that shows best what a rule does: of those that its words point to, the one that differs most for its size; but one
// that shows no earlier rule, if it is told from none, since two things that are seen are worth more than one.
func (c *Comparison) moves(plan string, rule *tactics.Rule, taken map[string]int) (best string) {
	words := slices.Clone(rule.Only)
	for _, m := range rule.Multiples {
		words = append(words, m.What)
	}
	most := -1.0
	for _, w := range words {
		name := shows(rule.At, w)
		if name == "" {
			continue
		}
		x := c.relative(plan, name)
		if _, known := taken[name]; !known && x > 0 {
			x += 1 // a relative difference is never more
		}
		if x > most {
			best, most = name, x
		}
	}
	return best
}

// relative is a difference as a share of the larger of its two figures; what is not told from none counts nothing.
func (c *Comparison) relative(plan, measure string) float64 {
	d := c.find(plan, measure)
	if !isTold(d) {
		return 0
	}
	base := c.Plans[0].Outcomes[measure].Mean
	return math.Abs(d.Mean) / max(math.Abs(base), math.Abs(base+d.Mean), 1e-9)
}

// showing says which measure shows that a fighter does more or less of something.
var showing = map[string]string{
	"step_back": "steps_back_per_minute", "retreats": "steps_back_per_minute",
	"hand_fight": "hand_fights_won_per_minute", "real": "bites_per_minute",
	"punches": "thrown_straight", "straight_punches": "thrown_straight", "jab": "thrown_straight", "jab_body": "thrown_straight", "cross": "thrown_straight",
	"cross_body": "thrown_straight", "strikes": "thrown_straight", "attacks": "thrown_straight", "body_punches": "thrown_straight",
	"looping_punches": "thrown_looping", "lead_hook": "thrown_looping", "rear_hook": "thrown_looping", "overhand": "thrown_looping", "uppercut": "thrown_looping",
	"lead_hook_body": "thrown_looping", "rear_hook_body": "thrown_looping",
	"low_kicks": "thrown_low_kick", "low_kick_calf": "thrown_low_kick", "low_kick_inside": "thrown_low_kick", "low_kick_outside": "thrown_low_kick",
	"kicks": "thrown_kick", "front_kick": "thrown_kick", "side_kick": "thrown_kick", "body_kick": "thrown_kick", "high_kick": "thrown_kick",
	"takedowns": "takedowns", "shoot": "takedowns", "trip": "takedowns", "sweep": "takedowns", "sprawl": "takedowns_suffered",
	"tie_up": "time_share_clinch", "cut_off": "centre_share", "step_in": "centre_share", "circles": "fence_share",
	"guards": "head_strikes_absorbed_per_minute", "guard_high": "head_strikes_absorbed_per_minute", "evasions": "head_strikes_absorbed_per_minute",
	"slip": "head_strikes_absorbed_per_minute", "parry": "head_strikes_absorbed_per_minute", "check": "clean_against_low_kick", "withdraw_leg": "clean_against_low_kick",
	"catch": "takedowns",
}

// shows gives the measure for a word at a choice point; strikes after a defence are answers.
func shows(at tactics.Point, what string) string {
	name := showing[what]
	if at == tactics.Answer && (strings.HasPrefix(name, "thrown_") || what == "none") {
		return "counters_per_minute"
	}
	return name
}

// moved says what a thing moves, in numbers that a corner can count, and how large that is.
func (c *Comparison) moved(plan, measure string, minutes float64) (string, float64) {
	d := c.find(plan, measure)
	base := c.Plans[0].Outcomes[measure].Mean
	words, times, per, digits := measureWords(measure), minutes, "a round", 0
	switch {
	case strings.Contains(measure, "share"):
		times, per = 100, "% of the time"
	case strings.HasPrefix(measure, "takedowns"):
		words, times, per, digits = strings.TrimSuffix(words, ", per bout"), 1, "a bout", 1
	case measure == "head_strikes_absorbed_per_minute":
		words = "clean head strikes taken"
	}
	if max(math.Abs(base), math.Abs(base+d.Mean))*times < 10 {
		digits = 1
	}
	out := fmt.Sprintf("%s: %s %s %s, %s with the plan", words, chart.Plain(times*base, digits), per, quoted(c.Plans[0].Name), chart.Plain(times*(base+d.Mean), digits))
	if !isTold(d) {
		out += ", not told from no difference"
	}
	return out, c.relative(plan, measure)
}
