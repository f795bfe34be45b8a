// Command recovery proves calibration by recovery: it draws fighters from the population, plays their bouts, codes them, calibrates, and
// holds the truths against the posteriors. It prints, for each class of figures and so many coded rounds a fighter, how often truth lies
// inside, and whether its ranks are uniform (simulation-based calibration). What is in band is decided by the tests beside it.
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
)

// roundsShown are the amounts of tape that are shown.
var roundsShown = []int{3, 6, 12, 30}

func main() {
	chained := flag.Bool("chain", false, "the whole chain: does the tape interval of a plan's effect cover the truth as often as it says?")
	points := flag.Bool("points", false, "which choice points the tape's rule takes the engine's for")
	closes := flag.Bool("offsets", false, "what closing the residuals of calibrate --check does to bouts to come, and to truths")
	stepping := flag.Int("steps", 0, "how well so many truths of steps come back, an even number")
	fighters := flag.Int("fighters", 40, "fighters in a league, an even number from 12")
	leagues := flag.Int("leagues", 4, "leagues, drawn anew each")
	pairs := flag.Int("pairs", 40, "pairs of truths, with -chain")
	bouts := flag.Int("bouts", 24, "bouts a draw and plan, with -chain")
	coders := flag.Bool("coders", true, "two coders who err, and sight that is lost now and then, with -chain")
	beyond := flag.Bool("outside", false, "two fixed truths outside the prior, with -chain")
	flag.Parse()
	var err error
	switch {
	case *fighters < 12 || *fighters%2 == 1 || *leagues < 1 || *pairs < 2 || *bouts < 2 || *stepping < 0 || *stepping%2 == 1:
		err = fmt.Errorf("%d fighters, %d leagues, %d pairs, %d bouts, %d steps; expected an even number from 12, one from 1, two from 2 and an even number",
			*fighters, *leagues, *pairs, *bouts, *stepping)
	case *chained:
		err = chain(context.Background(), os.Stdout, chainRun{rounds: roundsShown, pairs: *pairs, bouts: *bouts, truth: truthBouts, coders: *coders, outside: *beyond})
	case *closes:
		err = offsets(os.Stdout, *leagues, *fighters)
	case *stepping > 0:
		err = steps(os.Stdout, *stepping)
	case *points:
		err = confusion(os.Stdout, 60)
	default:
		err = coverage(os.Stdout, *leagues, *fighters)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "recovery:", err)
		os.Exit(1)
	}
}

// coverage prints a table for each amount of tape.
func coverage(w io.Writer, leagues, fighters int) error {
	fmt.Fprintf(w, "%d leagues of %d; inside: share of truths in the middle of their posteriors; z: the rank as a normal deviate, mean 0 and sd 1\n", leagues, fighters)
	fmt.Fprintln(w, "if posteriors are right; p: Kolmogorov-Smirnov's for uniform ranks, as if ranks were independent")
	for _, rounds := range roundsShown {
		sums, err := measure(1, leagues, fighters, rounds, nil)
		if err != nil {
			return err
		}
		fmt.Fprintf(w, "\n%-14s %7s %11s %11s %8s %7s %9s\n", fmt.Sprintf("%d rounds", rounds), "ranks", "inside 50 %", "inside 90 %", "z mean", "z sd", "p")
		for _, c := range sums.classes() {
			s := sums[c]
			fmt.Fprintf(w, "%-14s %7d %11.3f %11.3f %+8.2f %7.2f %9.2g\n", c, len(s.shares), s.inside(.5), s.inside(.9), s.mean(), s.sd(), s.uniform())
		}
	}
	return nil
}
