// Command information holds what next says of more tape against the plain way on the demo's pair: for many possible truths tape is played, coded
// and calibrated together with what there is, and the plan is compared anew for what is then believed.
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
)

// settings say how much is played.
type settings struct {
	rounds              int // of tape to come, a multiple of three
	outer, inner, bouts int // possible truths, and draws and bouts for what is believed after each
	draws               int // of the regression
	seed                uint64
}

func report(ctx context.Context, w io.Writer, s settings) error {
	q, err := newQuestion(s.rounds, s.seed)
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "What %d more rounds of the demo's two against each other teach about %q less as usual, per bout (± one standard error):\n", s.rounds, q.plan.Name)
	regressed, err := q.regressed(ctx, s.draws)
	if err != nil {
		return err
	}
	nested, err := q.nested(ctx, s.outer, s.inner, s.bouts)
	if err != nil {
		return err
	}
	for v, name := range values {
		fmt.Fprintln(w, name)
		regressed[v].tell(w, "regression")
		nested[v].tell(w, "two levels")
		apart := math.Hypot(regressed[v].varianceError, nested[v].varianceError)
		fmt.Fprintf(w, "  variances are %+.1f standard errors apart, means %+.1f\n", (nested[v].variance-regressed[v].variance)/apart,
			(nested[v].mean-regressed[v].mean)/math.Hypot(regressed[v].meanError, nested[v].meanError))
	}
	return nil
}

func main() {
	s := settings{seed: 1}
	flag.IntVar(&s.rounds, "rounds", 9, "rounds of tape to come, a multiple of three")
	flag.IntVar(&s.outer, "outer", 100, "possible truths")
	flag.IntVar(&s.inner, "inner", 300, "draws for what is believed after each")
	flag.IntVar(&s.bouts, "bouts", 2, "bouts a draw")
	flag.IntVar(&s.draws, "draws", 20000, "draws of the regression, of 2 bouts")
	flag.Parse()
	if err := report(context.Background(), os.Stdout, s); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
