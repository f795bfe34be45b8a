package calibrate

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// PlaceRate is how much more often a fighter begins something in a place, or against the other stance, than elsewhere at the same range.
// Profiles hold multiples by place of sorts of acts, drawn towards the population; this is what is counted, act by act.
type PlaceRate struct {
	Fighter  string          `json:"fighter"`
	Place    string          `json:"place"`
	Does     string          `json:"does"`
	Acts     float64         `json:"acts"`     // there, by weight
	Minutes  float64         `json:"minutes"`  // free there, on the feet and in the clinch
	Expected float64         `json:"expected"` // acts there if the place made no difference
	Ratio    infer.RateRatio `json:"ratio"`
	Q        float64         `json:"q"` // the chance of the ratio's test, adjusted for how many of the fighter's were looked at
	Clips    []Clip          `json:"-"`
}

// spot is a state of the two that rates may hang on beside the range.
type spot struct {
	words string
	known func(s *source) bool
	when  func(v *view) []span
}

var spots = []spot{
	{"with the back on the fence", looksAt(tape.StateFence), heldBy(tape.StateFence, own)},
	{"with the other's back on the fence", looksAt(tape.StateFence), heldBy(tape.StateFence, tape.Corner.Other)},
	{"holding the centre", looksAt(tape.StateCentre), heldBy(tape.StateCentre, own)},
	{"with the other holding the centre", looksAt(tape.StateCentre), heldBy(tape.StateCentre, tape.Corner.Other)},
	{"against the other stance", func(s *source) bool { return s.bodies[0] != nil && s.bodies[1] != nil }, (*view).opposite},
}

const (
	onOwnFence = 0 // in spots
	stepsBack  = 0 // in actOptions
)

func own(c tape.Corner) tape.Corner { return c }

func looksAt(a tape.Act) func(*source) bool { return func(s *source) bool { return s.lookedFor(a) } }

// heldBy gives the stretches in which the last row of a state names a corner; what nobody has stated since the light came on counts as not
// held.
func heldBy(state tape.Act, who func(tape.Corner) tape.Corner) func(*view) []span {
	return func(v *view) []span {
		held := tape.Red + tape.Value(who(v.corner))
		return v.lit(v.during(func(e *tape.Event) bool { return e.Act == state && e.Value == held },
			func(e *tape.Event) bool { return e.Act == state && e.Value != held }), state)
	}
}

// lit ends a state where the light goes out: what holds when it comes on again is not known until a row says so.
func (v *view) lit(spans []span, state tape.Act) (out []span) {
	for _, s := range spans {
		for _, l := range v.spans {
			from := max(l.from, s.from)
			if l.from > s.from { // the light came on during the span: the state has to be stated again
				from = v.stated(state, l.from, s.to)
			}
			if to := min(l.to, s.to); from < to {
				out = append(out, span{from, to})
			}
		}
	}
	return out
}

// stated finds the first row of a state from a moment on, or gives the end.
func (v *view) stated(state tape.Act, from, end int64) int64 {
	for i := v.first; i < v.last; i++ {
		if e := &v.src.events[i]; e.Act == state && e.Clock >= from {
			return min(e.Clock, end)
		}
	}
	return end
}

// opposite gives the stretches in which the two stand the other way round from each other.
func (v *view) opposite() (out []span) {
	settings := v.src.settings()
	since, on := int64(0), false
	for i := v.first; i < v.last; i++ {
		switch now := settings[i].opposite; {
		case now && !on:
			since, on = v.src.events[i].Clock, true
			if i == v.first {
				since = 0
			}
		case !now && on:
			out, on = append(out, span{since, v.src.events[i].Clock}), false
		}
	}
	if on {
		out = append(out, span{since, v.end})
	}
	return out
}

// freeIn adds up the free seconds in each zone within stretches that are in order and apart.
func (v *view) freeIn(in []span) (out [fighter.NumZones]float64) {
	for i, z := range v.zones {
		to := v.end
		if i+1 < len(v.zones) {
			to = v.zones[i+1].at
		}
		if z.zone == unknown {
			continue
		}
		for _, l := range v.spans {
			for _, s := range in {
				if s.from, s.to = max(s.from, l.from, z.at), min(s.to, l.to, to); s.from < s.to {
					out[z.zone] += float64(length(s, v.busy)) / 1e6
				}
			}
		}
	}
	return out
}

// placeRound is a round of a coding as one corner went through it.
type placeRound struct {
	src    *source
	round  uint8
	corner tape.Corner
}

// placeTally adds up one fighter's acts and free seconds in a place and elsewhere.
type placeTally struct {
	pairs [fighter.Clinch + 1]infer.RatePair
	clips []Clip
}

// placeTallies are those of one fighter, by place and option.
type placeTallies [][]placeTally

func newPlaceTallies() placeTallies {
	out := make(placeTallies, len(spots))
	for i := range out {
		out[i] = make([]placeTally, len(perMinute.options()))
	}
	return out
}

// Places says for the fighters of those ids (none: for everybody on the tape) how often they begin what in which place, beside elsewhere at
// the same range: rate ratios over the ranges, with intervals at the level, the over-dispersion between rounds of [Calibrate] in them. Those
// that differ most surely come first, fighter by fighter; what is too rare to compare (under five acts expected either there or elsewhere) is
// left out.
func Places(codings []*tape.Coding, o Options, level float64, ids ...string) ([]PlaceRate, error) {
	in, err := o.sources(codings)
	if err != nil {
		return nil, err
	}
	return placesOf(in.full, level, ids), nil
}

func placesOf(sources []*source, level float64, ids []string) (out []PlaceRate) {
	when := map[placeRound][][]span{}
	all := map[string]placeTallies{}
	for _, s := range sources {
		for c := tape.RedCorner; c <= tape.BlueCorner; c++ {
			if !s.bout.Corners[c] || len(ids) > 0 && !slices.Contains(ids, s.id(c)) {
				continue
			}
			if all[s.id(c)] == nil {
				all[s.id(c)] = newPlaceTallies()
			}
			for i := range s.lights {
				v := viewOf(s, &s.lights[i], c)
				when[placeRound{s, v.round, c}] = all[s.id(c)].time(v)
			}
		}
	}
	tallies := tally(sources, func(s *source, c tape.Corner, f fighter.Figure, row, _ int) {
		z, _, ok := initiateOf(f)
		if t := all[s.id(c)]; ok && t != nil && z <= fighter.Clinch {
			t.act(s, z, &s.events[row], when[placeRound{s, s.events[row].Round, c}])
		}
	})
	for _, id := range slices.Sorted(maps.Keys(all)) {
		out = append(out, all[id].rates(id, tallies[id], level)...)
	}
	return out
}

// time adds a round's free seconds, and gives when each place held.
func (t placeTallies) time(v *view) (when [][]span) {
	whole := v.freeIn(v.spans)
	when = make([][]span, len(spots))
	for k := range spots {
		if !spots[k].known(v.src) {
			continue
		}
		when[k] = spots[k].when(v)
		if when[k] == nil {
			when[k] = []span{}
		}
		there := v.freeIn(when[k])
		for i := range t[k] {
			if !perMinute.options()[i].counts(v.src, k == onOwnFence) {
				continue
			}
			for z := range t[k][i].pairs {
				t[k][i].pairs[z].T1 += v.src.weight * there[z]
				t[k][i].pairs[z].T2 += v.src.weight * max(whole[z]-there[z], 0)
			}
		}
	}
	return when
}

// counts reports whether an option was looked for, and may be done at all: nobody steps back with the back on the fence.
func (o *scoutOption) counts(s *source, onFence bool) bool {
	stepBack := slices.Contains(o.acts, tape.StepBack)
	return o.looked(s.bout.LookedFor) && !(onFence && stepBack) && slices.ContainsFunc(o.acts, s.allows)
}

// allows reports whether the rules allow some move of an act.
func (s *source) allows(a tape.Act) bool {
	for m := range tape.NumMoves {
		if m.Act() == a && s.bout.RuleSet.Allowed[m] {
			return true
		}
	}
	return false
}

// act books an act that was initiated.
func (t placeTallies) act(s *source, z fighter.Zone, e *tape.Event, when [][]span) {
	for k := range when {
		if when[k] == nil {
			continue
		}
		there := anyHolds(when[k], e.Onset())
		for i := range t[k] {
			o := &perMinute.options()[i]
			if is, known := o.holds(e); !is || !known || !o.counts(s, k == onOwnFence) {
				continue
			}
			x := &t[k][i]
			if there {
				x.pairs[z].X1 += s.weight
				x.clips = append(x.clips, Clip{s.bout.ID, e.Round, e.Clock})
			} else {
				x.pairs[z].X2 += s.weight
			}
		}
	}
}

func (t placeTallies) rates(id string, c *counts, level float64) (out []PlaceRate) {
	var parts []infer.Dispersion
	for z := range fighter.Clinch + 1 {
		if d := c.dispersion(z); d.DF > 0 {
			parts = append(parts, d)
		}
	}
	dispersion := infer.PoolDispersion(parts...).Factor
	var chances []float64
	for k := range t {
		for i := range t[k] {
			x := &t[k][i]
			ratio, ok := infer.StratifiedRateRatio(x.pairs[:], dispersion, level)
			if !ok || !x.comparable(ratio.Expected) {
				continue
			}
			r := PlaceRate{Fighter: id, Place: spots[k].words, Does: perMinute.options()[i].words, Acts: ratio.Count, Expected: ratio.Expected, Ratio: ratio, Clips: x.clips}
			for _, p := range x.pairs {
				r.Minutes += p.T1 / 60
			}
			out, chances = append(out, r), append(chances, ratio.P)
		}
	}
	for i, q := range falseDiscovery(chances) {
		out[i].Q = q
	}
	slices.SortStableFunc(out, func(a, b PlaceRate) int {
		return cmp.Or(cmp.Compare(a.Q, b.Q), cmp.Compare(math.Abs(b.Ratio.Z), math.Abs(a.Ratio.Z)))
	})
	return out
}

// comparable reports whether enough acts are expected both there and elsewhere, which does not hang on where they were done.
func (t *placeTally) comparable(expected float64) bool {
	sum := 0.0
	for _, p := range t.pairs {
		if p.T1 > 0 && p.T2 > 0 {
			sum += p.X1 + p.X2
		}
	}
	return expected >= leastExpected && sum-expected >= leastExpected
}

// String says the ratio.
func (r *PlaceRate) String() string {
	return fmt.Sprintf("%s: %s %.2f times as often as elsewhere at the same range (%.2f to %.2f)", r.Place, r.Does, r.Ratio.Centre, r.Ratio.Low, r.Ratio.High)
}
