package main

import (
	"whatbout/demo"
	"whatbout/tactics"
)

// always is a plan of one or more rules that is followed as plans usually are.
func always(name string, rules ...tactics.Rule) *tactics.Plan {
	return &tactics.Plan{Name: name, Adherence: tactics.UsualAdherence, Rules: rules}
}

func never(at tactics.Point, what string) tactics.Rule {
	return tactics.Rule{Name: "never " + what, At: at, Multiples: []tactics.Multiple{{What: what, By: 0}}}
}

func times(at tactics.Point, what string, by float64) tactics.Rule {
	return tactics.Rule{Name: "more " + what, At: at, Multiples: []tactics.Multiple{{What: what, By: by}}}
}

// ladder goes from mild plans to a drastic one.
var ladder = []*tactics.Plan{
	always("jab × 1.3", times(tactics.Initiate, "jab", 1.3)),
	always("hand-fight × 3", times(tactics.Initiate, "hand_fight", 3)),
	always("no step back", never(tactics.Initiate, "step_back"), never(tactics.Defend, "step_back"), never(tactics.Answer, "step_back")),
	demo.StayClose,
	always("only kicks",
		never(tactics.Initiate, "punches"), never(tactics.Answer, "punches"), never(tactics.Continue, "punches"),
		never(tactics.Initiate, "takedowns"), never(tactics.Answer, "takedowns"), never(tactics.Continue, "takedowns")),
}
