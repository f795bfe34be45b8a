package calibrate

import (
	"context"
	"errors"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/batch"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// auditBout is the audited rounds of a coded bout with the two who fought it.
type auditBout struct {
	src     *source
	fold    *fold
	pair    *fighter.Pair
	cells   []*cell
	times   [2]*timing // by corner; nil: not to be told
	chances *chances   // nil: results were not looked for
	ranges  rangeCoding
	grain   int64
}

// newAuditBout reads the coded side.
func newAuditBout(s *source, f *fold) *auditBout {
	b := &auditBout{src: s, fold: f, ranges: rangesOf(s.events), grain: grainOf(s.events)}
	for _, c := range codedCells(s) {
		if f.audited[c.at()] {
			b.cells = append(b.cells, c)
		}
	}
	return b
}

// codedCells reads all rounds of a coding.
func codedCells(s *source) (out []*cell) {
	for i := range s.lights {
		r := &roundReader{src: s, light: &s.lights[i]}
		for c := tape.RedCorner; c <= tape.BlueCorner; c++ {
			for f := range auditFigures {
				if x := r.cell(&auditFigures[f], c); x != nil {
					out = append(out, x)
				}
			}
		}
	}
	return out
}

// cell reads one figure, or gives nil where it was not looked for or was never known.
func (r *roundReader) cell(f *auditFigure, c tape.Corner) *cell {
	if !f.coded(r.src.bout, c) || r.light.seconds() == 0 {
		return nil
	}
	x := &cell{figure: f, corner: c, AuditCell: AuditCell{Bout: r.src.bout.ID, Round: r.light.round, Corner: c.String(), Fighter: r.src.id(c),
		Group: f.group, Figure: f.name, Unit: f.unit, Seconds: r.light.seconds()}}
	if f.counts != nil {
		x.Coded = r.count(f, c, r.light)
		return x
	}
	stays := r.stays(f, c)
	x.known = unbroken(stays)
	if x.Seconds = x.read(stays); x.Seconds == 0 {
		return nil
	}
	return x
}

// read fills in what stays show of a figure, where the coding knows the state, and gives the seconds in which they are known too.
func (c *cell) read(stays []stay) (known float64) {
	c.Coded, known = c.figure.timed(stays, c.known)
	switch {
	case c.figure.moves != nil:
		c.Coded = c.figure.crossed(stays, c.known)
	case c.Unit == AuditShare && known > 0:
		c.Coded /= known
	}
	return known
}

// play fills all draws: job k of a bout plays its draw k. Times and chances are read for the first trial, on which verdicts rest.
func play(ctx context.Context, trials []*playedTrial, o AuditOptions) error {
	var bouts []*auditBout
	for i, t := range trials {
		for _, b := range t.bouts {
			b.prepare(o.Draws, i == 0)
			bouts = append(bouts, b)
		}
	}
	jobs := len(bouts) * o.Draws
	workers := make([]*sim.Bout, batch.Workers(o.Workers, jobs))
	tell := func(done int) {
		if o.Progress != nil {
			o.Progress("bouts", done, jobs)
		}
	}
	return batch.Run(ctx, jobs, len(workers), func(w, job int) error {
		if workers[w] == nil {
			workers[w] = sim.NewBout()
			workers[w].NoStop = true
		}
		return bouts[job/o.Draws].play(workers[w], o.Seed, job%o.Draws, job/o.Draws)
	}, tell)
}

// prepare makes room for draws.
func (b *auditBout) prepare(draws int, judged bool) {
	if !judged {
		kept := b.cells[:0]
		for _, c := range b.cells {
			if c.Unit == AuditCount { // all that is scored against rivals
				kept = append(kept, c)
			}
		}
		b.cells = kept
	}
	for _, c := range b.cells {
		c.draws = make([]float64, draws)
	}
	if judged {
		b.prepareTimes(draws)
		b.prepareChances(draws)
	}
}

func (b *auditBout) play(s *sim.Bout, seed uint64, k, number int) error {
	red, blue := b.pair.Draw(seed, uint64(k), true)
	rules := b.src.bout.RuleSet
	s.Setup(rules, sim.DrawWorld(seed, uint64(k)))
	if err := errors.Join(s.Sides[0].Load(b.pair.Red.Body, red, nil, nil, rules), s.Sides[1].Load(b.pair.Blue.Body, blue, nil, nil, rules)); err != nil {
		return err
	}
	s.Run(kernel.NewKey(seed, uint64(k), uint64(number)))
	if err := errors.Join(s.Sides[0].Fault(), s.Sides[1].Fault()); err != nil {
		return err
	}
	b.read(s.Events, k)
	return nil
}

// read reads a simulated bout as the coded one was coded.
func (b *auditBout) read(events []tape.Event, k int) {
	rules := b.src.bout.RuleSet
	written := &source{bout: b.src.bout, weight: 1, bodies: b.src.bodies,
		events: b.ranges.as(rounded(lookedAt(b.src.bout, events), b.grain, int64(rules.RoundSeconds)*1e6))}
	written.lights = b.lit(written.events)
	b.readCells(written, k)
	for c := range b.times {
		if b.times[c] != nil {
			b.times[c].read(written, b.fold, k)
		}
	}
	if b.chances != nil {
		b.chances.read(written, b.fold, k)
	}
}

// lit puts the light of the coding on the rounds of a simulated bout.
func (b *auditBout) lit(events []tape.Event) (out []light) {
	for i := range events {
		if n := len(out); n == 0 || out[n-1].round != events[i].Round {
			from := b.src.light(events[i].Round)
			out = append(out, light{round: events[i].Round, first: i, end: from.end, spans: from.spans})
		}
		out[len(out)-1].last = i + 1
	}
	return out
}

// readCells reads states in the light of the whole round, since a simulated state is known from the bell on.
func (b *auditBout) readCells(written *source, k int) {
	end := int64(written.bout.RuleSet.RoundSeconds) * 1e6
	rounds := map[uint8]*roundReader{}
	for i := range written.lights {
		l := written.lights[i]
		l.end, l.spans = end, []span{{0, end}}
		rounds[l.round] = &roundReader{src: written, light: &l}
	}
	for _, c := range b.cells {
		r := rounds[c.Round]
		switch {
		case r == nil: // nobody did anything in that round
		case c.figure.counts != nil:
			c.draws[k] = r.count(c.figure, c.corner, b.src.light(c.Round))
		default:
			x := cell{figure: c.figure, known: c.known, AuditCell: AuditCell{Unit: c.Unit}}
			x.read(r.stays(c.figure, c.corner))
			c.draws[k] = x.Coded
		}
	}
}
