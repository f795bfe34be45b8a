package main

import (
	"fmt"
	"io"
	"math"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// closing is a way to close what simulated bouts leave of coded rates and shares, by the offsets that calibrate --check shows.
type closing struct {
	name   string
	rates  func(own, all calibrate.Residual) float64 // what to add to the logarithm of a fighter's rates of a family
	shares func(all calibrate.Residual) float64      // what to add to everybody's log-odds of success with a family
}

func none(calibrate.Residual) float64 { return 0 }

func whole(r calibrate.Residual) float64 { return r.Offset }

// doubted shrinks an offset by the part of it that is more than its own error.
func doubted(r calibrate.Residual) float64 {
	if r.Standard == 0 {
		return 0
	}
	return r.Offset * max(0, 1-1/(r.Standard*r.Standard))
}

var closings = []closing{
	{"as calibrated", func(_, _ calibrate.Residual) float64 { return 0 }, none},
	{"each fighter's rates", func(own, _ calibrate.Residual) float64 { return whole(own) }, none},
	{"the same, less doubt", func(own, _ calibrate.Residual) float64 { return doubted(own) }, none},
	{"everybody's rates", func(_, all calibrate.Residual) float64 { return whole(all) }, none},
	{"everybody's, less doubt", func(_, all calibrate.Residual) float64 { return doubted(all) }, none},
	{"everybody's shares", func(_, _ calibrate.Residual) float64 { return 0 }, whole},
	{"the same, less doubt", func(_, _ calibrate.Residual) float64 { return 0 }, doubted},
}

// apply closes what is open in copies of the profiles.
func (c *closing) apply(r *calibrate.Result) map[string]*fighter.Profile {
	type key struct {
		who    string
		family fighter.Family
		figure calibrate.ResidualFigure
	}
	of := map[key]calibrate.Residual{}
	for _, x := range r.Residuals {
		of[key{x.Fighter, x.Family, x.Figure}] = x
	}
	out := map[string]*fighter.Profile{}
	for id, p := range r.Profiles {
		q := p.Clone()
		for f := range fighter.NumFamilies {
			times := math.Exp(c.rates(of[key{id, f, calibrate.ResidualRate}], of[key{"", f, calibrate.ResidualRate}]))
			q.Figures[fighter.Attack(f)].A += c.shares(of[key{"", f, calibrate.ResidualShare}])
			calibrate.MoreOften(q, f, times)
		}
		out[id] = q
	}
	return out
}

// forward is what bouts to come hold: tries and successes by fighter and family.
type forward struct{ tries, told, made [fighter.NumFamilies]float64 }

// played plays the league's schedule so many times with those figures, coded as the league's coder would.
func (l *league) played(pairs [][2]int, draw func(i int) fighter.Draw, times int, spoil func([]tape.Event)) ([]forward, error) {
	out := make([]forward, len(l.ids))
	b := sim.NewBout()
	b.NoStop = true
	b.Setup(l.rules, sim.AverageWorld())
	for n := range times {
		for k, pair := range pairs {
			for c, i := range pair {
				if err := b.Sides[c].Load(fighter.AverageBody(), draw(i), nil, nil, l.rules); err != nil {
					return nil, err
				}
			}
			b.Run(kernel.NewKey(0x666f7277617264, uint64(n), uint64(k)))
			if spoil != nil {
				spoil(b.Events)
			}
			for i := range b.Events {
				e := &b.Events[i]
				f, ok := fighter.FamilyOf(e.Act)
				if !ok {
					continue
				}
				x := &out[pair[e.Corner]]
				x.tries[f]++
				if e.Result != tape.ResultUncoded && e.Result != tape.ResultUnknown {
					x.told[f]++
				}
				if e.Result.IsClean() || e.Result == tape.TakenDown || e.Result == tape.Made {
					x.made[f]++
				}
			}
		}
	}
	return out, nil
}

// generous is a coder who calls a third of the strikes that partly land clean.
func generous(events []tape.Event) {
	for i := range events {
		if e := &events[i]; e.Result == tape.Partial && i%3 == 0 {
			e.Result = tape.Clean
		}
	}
}

// errors of a closing: root mean squares over fighters and families.
type closed struct {
	rates, shares      float64 // of bouts to come: logarithm of tries, log-odds of success, weighed by tries
	skills             float64 // attack and defence against the truths
	inside             map[string]float64
	weight, skillCount float64
}

// offsets prints what closing does to leagues whose truths are known, coded by somebody who errs nowhere and by one who is generous.
func offsets(w io.Writer, leagues, fighters int) error {
	for _, rounds := range []int{6, 12, 30} {
		for _, coder := range []struct {
			name  string
			spoil func([]tape.Event)
		}{{"an exact coder", nil}, {"a coder who calls a third of the partial strikes clean", generous}} {
			fmt.Fprintf(w, "\n%d rounds, %s\n%-24s %7s %7s %7s   inside 90 %%: %8s %8s %8s %8s\n", rounds, coder.name, "closed", "tries", "shares", "skills", "rates", "answer", "continue", "attack")
			sums := make([]closed, len(closings))
			for k := range leagues {
				if err := closeLeague(sums, uint64(1+k), fighters, rounds, coder.spoil); err != nil {
					return err
				}
			}
			for i, c := range closings {
				s := &sums[i]
				fmt.Fprintf(w, "%-24s %7.3f %7.3f %7.3f %14s %8.3f %8.3f %8.3f %8.3f\n", c.name, math.Sqrt(s.rates/s.weight), math.Sqrt(s.shares/s.weight), math.Sqrt(s.skills/s.skillCount), "",
					s.inside["rate"]/float64(leagues), s.inside["answer"]/float64(leagues), s.inside["continue"]/float64(leagues), s.inside["attack"]/float64(leagues))
			}
		}
	}
	return nil
}

// forwardTimes is how often the schedule is played: luck in a log of tries is then small beside what tape leaves open.
const forwardTimes = 20

func closeLeague(sums []closed, seed uint64, fighters, rounds int, spoil func([]tape.Event)) error {
	l, err := newLeague(seed, fighters, rounds)
	if err != nil {
		return err
	}
	if spoil != nil {
		for _, c := range l.tape {
			events := c.Events()
			spoil(events)
			for i := range events {
				c.Rows[i].Event = events[i]
			}
		}
	}
	r, err := calibrate.Calibrate(l.tape, calibrate.Options{Check: true})
	if err != nil {
		return err
	}
	pairs := schedule(fighters, rounds)
	want, err := l.played(pairs, func(i int) fighter.Draw { return l.truths[i] }, forwardTimes, spoil)
	if err != nil {
		return err
	}
	for n := range closings {
		profiles := closings[n].apply(r)
		got, err := l.played(pairs, func(i int) fighter.Draw { return profiles[l.ids[i]].Centre() }, forwardTimes, spoil)
		if err != nil {
			return err
		}
		sums[n].add(l, profiles, got, want)
	}
	return nil
}

func (s *closed) add(l *league, profiles map[string]*fighter.Profile, got, want []forward) {
	ranked := summaries{}
	for i, id := range l.ids {
		p := profiles[id]
		for f := range fighter.NumFamilies {
			if t := &want[i]; t.tries[f] >= forwardTimes && t.told[f] > 0 {
				weight := t.tries[f]
				s.weight += weight
				s.rates += weight * math.Pow(math.Log((got[i].tries[f]+.5)/(t.tries[f]+.5)), 2)
				s.shares += weight * math.Pow(logit(&got[i], f)-logit(t, f), 2)
			}
			for _, figure := range []fighter.Figure{fighter.Attack(f), fighter.Defence(f)} {
				s.skills += math.Pow(p.Figures[figure].A-l.truths[i][figure], 2)
				s.skillCount++
			}
		}
		for _, x := range ranks(p, l.truths[i]) {
			ranked.add(x)
		}
	}
	if s.inside == nil {
		s.inside = map[string]float64{}
	}
	feet := &summary{}
	for _, zone := range []string{"kicking", "long", "pocket"} {
		feet.shares = append(feet.shares, ranked["rate."+zone].shares...)
	}
	s.inside["rate"] += feet.inside(.9)
	for _, class := range []string{"answer", "continue", "attack"} {
		s.inside[class] += ranked[class].inside(.9)
	}
}

func logit(x *forward, f fighter.Family) float64 {
	return math.Log((x.made[f] + .5) / (x.told[f] - x.made[f] + .5))
}
