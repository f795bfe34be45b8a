package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"whatbout/report/chart"
	"whatbout/study"
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

// Worth is a thing's share of what the plan changes, in bouts of 100 won, with an interval of the simulation.
type Worth struct {
	Mean, Low, High float64
	Resolved        study.Resolution
}

// WorthOf is a share of bouts won as a worth.
func WorthOf(x *study.Credited) Worth {
	return Worth{100 * x.Mean, 100 * x.Simulation.Low, 100 * x.Simulation.High, x.Resolved}
}

// mostThings is how many things a corner can say between rounds.
const mostThings = 3

// grouping is the rules of a plan that act on the same, by their place in it, with the measure that shows it; "" where none does.
type grouping struct {
	measure string
	rules   []int
}

// Things groups the rules of a plan by what they move: each is one thing to do.
func (c *Comparison) Things(plan *tactics.Plan) (rules [][]int) {
	for _, g := range c.grouped(plan) {
		rules = append(rules, g.rules)
	}
	return rules
}

func (c *Comparison) grouped(plan *tactics.Plan) (all []grouping) {
	at := map[string]int{}
	for r := range plan.Rules {
		measure := c.moves(plan.Name, &plan.Rules[r], at)
		i, known := at[measure]
		if !known || measure == "" {
			i = len(all)
			all = append(all, grouping{measure: measure})
			if measure != "" {
				at[measure] = i
			}
		}
		all[i].rules = append(all[i].rules, r)
	}
	return all
}

// things says what the things of a plan are, and keeps those that move most, in the order of the plan. worths go with them; nil where none
// were worked out.
func (c *Comparison) things(plan *tactics.Plan, minutes float64, worths []Worth) (kept []Thing, also []string) {
	var all []Thing
	for i, g := range c.grouped(plan) {
		t := Thing{Do: capital(plan.Rules[g.rules[0]].Name)}
		if g.measure != "" {
			t.Moved, t.size = c.moved(plan.Name, g.measure, minutes)
		}
		for _, r := range g.rules {
			t.ask(ruleWords(&plan.Rules[r]))
			t.rules = append(t.rules, plan.Rules[r].Name)
		}
		if worths != nil {
			t.Worth = worths[i].words()
		}
		all = append(all, t)
	}
	chosen := largestThings(all)
	for i, t := range all {
		if slices.Contains(chosen, i) {
			kept = append(kept, t)
			continue
		}
		also = append(also, strings.Join(t.rules, "; "))
		if worths != nil && worths[i].told() {
			also[len(also)-1] += " (worth " + worths[i].words() + ")"
		}
	}
	return kept, also
}

// largestThings are those that move most.
func largestThings(all []Thing) []int {
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(all[b].size, all[a].size) })
	return order[:min(len(order), mostThings)]
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

func (w Worth) told() bool {
	return w.Resolved == study.Resolved || w.Resolved == study.MeanResolved
}

func (w Worth) words() string {
	in := fmt.Sprintf("(%s to %s)", chart.Signed(w.Low, 1), chart.Signed(w.High, 1))
	words := fmt.Sprintf("%s bouts in 100 %s", chart.Signed(w.Mean, 1), in)
	switch {
	case w.Resolved == study.Same:
		return "nothing, no bout goes differently for it"
	case w.Resolved == study.Unresolved:
		return words + ", not told from nothing"
	case w.Resolved == study.MeanResolved:
		return words + " on average; not for every possible truth"
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
