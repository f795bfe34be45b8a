package calibrate

import (
	"fmt"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// scoutKey starts the key of the bouts that the population plays for scouting.
const scoutKey = 0x73636f7574

// usualScout plays average fighters against each other, under each tape's rule set and coded as that tape was, and tallies both corners:
// what anybody would have done in the same situations.
func usualScout(tapes []*ScoutTape, bouts int, population *fighter.PopulationFile) (*scoutTally, error) {
	t := &scoutTally{}
	b := sim.NewBout()
	body := fighter.AverageBody()
	d := population.Profile("average", body).Centre()
	for k, s := range tapes {
		rules := s.Bout.RuleSet
		b.Setup(rules, sim.AverageWorld())
		for c := range b.Sides {
			if err := b.Sides[c].Load(body, d, nil, nil, rules); err != nil {
				return nil, fmt.Errorf("calibrate: %w", err)
			}
		}
		for i := k; i < max(bouts, len(tapes)); i += len(tapes) { // shared out evenly
			b.Run(kernel.NewKey(scoutKey, uint64(i)))
			played := asCoded(s, b.Events)
			t.add(played, tape.RedCorner)
			t.add(played, tape.BlueCorner)
		}
	}
	return t, nil
}

// asCoded is a simulated bout as the tape's coder would have kept it: what was looked for, in the stretches that were coded. Both corners
// count, since they are the same fighter.
func asCoded(s *ScoutTape, events []tape.Event) *ScoutTape {
	bout := *s.Bout
	bout.Corners, bout.Ended = [2]bool{true, true}, tape.Ended{Winner: tape.NoCorner}
	bout.End = events[len(events)-1].Clock
	return &ScoutTape{Bout: &bout, Events: events}
}
