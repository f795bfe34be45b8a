package calibrate

import (
	"fmt"
	"strings"

	"whatbout/fighter"
	"whatbout/tape"
)

// Time out of sight is suspicious in a range when at least leastDark seconds were lost there, at least darkShare of the time there, and at
// least darkTimes the share that was lost elsewhere (judgements).
const (
	leastDark = 5
	darkShare = .1
	darkTimes = 2
)

// sight is the time, in seconds, that was seen in a zone, and that went out of sight there.
type sight struct{ seen, dark float64 }

// unseenByRange warns of ranges in which sight is lost more often than elsewhere: a camera that loses a clinch at the fence does not lose time at
// random, and what is done there is known less well, or from its milder part only.
func unseenByRange(sources []*source) (out []string) {
	var zones [fighter.NumZones]sight
	for _, s := range sources {
		for i := range s.lights {
			for _, c := range []tape.Corner{tape.RedCorner, tape.BlueCorner} {
				viewOf(s, &s.lights[i], c).sight(&zones, s.weight/s.age/2)
			}
		}
	}
	ground := sight{zones[fighter.Top].seen + zones[fighter.Bottom].seen, zones[fighter.Top].dark + zones[fighter.Bottom].dark}
	names, sights := []string{}, []sight{}
	for z := range fighter.Top {
		names, sights = append(names, z.String()), append(sights, zones[z])
	}
	names, sights = append(names, "the ground"), append(sights, ground)
	all := sight{}
	for _, s := range sights {
		all = sight{all.seen + s.seen, all.dark + s.dark}
	}
	var parts []string
	for i, s := range sights {
		here, elsewhere := share(s), share(sight{all.seen - s.seen, all.dark - s.dark})
		if s.dark >= leastDark && here >= darkShare && here >= darkTimes*elsewhere {
			parts = append(parts, fmt.Sprintf("%s (%.0f of %.0f s, %.0f %%; elsewhere %.0f %%)", names[i], s.dark, s.dark+s.seen, 100*here, 100*elsewhere))
		}
	}
	if len(parts) == 0 {
		return nil
	}
	return []string{"sight is lost more often at some ranges than at others: " + strings.Join(parts, ", ") +
		". Figures there rest on what could be seen; if what is hidden is unlike it, they are off by more than their intervals say"}
}

func share(s sight) float64 {
	if s.dark == 0 {
		return 0
	}
	return s.dark / (s.dark + s.seen)
}

// sight adds up the light by zone, and the coded time out of sight by the zone in which sight was lost.
func (v *view) sight(zones *[fighter.NumZones]sight, weight float64) {
	for i, z := range v.zones {
		to := v.end
		if i+1 < len(v.zones) {
			to = v.zones[i+1].at
		}
		for _, s := range v.spans {
			if from, to := max(s.from, z.at), min(s.to, to); z.zone != unknown && from < to {
				zones[z.zone].seen += weight * float64(to-from) / 1e6
			}
		}
	}
	for _, c := range coded(v.src.bout, v.light) {
		for _, gap := range without([]span{c}, v.spans) {
			if z := v.zone(gap.from); z != unknown {
				zones[z].dark += weight * float64(gap.to-gap.from) / 1e6
			}
		}
	}
}
