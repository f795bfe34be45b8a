package cmd

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

func censusCommand() *cobra.Command {
	var bouts int
	c := &cobra.Command{
		Use:   "census",
		Short: "Hold evenly matched simulated bouts against published numbers",
		Args:  func(c *cobra.Command, args []string) error { return wrap(cobra.NoArgs(c, args)) },
		RunE: func(c *cobra.Command, _ []string) error {
			if bouts < 2 {
				return inputError{fmt.Errorf("--bouts %d; expected at least 2", bouts)}
			}
			rows, err := census(bouts)
			if err != nil {
				return err
			}
			fmt.Fprintf(c.OutOrStdout(), "%d evenly matched bouts of average fighters, mma-3x5\n", bouts)
			for _, r := range rows {
				verdict := "inside"
				if r.mean < r.low || r.mean > r.high {
					verdict = "OUTSIDE"
				}
				fmt.Fprintf(c.OutOrStdout(), "%-52s %7.3f +- %.3f  band %.2f-%.2f  %-7s %s\n", r.what, r.mean, r.se, r.low, r.high, verdict, r.kind)
			}
			return nil
		},
	}
	c.Flags().IntVar(&bouts, "bouts", 4000, "bouts")
	return c
}

// censusRow is one figure of the model against the literature.
type censusRow struct {
	what           string
	mean, se       float64
	low, high      float64
	kind           string // fit: tuned on; test: not
	n, sum, square float64
}

func (r *censusRow) add(x float64) { r.n, r.sum, r.square = r.n+1, r.sum+x, r.square+x*x }

// census plays the bouts. Bands: Mańka-Malara 2022 (head strikes, bouts ended by head trauma), the 1991-2021 conference abstract on
// endings (large organisations), Thomson & Lamb 2016 as quoted second-hand (jab).
func census(bouts int) ([]censusRow, error) {
	rules, err := tape.RuleSetNamed("mma-3x5")
	if err != nil {
		return nil, err
	}
	b := sim.NewBout()
	b.Setup(rules, sim.AverageWorld())
	body := fighter.AverageBody()
	d := fighter.Population("average", body).Centre()
	for c := range b.Sides {
		if err := b.Sides[c].Load(body, d, nil, 1, rules); err != nil {
			return nil, err
		}
	}
	rows := []censusRow{
		{what: "5 jab landed share", low: .20, high: .36, kind: "fit"},
		{what: "6 clean head strikes received per minute", low: 1.8, high: 3.0, kind: "test"},
		{what: "6 head contacts received per minute", low: 4.5, high: 8.0, kind: "test"},
		{what: "7 bouts ended by strikes", low: .26, high: .38, kind: "fit"},
		{what: "19 bouts ended by decision", low: .36, high: .52, kind: "test"},
		{what: "19 bouts ended by submission", low: .14, high: .30, kind: "fit"},
	}
	for i := range bouts {
		o := b.Run(kernel.NewKey(0x63656e, uint64(i)))
		m := o.Verdict.Method
		for c := range o.Sides {
			s := &o.Sides[c]
			if s.JabThrown > 0 {
				rows[0].add(float64(s.JabLanded) / float64(s.JabThrown))
			}
			rows[1].add(float64(s.HeadClean) * 60e6 / float64(o.Time))
			rows[2].add(float64(s.HeadLanded) * 60e6 / float64(o.Time))
		}
		rows[3].add(is(m == sim.ByKO || m == sim.ByTKO))
		rows[4].add(is(m == sim.ByDecision))
		rows[5].add(is(m == sim.BySubmission))
	}
	for i := range rows {
		r := &rows[i]
		r.mean = r.sum / r.n
		r.se = math.Sqrt((r.square/r.n - r.mean*r.mean) / r.n)
	}
	return rows, nil
}

func is(x bool) float64 {
	if x {
		return 1
	}
	return 0
}
