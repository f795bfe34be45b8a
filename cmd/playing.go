package cmd

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"whatbout/report"
	"whatbout/study"
)

// playing are the flags of commands that play many bouts: how many on which seed, how sure, how it is shown, and where what is played is kept.
type playing struct {
	seed                  uint64
	draws, bouts, workers int
	level                 float64
	format                string
	pageFlags
	quiet  bool
	resume resumeFlag
}

// add takes the draws and bouts that a study plays unless told, and what its draws are beside possible truths.
func (p *playing) add(c *cobra.Command, draws, bouts int, also string) {
	c.Flags().Uint64Var(&p.seed, "seed", 1, "seed; the same seed gives the same bytes")
	c.Flags().IntVar(&p.draws, "draws", draws, "draws of the figures (possible truths)"+also)
	c.Flags().IntVar(&p.bouts, "bouts", bouts, "bouts for each draw and plan")
	c.Flags().IntVar(&p.workers, "workers", 0, "workers (0: one a core); never changes the result")
	c.Flags().Float64Var(&p.level, "level", 0.95, "level of the intervals")
	c.Flags().BoolVar(&p.quiet, "quiet", false, "no progress")
	p.resume.add(c)
}

// addFormat is for commands whose result is shown in any of the formats, and as a page.
func (p *playing) addFormat(c *cobra.Command) {
	c.Flags().StringVar(&p.format, "format", "text", "text, json or csv")
	p.pageFlags.add(c)
}

// show shows a result, and writes its page if that was asked for; err says why the result is not whole, and then there is no page.
func (p *playing) show(c *cobra.Command, r report.Shown, err error) error {
	if err == nil {
		err = p.pageFlags.write(r)
	}
	return errors.Join(show(c, p.format, r), err)
}

const mostBouts = 100000 // a draw: a worker keeps the figures of all of them, 0.5 kB each

// check finds what is wrong with the flags themselves; a study needs at least so many draws.
func (p *playing) check(leastDraws int) error {
	var faults []error
	if p.format != "" {
		faults = append(faults, format(p.format, shownFormats...), p.pageFlags.check())
	}
	if p.draws < leastDraws || p.bouts < 2 || p.bouts > mostBouts || p.workers < 0 || !(p.level > .5 && p.level < 1) {
		faults = append(faults, fmt.Errorf("expected --draws from %d, --bouts from 2 to %d, --workers from 0 and --level above 0.5 and below 1", leastDraws, mostBouts))
	}
	return errors.Join(faults...)
}

// meeting is who meets, with the seed.
func (p *playing) meeting(g *given) study.Meeting {
	return study.Meeting{Fighter: g.red, Opponent: g.blue, Joint: g.joint, Rules: g.rules, Seed: p.seed}
}

// run opens what is kept (nil without --resume), tells of progress unless --quiet, and closes both when the work is done.
func (p *playing) run(c *cobra.Command, work func(store study.Store, progress func(done, of int)) error) (err error) {
	store, err := p.resume.open()
	if err != nil {
		return err
	}
	defer p.resume.close(&err)
	if p.quiet {
		return work(store, nil)
	}
	tell, done := progressOn(c.ErrOrStderr())
	defer done()
	return work(store, tell.of("draws"))
}

// again is the part of the line to repeat that these flags and the rule set make.
func (p *playing) again(g *given) string {
	return g.underRules() + fmt.Sprintf(" --seed %d --draws %d --bouts %d --level %g", p.seed, p.draws, p.bouts, p.level)
}

// format refuses a format that a command does not have.
func format(word string, known ...string) error {
	if slices.Contains(known, word) {
		return nil
	}
	last := len(known) - 1
	return inputError{fmt.Errorf("--format %q; expected %s or %s", word, strings.Join(known[:last], ", "), known[last])}
}
