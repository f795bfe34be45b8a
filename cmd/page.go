package cmd

import (
	"bytes"

	"github.com/spf13/cobra"

	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/study"
)

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

// writePage writes a comparison as a page.
func (f *compareFlags) writePage(c *cobra.Command, q *study.Comparison, out *report.Comparison) error {
	trace, err := traceOf(q).Run(c.Context())
	if err != nil {
		return err
	}
	page, err := pageOf(out, trace)
	if err != nil {
		return err
	}
	return wrap(input.WriteStream(f.page, page.HTML))
}

// pageOf makes a page of a comparison, with the checklist as far as the program knows it.
func pageOf(out *report.Comparison, trace *study.TraceResult) (*report.Page, error) {
	var result bytes.Buffer
	if err := out.JSON(&result); err != nil {
		return nil, err
	}
	header, err := report.HeaderOf(result.Bytes())
	if err != nil {
		return nil, err
	}
	rounded, err := report.Rounded(out) // its words are those of its JSON, on every machine
	if err != nil {
		return nil, err
	}
	return &report.Page{Comparison: rounded.(*report.Comparison), Trace: trace, Checklist: report.Checklist(&header, nil)}, nil
}
