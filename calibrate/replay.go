package calibrate

import (
	"context"
	"errors"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// replay is a coded bout that its two fighters' profiles fight again, read where the coder read it and as the coder wrote.
type replay struct {
	src    *source
	ranges rangeCoding
	grain  int64 // in which clocks are written down, µs
	pair   [2]*fighter.Profile
}

// replays lists the bouts, the first coding by name of each. Who has no profile is taken for the population, of average build if no
// body is known.
func replays(sources []*source, profiles map[string]*fighter.Profile, population *fighter.PopulationFile) (out []*replay) {
	var last *tape.Bout
	for _, s := range sources {
		if s.bout == last {
			continue
		}
		last = s.bout
		r := &replay{src: s, ranges: rangesOf(s.events), grain: grainOf(s.events)}
		for c := range r.pair {
			id := s.id(tape.Corner(c))
			if r.pair[c] = profiles[id]; r.pair[c] != nil {
				continue
			}
			body := fighter.AverageBody()
			if s.bodies[c] != nil {
				body = *s.bodies[c]
			}
			r.pair[c] = population.Profile(id, body)
		}
		out = append(out, r)
	}
	return out
}

// replay does what has to be simulated: step lengths first, then the check, then what closes it.
func (r *Result) replay(sources []*source, o Options) (err error) {
	if !o.Steps && !o.Check && o.Close == CloseNone {
		return nil
	}
	ctx, all := context.Background(), replays(sources, r.Profiles, o.population())
	if o.Steps {
		if r.Steps, err = fitSteps(ctx, r.Profiles, all, o); err != nil {
			return err
		}
	}
	if o.Check {
		r.Places = placesOf(sources, .95, nil)
	}
	if !o.Check && o.Close == CloseNone {
		return nil
	}
	joint, err := r.Joint()
	if err != nil {
		return err
	}
	if r.Residuals, err = residuals(ctx, all, joint, o.Workers); err != nil || o.Close == CloseNone {
		return err
	}
	return r.close(ctx, all, o)
}

// play fights the bout with those figures, nobody stopped, and gives a reader for each coded round, of acts whose clocks are off by chance with that
// standard deviation, µs; the light of a simulated round is whole.
func (r *replay) play(b *sim.Bout, draws [2]fighter.Draw, key kernel.Key, off float64) ([]*roundReader, error) {
	rules := r.src.bout.RuleSet
	b.NoStop = true
	b.Setup(rules, sim.AverageWorld())
	if err := errors.Join(b.Sides[0].Load(r.pair[0].Body, draws[0], nil, nil, rules), b.Sides[1].Load(r.pair[1].Body, draws[1], nil, nil, rules)); err != nil {
		return nil, err
	}
	b.Run(key)
	if err := errors.Join(b.Sides[0].Fault(), b.Sides[1].Fault()); err != nil {
		return nil, err
	}
	bell := int64(rules.RoundSeconds) * 1e6
	coded := rounded(unsteady(lookedAt(r.src.bout, b.Events), off, bell, key.With(0x636c6f636b)), r.grain, bell)
	whole := &source{bout: r.src.bout, events: r.ranges.as(coded), weight: 1, bodies: r.src.bodies}
	out := make([]*roundReader, len(r.src.lights))
	for i := range out {
		coded := &r.src.lights[i]
		l := &light{round: coded.round, end: bell}
		l.spans = []span{{0, l.end}}
		l.first, l.last = rowsOf(whole.events, coded.round)
		out[i] = &roundReader{src: whole, light: l}
	}
	whole.lights = make([]light, len(out))
	for i, rr := range out {
		whole.lights[i] = *rr.light
	}
	return out, nil
}

// rowsOf finds a round's rows.
func rowsOf(events []tape.Event, round uint8) (first, last int) {
	for first < len(events) && events[first].Round < round {
		first++
	}
	for last = first; last < len(events) && events[last].Round == round; last++ {
	}
	return first, last
}
