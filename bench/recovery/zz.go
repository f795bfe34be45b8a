package main

import (
	"fmt"
	"sort"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

func zz() {
	rules, _ := tape.RuleSetNamed("mma-3x5")
	b := sim.NewBout()
	b.NoStop = true
	w := &choices{}
	b.Watch = w
	b.Setup(rules, sim.AverageWorld())
	conf := map[string]map[string]int{}
	inc := func(a, c string) {
		if conf[a] == nil {
			conf[a] = map[string]int{}
		}
		conf[a][c]++
	}
	hist := map[string]map[int]int{}
	h := func(k string, d int64) {
		if hist[k] == nil {
			hist[k] = map[int]int{}
		}
		hist[k][int(min(max(d/50000, -6), 16))]++
	}
	for i := range 60 {
		for c := range 2 {
			id := fmt.Sprint(c, i)
			if err := b.Sides[c].Load(fighter.AverageBody(), fighter.Population(id, fighter.AverageBody()).Draw(7, 0, false), nil, nil, rules); err != nil {
				panic(err)
			}
		}
		w.made = w.made[:0]
		b.Run(kernel.NewKey(3, uint64(i)))
		var last [2]*chosen
		next := 0
		for i := range b.Events {
			e := &b.Events[i]
			for ; next < len(w.made) && w.made[next].row <= i; next++ {
				if w.made[next].move == tape.NoMove && (w.made[next].point == tactics.Continue || w.made[next].point == tactics.Answer) {
					continue
				}
				last[w.made[next].corner] = &w.made[next]
			}
			if !e.IsAct() {
				continue
			}
			standing := "standing"
			zone := fighter.Out
			for j := i - 1; j >= 0; j-- {
				if b.Events[j].Act == tape.StateRange && b.Events[j].Corner == e.Corner {
					zone = fighter.ZoneOf(b.Events[j].Value)
					break
				}
			}
			if zone > fighter.Pocket {
				standing = "close"
			}
			truth := "other"
			if l := last[e.Corner]; l != nil {
				switch {
				case l.move == tape.MoveOf(e.Act, e.Value) || l.move != tape.NoMove && l.move.Act() == e.Act:
					truth = l.point.String()
				case l.move == tape.NoMove:
					truth = l.point.String()
				}
			}
			inc(standing+" "+truth, tape.PointOf(b.Events, i).String())
			if standing == "standing" {
				own, other := int64(1e9), int64(1e9)
				for j := i - 1; j >= 0 && b.Events[j].Round == e.Round; j-- {
					o := &b.Events[j]
					if o.IsAct() && o.Corner == e.Corner {
						own = min(own, e.Onset()-o.Clock)
						kind := "light"
						switch {
						case o.Act >= tape.FrontKick && o.Act <= tape.HighKick:
							kind = "kick"
						case o.Act.IsTakedown():
							kind = "takedown"
						case o.Act.IsAttack():
							kind = "punch"
						case o.Act == tape.TieUp:
							kind = "tieup"
						}
						h("kind "+kind+" "+truth, own)
						break
					}
				}
				for j := i - 1; j >= 0 && b.Events[j].Round == e.Round; j-- {
					o := &b.Events[j]
					if o.IsAct() && o.Corner != e.Corner && o.Act.IsAttack() {
						other = min(other, e.Onset()-o.Clock)
						break
					}
				}
				h(truth+" after own", own)
				if own > 450e3 {
					h(truth+" after other", other)
				}
			}
		}
	}
	for _, a := range []string{"standing initiate", "standing answer", "standing continue", "standing defend", "standing survive", "standing other", "close initiate", "close answer", "close continue", "close defend", "close survive", "close other"} {
		fmt.Println(a, conf[a])
	}
	var ks []string
	for k := range hist {
		ks = append(ks, k)
	}
	sort.Strings(ks)
	for _, k := range ks {
		fmt.Printf("%-24s", k)
		for d := -6; d <= 16; d++ {
			fmt.Printf(" %d:%d", d*50, hist[k][d])
		}
		fmt.Println()
	}
}
