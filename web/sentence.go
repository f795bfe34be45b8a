package web

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"whatbout/report"
	"whatbout/report/chart"
	"whatbout/study"
)

// telling is how a measure is put into a sentence: "steps back 1.2 times a minute, not 2.9".
type telling struct {
	measure, verb, unit string
	times               float64
	digits              int
}

// tellings are what a corner can see; the sentence takes those that change most in proportion.
var tellings = []telling{
	{"steps_back_per_minute", "steps back", "times a minute", 1, 1},
	{"bites_per_minute", "bites on", "feints a minute", 1, 1},
	{"hand_fights_won_per_minute", "wins the lead hand", "times a minute", 1, 1},
	{"counters_per_minute", "strikes in answer", "times a minute", 1, 1},
	{"centre_share", "holds the centre", "% of the time", 100, 0},
	{"fence_share", "has the back on the fence", "% of the time", 100, 0},
	{"takedowns", "takes the other down", "times a bout", 1, 1},
	{"takedowns_suffered", "is taken down", "times a bout", 1, 1},
	{"thrown_straight", "throws", "straight punches a minute", 1, 1},
	{"thrown_looping", "throws", "looping punches a minute", 1, 1},
	{"thrown_low_kick", "throws", "low kicks a minute", 1, 1},
	{"thrown_kick", "throws", "higher kicks a minute", 1, 1},
	{"thrown_against_kick", "is met by", "higher kicks a minute", 1, 1},
	{"thrown_against_straight", "is met by", "straight punches a minute", 1, 1},
	{"feints_against_per_minute", "is shown", "feints a minute", 1, 1},
}

// told is a change that the bouts tell from none.
type told struct {
	telling
	before, after float64
}

// seen lists what changed on the way, the largest in proportion first.
func seen(c *report.Comparison) (out []told) {
	before, after := &c.Plans[0], &c.Plans[1]
	for _, t := range tellings {
		d := c.Difference(after.Name, t.measure)
		if d == nil || !report.Told(d) {
			continue
		}
		x := told{t, t.times * before.Outcomes[t.measure].Mean, t.times * after.Outcomes[t.measure].Mean}
		if x.number(x.before) != x.number(x.after) {
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b told) int { return cmp.Compare(b.size(), a.size()) })
	return out
}

// size is how large a change is in proportion, with a little added so that rare things do not win by being rare.
func (t *told) size() float64 {
	return math.Abs(math.Log((t.after + .3*t.unitSize()) / (t.before + .3*t.unitSize())))
}

func (t *told) unitSize() float64 {
	if t.times == 100 {
		return 10
	}
	return 1
}

func (t *told) number(x float64) string { return chart.Plain(x, t.digits) }

func (t *told) words() string {
	gap := " "
	if strings.HasPrefix(t.unit, "%") {
		gap = "\u00a0"
	}
	return t.verb + " " + t.number(t.after) + gap + t.unit + ", not " + t.number(t.before)
}

// sentence is what changed on the way, for who reads one line only.
func sentence(c *report.Comparison) string {
	who, plan := title(c.Fighter), c.Plans[1].Name
	changes := seen(c)
	with := "With \u201c" + plan + "\u201d, " + who
	if plan == moved {
		with = "Moved like this, " + who
	}
	if len(changes) == 0 {
		if win := c.Difference(plan, "win"); win.SignResolved == study.Same {
			return with + " fights no differently from " + before(c) + ": no bout went another way."
		}
		return with + " does nothing that a corner would see differently, as far as these bouts tell."
	}
	var words []string
	for _, t := range changes[:min(2, len(changes))] {
		words = append(words, t.words())
	}
	return with + " " + strings.Join(words, "; and ") + "."
}

func before(c *report.Comparison) string {
	if c.Plans[0].Name == asUsual {
		return asUsual
	}
	return "\u201c" + c.Plans[0].Name + "\u201d"
}

// difference says what that is worth, as a difference alone: shares of two plans side by side are left to the report.
func difference(c *report.Comparison, rough bool) string {
	win := c.Difference(c.Plans[1].Name, "win")
	mean := chart.Signed(100*win.Mean, 1)
	sim := chart.Signed(100*win.Simulation.Low, 1) + " to " + chart.Signed(100*win.Simulation.High, 1)
	against := "against " + before(c)
	if rough && win.SignResolved != study.Same {
		return "Bouts won, of 100: anywhere from " + sim + " " + against + " after a first glance."
	}
	switch win.SignResolved {
	case study.Same:
		return "Bouts won: no difference " + against + "."
	case study.Unresolved:
		return fmt.Sprintf("Bouts won, of 100: %s %s, not told from none (simulation alone leaves %s).", mean, against, sim)
	case study.MeanResolved:
		return fmt.Sprintf("Bouts won, of 100: %s %s on average (simulation leaves %s); some of what tape and assumptions leave possible lies on the other side of none.", mean, against, sim)
	}
	return fmt.Sprintf("Bouts won, of 100: %s %s (simulation leaves %s), and all doubt leaves that sign.", mean, against, sim)
}
