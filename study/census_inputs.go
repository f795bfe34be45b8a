package study

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// inputs are figures that were put in from the literature; that they come out again proves nothing, but shows what stands in the model.
func (c *census) inputs() {
	d := fighter.Population("average", fighter.AverageBody()).Centre()
	seconds := func(m tape.Move) float64 { return float64(m.UsualTime()) / 1e6 }
	simple, choice := d[fighter.Alone(fighter.ReactionSimple)], d[fighter.Alone(fighter.ReactionChoice)]
	for _, r := range []CensusRow{
		{What: "11 jab, onset to contact, s", Source: "Stanley 2018: 0.405", Low: .324, High: .486, Value: seconds(tape.MoveJab)},
		{What: "11 roundhouse to the body, s", Source: "Wąsik 2022: 0.45", Low: .36, High: .54, Value: seconds(tape.MoveBodyKick)},
		{What: "11 lead hook less jab, s", Source: "Piorkowski 2011: straights arrive first", Low: .001, High: .3, Value: seconds(tape.MoveLeadHook) - seconds(tape.MoveJab)},
		{What: "12 simple reaction, s", Source: "Woods 2015, Cojocariu 2011", Low: .19, High: .25, Value: simple},
		{What: "12 choice reaction, s", Source: "Cojocariu 2011", Low: .34, High: .45, Value: choice},
		{What: "12 choice less simple, s", Source: "Cojocariu 2011", Low: .13, High: .24, Value: choice - simple},
	} {
		r.Kind = "input"
		c.add(r)
	}
}
