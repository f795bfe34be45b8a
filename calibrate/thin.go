package calibrate

import (
	"cmp"
	"hash/fnv"
	"math/rand/v2"
	"slices"

	"whatbout/sim/kernel"
	"whatbout/tape"
)

// What a missed act does is more than one count less: who did it seems free for longer, and what followed it or answered it seems to be
// begun by itself. What a made-up act does is more than one count more. So the same shares of acts are left out of the tape and made up
// in it once more, at random, and what that does to the figures is undone on the coded ones (simulation and extrapolation, linear in
// the logarithm: Cook & Stefanski 1994, J. Am. Stat. Assoc. 89, 1314–1328). What is made up is taken to stand anywhere in the time seen.

// thinnings is how often acts are left out anew: their luck then adds little to that of the acts themselves.
const thinnings = 4

// thinned reads everybody's tape with acts left out and made up in bouts with two codings and more, or in those with one.
func thinned(sources []*source, bouts []*boutDoubt, estimated bool) (out []map[string]*counts) {
	of := map[*tape.Bout]*boutDoubt{}
	some := false
	for _, b := range bouts {
		of[b.bout] = b
		some = some || b.estimated == estimated && b.groups != [tape.NumGroups]groupDoubt{}
	}
	if !some {
		return nil
	}
	for k := range thinnings {
		var less []*source
		for _, s := range sources {
			if b := of[s.bout]; b.estimated == estimated {
				s = s.spoilt(b, uint64(k))
			}
			less = append(less, s)
		}
		out = append(out, tally(less, nil))
	}
	return out
}

// spoilt leaves out acts of each group with the chance that one was missed, and puts as many elsewhere as were made up.
func (s *source) spoilt(b *boutDoubt, k uint64) *source {
	h := fnv.New64a()
	h.Write([]byte(s.bout.ID))
	stream := kernel.NewKey(0x7468696e, h.Sum64(), k).Stream()
	random := rand.New(&stream)
	out := *s
	out.events = nil
	for i := range s.events {
		e := &s.events[i]
		g := homeGroup(e.Act)
		if !s.isAct(i) || g >= tape.NumGroups {
			out.events = append(out.events, *e)
			continue
		}
		d := &b.groups[g]
		if random.Float64() < d.extra {
			made := *e
			made.Clock = s.light(e.Round).at(random.Float64())
			out.events = append(out.events, made)
		}
		if random.Float64() >= d.missed() {
			out.events = append(out.events, *e)
		}
	}
	slices.SortStableFunc(out.events, func(a, b tape.Event) int { return cmp.Or(cmp.Compare(a.Round, b.Round), cmp.Compare(a.Clock, b.Clock)) })
	out.lights = lights(&out)
	return &out
}

// at gives the moment by which a share of the light is over.
func (l *light) at(share float64) int64 {
	left := int64(share * l.seconds() * 1e6)
	for _, s := range l.spans {
		if left <= s.to-s.from {
			return s.from + left
		}
		left -= s.to - s.from
	}
	return l.end
}
