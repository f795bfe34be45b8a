package calibrate

import (
	"math"

	"whatbout/fighter"
	"whatbout/tape"
)

// chest is the distance between two fighters chest to chest, m: as the engine locks them up.
const chest = .45

// pairZone maps a range that was coded for the pair to one fighter's own zone. Such a range says what the nearest limb can do: long
// means that somebody's straight punches reach and nobody's hooks. The distance is taken to be in the middle of the stretch that
// this leaves between both reaches, and each fighter's zone is what their own limbs can do there; out of everybody's reach both are
// out. So the one with the longer limb has the zone that was coded, and the other has it too unless the limbs differ by more than half
// the stretch, and then the next one out. boxing, which is long or pocket, is the stretch of both. Without both bodies both
// have the zone that was coded.
func (s *source) pairZone(v tape.Value, c tape.Corner) fighter.Zone {
	red, blue := s.bodies[0], s.bodies[1]
	if red == nil || blue == nil || v == tape.Clinch || v == tape.Ground || v == tape.Out {
		return fighter.ZoneOf(v)
	}
	a, b := red.Reach(), blue.Reach()
	hook, straight, kick := math.Max(a.Hook, b.Hook), math.Max(a.Straight, b.Straight), math.Max(a.Kick, b.Kick)
	var near, far float64
	switch v {
	case tape.Kicking:
		near, far = straight, kick
	case tape.Long:
		near, far = hook, straight
	case tape.Pocket:
		near, far = chest, hook
	case tape.Boxing:
		near, far = chest, straight
	}
	return zoneAtGap((near+far)/2, s.bodies[c].Reach())
}

// zoneAtGap is what a fighter's limbs can do on the feet at a distance.
func zoneAtGap(gap float64, r fighter.Reach) fighter.Zone {
	switch {
	case gap <= r.Hook:
		return fighter.Pocket
	case gap <= r.Straight:
		return fighter.Long
	case gap <= r.Kick:
		return fighter.Kicking
	}
	return fighter.Out
}
