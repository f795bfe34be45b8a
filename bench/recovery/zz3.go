package main

import (
	"fmt"
	"maps"
	"slices"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

func zz3() {
	rules, _ := tape.RuleSetNamed("mma-3x5")
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(rules, sim.AverageWorld())
	both := map[string]int{}
	ans := map[string][2]int{}
	for i := range 60 {
		for c := range 2 {
			if err := b.Sides[c].Load(fighter.AverageBody(), fighter.Population("x", fighter.AverageBody()).Centre(), nil, nil, rules); err != nil {
				panic(err)
			}
		}
		tr := &sim.Tracer{}
		b.Watch = tr
		b.Run(kernel.NewKey(3, uint64(i)))
		zone := [2]fighter.Zone{}
		var hurt [2]int64
		round := uint8(0)
		for i := range b.Events {
			e := &b.Events[i]
			if e.Round != round {
				round, hurt = e.Round, [2]int64{}
			}
			if e.Act == tape.StateRange && e.Corner != tape.NoCorner {
				zone[e.Corner] = fighter.ZoneOf(e.Value)
			}
			if !e.IsAct() {
				continue
			}
			o := e.Corner.Other()
			if e.AnswerEnds() > 0 && zone[o] <= fighter.Pocket {
				// features
				own, prev := "never", "-"
				for j := i - 1; j >= 0 && b.Events[j].Round == e.Round; j-- {
					x := &b.Events[j]
					if x.IsAct() && x.Corner == o {
						d := (e.Clock - x.Clock) / 50000
						own = fmt.Sprintf("%03d", min(d, 12)*50)
						break
					}
				}
				for j := i + 1; j < len(b.Events) && b.Events[j].Round == e.Round; j++ {
					x := &b.Events[j]
					if x.IsAct() && x.Corner == o {
						if x.Onset() <= e.Clock-50000 {
							own = "in act"
						}
						break
					}
				}
				for j := i - 1; j >= 0 && b.Events[j].Round == e.Round; j-- {
					x := &b.Events[j]
					if x.AnswerEnds() > 0 && x.Corner == e.Corner && e.Clock-x.Clock < 400e3 {
						prev = "prev"
						break
					}
				}
				if e.Clock < hurt[o] || e.Result >= tape.Hurt {
					own = "hurt"
				}
				if e.Act.IsTakedown() {
					own = "td " + e.Result.String()
				}
				if e.Act.IsFeint() {
					prev += "feint"
				}
				had := 0
				for k := range tr.Choices {
					c := &tr.Choices[k]
					if c.At == tactics.Answer && c.Corner == int(o) && c.Round == e.Round && c.Clock > e.Clock && c.Clock < e.Clock+e.AnswerEnds() {
						had = 1
					}
				}
				x := ans[own+" "+prev]
				x[had]++
				ans[own+" "+prev] = x
			}
			if e.Result == tape.Hurt || e.Result == tape.Knockdown || e.Result == tape.Stoppage {
				hurt[o] = e.Clock + 5e6
			}
			// both candidates
			own, other := int64(1e9), int64(1e9)
			for j := i - 1; j >= 0 && b.Events[j].Round == e.Round; j-- {
				x := &b.Events[j]
				if !x.IsAct() {
					continue
				}
				s := e.Onset() - x.Clock
				if x.Corner == e.Corner && own == 1e9 {
					own = s
				}
				if x.Corner != e.Corner && x.AnswerEnds() > 0 && s > -50000 && s < x.AnswerEnds() && other == 1e9 {
					other = s
				}
			}
			if own < 450e3 && other < 1e9 && zone[e.Corner] <= fighter.Pocket {
				var last *sim.Choice
				for k := range tr.Choices {
					c := &tr.Choices[k]
					if c.Corner == int(e.Corner) && c.Round == e.Round && c.Clock < e.Clock && c.At != tactics.Believe {
						last = c
					}
				}
				if last != nil {
					s := ""
					if other > own {
						s = "attack earlier"
					}
					both[fmt.Sprintf("%s own %03d: %s", s, own/50000*50, last.At)]++
				}
			}
		}
	}
	for _, k := range slices.Sorted(maps.Keys(ans)) {
		fmt.Println("answer point", k, "without", ans[k][0], "with", ans[k][1])
	}
	for _, k := range slices.Sorted(maps.Keys(both)) {
		fmt.Println(k, both[k])
	}
}
