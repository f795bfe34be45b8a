package main

import (
	"fmt"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// zz2 compares counts of choices, engine's against tape's.
func zz2() {
	l, _ := newLeague(1, 2, 3)
	l.tape = nil
	b := sim.NewBout()
	b.NoStop = true
	w := &choices{}
	b.Watch = w
	b.Setup(l.rules, sim.AverageWorld())
	engine := map[fighter.Figure]float64{}
	for i := range 60 {
		for c := range 2 {
			if err := b.Sides[c].Load(fighter.AverageBody(), fighter.Population("x", fighter.AverageBody()).Centre(), nil, nil, l.rules); err != nil {
				panic(err)
			}
		}
		w.made = w.made[:0]
		b.Run(kernel.NewKey(3, uint64(i)))
		l.tape = append(l.tape, l.coding([2]int{0, 1}, b.Events))
		for _, m := range w.made {
			z := fighter.Out
			for j := m.row - 1; j >= 0; j-- {
				if b.Events[j].Act == tape.StateRange && b.Events[j].Corner == m.corner {
					z = fighter.ZoneOf(b.Events[j].Value)
					break
				}
			}
			switch m.point {
			case tactics.Answer:
				engine[fighter.Answer(z.Exchange(), m.move)]++
			case tactics.Continue:
				engine[fighter.Continue(z.Exchange(), m.move)]++
			case tactics.Initiate:
				if z < fighter.Clinch {
					engine[fighter.Initiate(z, m.move)]++
				}
			}
		}
	}
	r, err := calibrate.Calibrate(l.tape, calibrate.Options{})
	if err != nil {
		panic(err)
	}
	a, c := r.Profiles[l.ids[0]], r.Profiles[l.ids[1]]
	for f := range fighter.Figure(fighter.NumFigures()) {
		if e := engine[f]; e > 250 || a.Seen[f]+c.Seen[f] > 250 {
			fmt.Printf("%-32s engine %6.0f tape %6.0f  ratio %.3f\n", fighter.Define(f).Name, e, a.Seen[f]+c.Seen[f], (a.Seen[f]+c.Seen[f])/e)
		}
	}
}
