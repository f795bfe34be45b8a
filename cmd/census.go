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
		Use:     "census",
		Short:   "Hold evenly matched simulated bouts against published numbers",
		Example: "  whatbout census --bouts 1000",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.NoArgs(c, args)) },
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

// census plays the bouts. Bands and sources: 1 Miarka 2016 (median of rounds), 3 Davis 2015, 2018, Thomson & Lamb 2016, 5 Thomson & Lamb as
// quoted second-hand, 6 and 7 Mańka-Malara 2022, 10 Hutchison 2014 (second-hand), 19 conference abstract on 107,227 bouts (large
// organisations). Rows marked fit were tuned on, or follow from those that were (the three endings sum to one);
// those marked to be fitted may be and were not yet; those marked test never are.
func census(bouts int) ([]censusRow, error) {
	rows := []censusRow{
		{what: "1 low-intensity standing share of full rounds, mean", low: .40, high: .62, kind: "to be fitted"},
		{what: "5 jab landed share", low: .20, high: .36, kind: "fit"},
		{what: "6 clean head strikes received per minute", low: 1.8, high: 3.0, kind: "test"},
		{what: "6 head contacts received per minute", low: 4.5, high: 8.0, kind: "test"},
		{what: "7 bouts ended by strikes", low: .26, high: .38, kind: "fit"},
		{what: "10 knockout blow to stop, s", low: 2.5, high: 5, kind: "test"},
		{what: "10 strikes landed in between", low: 1.5, high: 4, kind: "test"},
		{what: "19 bouts ended by decision", low: .36, high: .52, kind: "fit"},
		{what: "19 bouts ended by submission", low: .14, high: .30, kind: "fit"},
		{what: "3 boxing: punches per boxer per minute", low: 17, high: 25, kind: "to be fitted"},
	}
	err := evenly("mma-3x5", bouts, func(o *sim.Outcome, events []tape.Event) {
		lowIntensity(&rows[0], o, events)
		for c := range o.Sides {
			s := &o.Sides[c]
			if s.JabThrown > 0 {
				rows[1].add(float64(s.JabLanded) / float64(s.JabThrown))
			}
			rows[2].add(float64(s.HeadClean) * 60e6 / float64(o.Time))
			rows[3].add(float64(s.HeadLanded) * 60e6 / float64(o.Time))
		}
		m := o.Verdict.Method
		rows[4].add(is(m == sim.ByKO || m == sim.ByTKO))
		if m == sim.ByKO {
			afterTheBlow(&rows[5], &rows[6], o, events)
		}
		rows[7].add(is(m == sim.ByDecision))
		rows[8].add(is(m == sim.BySubmission))
	})
	if err != nil {
		return nil, err
	}
	err = evenly("boxing-3x3", bouts/4+2, func(o *sim.Outcome, _ []tape.Event) {
		for c := range o.Sides {
			s := &o.Sides[c]
			rows[9].add(float64(s.Thrown[fighter.StraightPunch]+s.Thrown[fighter.LoopingPunch]) * 60e6 / float64(o.Time))
		}
	})
	for i := range rows {
		r := &rows[i]
		r.mean = r.sum / max(r.n, 1)
		r.se = math.Sqrt(max(r.square/max(r.n, 1)-r.mean*r.mean, 0) / max(r.n, 1))
	}
	return rows, err
}

// evenly plays bouts of average fighters.
func evenly(ruleSet string, bouts int, see func(o *sim.Outcome, events []tape.Event)) error {
	rules, err := tape.RuleSetNamed(ruleSet)
	if err != nil {
		return err
	}
	b := sim.NewBout()
	b.Setup(rules, sim.AverageWorld())
	body := fighter.AverageBody()
	d := fighter.Population("average", body).Centre()
	for c := range b.Sides {
		if err := b.Sides[c].Load(body, d, nil, 1, rules); err != nil {
			return err
		}
	}
	for i := range bouts {
		o := b.Run(kernel.NewKey(0x63656e, uint64(i)))
		see(&o, b.Events)
	}
	return nil
}

// lowIntensity adds, for every round that went its length, the share of it spent standing with no strike or takedown attempt by either
// within a second.
func lowIntensity(row *censusRow, o *sim.Outcome, events []tape.Event) {
	full := int(o.Verdict.Round) - 1
	if o.Verdict.Method == sim.ByDecision {
		full++
	}
	const length = int64(300e6)
	quiet := make([]int64, full)
	from, round, standing := int64(0), uint8(0), true
	book := func(to int64) {
		if standing && round >= 1 && int(round) <= full && to > from {
			quiet[round-1] += to - from
		}
	}
	for i := range events {
		e := &events[i]
		if e.Round != round {
			book(length)
			from, round, standing = 0, e.Round, true
		}
		switch {
		case e.Act == tape.StateRange && e.Corner == tape.RedCorner:
			book(e.Clock)
			from = max(from, e.Clock)
			standing = e.Value != tape.Ground
		case e.Act.IsAttack():
			book(e.Clock - 1e6)
			from = max(from, e.Clock+1e6)
		}
	}
	book(length)
	for _, q := range quiet {
		row.add(float64(q) / float64(length))
	}
}

// afterTheBlow adds the time and the strikes landed between the blow that put somebody out and the stop: the last knockdown.
func afterTheBlow(seconds, strikes *censusRow, o *sim.Outcome, events []tape.Event) {
	landed := 0.0
	for i := len(events) - 1; i >= 0; i-- {
		e := &events[i]
		if e.Result == tape.Knockdown || e.Result == tape.Stoppage {
			seconds.add(float64(o.Verdict.Clock-e.Clock) / 1e6)
			strikes.add(landed)
			return
		}
		if int(e.Corner) == int(o.Verdict.Winner) && e.Act.IsStrike() && e.Result.IsLanded() {
			landed++
		}
	}
}

func is(x bool) float64 {
	if x {
		return 1
	}
	return 0
}
