package study

import (
	"context"
	"errors"
	"fmt"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// player plays cells of one meeting; it is the memory of one goroutine.
type player struct {
	meeting *Meeting
	pair    *fighter.Pair
	plans   map[*tactics.Plan]*tactics.Compiled
	bout    *sim.Bout
	drawn   struct { // the latest truth: cells of one draw come together
		draw  int
		tape  bool
		known bool
		truth
	}
}

// compile prepares plans once, for all players of a meeting.
func compile(plans ...*tactics.Plan) (map[*tactics.Plan]*tactics.Compiled, error) {
	out := map[*tactics.Plan]*tactics.Compiled{}
	var faults []error
	for _, p := range plans {
		if _, known := out[p]; known || p == nil {
			continue
		}
		c, err := tactics.Compile(p)
		out[p], faults = c, append(faults, err)
	}
	return out, errors.Join(faults...)
}

// play plays a cell and calls see for each bout.
func (w *player) play(ctx context.Context, c *Cell, see func(i int, o *sim.Outcome)) error {
	if w.bout == nil {
		w.bout = sim.NewBout()
	}
	if err := w.load(c); err != nil {
		return err
	}
	for i := range c.Bouts {
		if err := ctx.Err(); err != nil {
			return err
		}
		o := w.bout.Run(kernel.NewKey(w.meeting.Seed, uint64(c.Draw), uint64(i)))
		see(i, &o)
	}
	return errors.Join(w.bout.Sides[0].Fault(), w.bout.Sides[1].Fault())
}

// load puts a cell's truth and plans into the bout.
func (w *player) load(c *Cell) error {
	m, t := w.meeting, *w.truth(c)
	if x := c.Exchange; x != nil {
		t = t.exchanged(draw(w.pair, m.Seed, uint64(x.From), !c.Tape), x.Strands)
	}
	w.bout.Setup(m.Rules, t.world)
	red := corner{m.Fighter, t.red, w.plans[c.Plan], t.shares(w.plans[c.Plan])}
	blue := corner{m.Opponent, t.blue, w.plans[c.Reply], t.shares(w.plans[c.Reply])}
	if c.InFull {
		red.shares = nil
	}
	settle(c.Set, &red, &blue)
	return atSettings(c.Set, errors.Join(red.into(&w.bout.Sides[0], m.Rules), blue.into(&w.bout.Sides[1], m.Rules)))
}

// corner is what one side of a bout is loaded with.
type corner struct {
	who    *fighter.Profile
	draw   fighter.Draw
	plan   *tactics.Compiled
	shares []float64
}

// settle moves dials, in their order.
func settle(set []Setting, red, blue *corner) {
	for _, s := range set {
		if s.Whose == 0 {
			red.set(s)
		} else {
			blue.set(s)
		}
	}
}

func (c *corner) set(s Setting) {
	if s.Dial.adherence {
		for i := range c.shares {
			c.shares[i] = s.At / 100
		}
		return
	}
	c.draw = append(fighter.Draw(nil), c.draw...)
	s.Dial.set(c.draw, c.who.Centre(), s.At)
}

func (c *corner) into(side *sim.Side, rules *tape.RuleSet) error {
	return side.Load(c.who.Body, c.draw, c.plan, c.shares, rules)
}

// atSettings says at which settings something went wrong.
func atSettings(set []Setting, err error) error {
	if err == nil {
		return nil
	}
	for _, s := range set {
		err = fmt.Errorf("%s at %g: %w", s.Dial.Name, s.At, err)
	}
	return err
}

func (w *player) truth(c *Cell) *truth {
	d := &w.drawn
	if !d.known || d.draw != c.Draw || d.tape != c.Tape {
		d.draw, d.tape, d.known = c.Draw, c.Tape, true
		d.truth = draw(w.pair, w.meeting.Seed, uint64(c.Draw), !c.Tape)
	}
	return &d.truth
}
