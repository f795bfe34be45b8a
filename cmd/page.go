package cmd

import (
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/study"
)

// pageFlags are those of commands that write their result as a page too.
type pageFlags struct {
	page, checks string
	audit        *report.Audit
}

func (f *pageFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.page, "report", "", "write a report for a browser to this file: one file, no network, prints")
	c.Flags().StringVar(&f.checks, "checks", "", "checks of the calibration for the report: what whatbout audit --format json wrote")
}

// check reads the checks.
func (f *pageFlags) check() error {
	if f.checks == "" {
		return nil
	}
	if f.page == "" {
		return fmt.Errorf("--checks %s without --report; the checks are shown in a report", f.checks)
	}
	data, err := input.ReadFile(f.checks, mostResult)
	if err != nil {
		return err
	}
	shown, err := report.Read(f.checks, data)
	if err != nil {
		return err
	}
	audit, ok := shown.(*report.Audit)
	if !ok {
		return fmt.Errorf("%s is not an audit; expected what whatbout audit --format json wrote", f.checks)
	}
	f.audit = audit
	return nil
}

// write writes a result as a page, if that was asked for.
func (f *pageFlags) write(r report.Shown) error {
	if f.page == "" {
		return nil
	}
	page, err := report.PageOf(r, f.audit)
	if err != nil {
		return err
	}
	return wrap(input.WriteStream(f.page, page.HTML))
}

// What is watched closely for a page: as many as tell the courses apart, in a fraction of the comparison's time.
const (
	tracedDraws = 200
	tracedBouts = 6
	bandLevel   = .8
)

// traceOf watches some of a comparison's bouts.
func traceOf(q *study.Comparison) *study.Trace {
	return &study.Trace{
		Meeting: study.Meeting{Fighter: q.Fighter, Opponent: q.Opponent, Joint: q.Joint, Rules: q.Rules, Seed: q.Seed},
		Plans:   q.Plans, OpponentPlan: q.OpponentPlan, Draws: min(q.Draws, tracedDraws), Bouts: min(q.Bouts, tracedBouts), Level: bandLevel, Workers: q.Workers, Set: q.Set,
	}
}
