package calibrate

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// boutOf gives a bout of two average bodies of which everything was coded.
func boutOf(id string, rules *tape.RuleSet, red, blue string) *tape.Bout {
	return &tape.Bout{ID: id, Rules: rules.Name, RuleSet: rules, Level: "events", LookedFor: tape.AllGroups(), Corners: [2]bool{true, true},
		Usual: true, Kind: "bout", Ended: tape.Ended{Winner: tape.NoCorner}, Invented: true,
		Fighters: [2]tape.Fighter{{ID: red, Body: physiqueOf(fighter.AverageBody())}, {ID: blue, Body: physiqueOf(fighter.AverageBody())}}}
}

// codingOf copies the events.
func codingOf(b *tape.Bout, events []tape.Event) *tape.Coding {
	c := &tape.Coding{Bout: b, Name: "events"}
	for _, e := range events {
		c.Rows = append(c.Rows, tape.Row{Event: e})
	}
	return c
}
