package main

import (
	"flag"
	"fmt"
	"maps"
	"slices"

	"whatbout/fighter"
)

func main() {
	n := flag.Int("fighters", 40, "")
	rounds := flag.Int("rounds", 6, "")
	leagues := flag.Int("leagues", 1, "")
	fine := flag.Bool("fine", false, "")
	confusion := flag.Bool("zz", false, "")
	flag.Parse()
	if *confusion {
		zz()
		zz2()
		zz3()
		return
	}
	sums := map[string]*summary{}
	for k := range *leagues {
		l, err := newLeague(uint64(k+1), *n, *rounds)
		if err != nil {
			panic(err)
		}
		ps, err := l.calibrated()
		if err != nil {
			panic(err)
		}
		for i, id := range l.ids {
			for _, r := range ranks(ps[id], l.truths[i]) {
				keys := []string{r.class()}
				if *fine {
					keys = append(keys, "~"+fighterName(r))
				}
				for _, c := range keys {
					if sums[c] == nil {
						sums[c] = &summary{}
					}
					sums[c].add(r)
				}
			}
		}
	}
	for _, c := range slices.Sorted(maps.Keys(sums)) {
		s := sums[c]
		fmt.Printf("%-28s n %6d in50 %.3f in90 %.3f below %.3f above %.3f z %+.3f sd %.3f\n", c, s.Ranks, s.In50, s.In90, s.Below, s.Above, s.Mean, s.SD)
	}
}

func fighterName(r rank) string { return fighter.Define(r.figure).Name }
