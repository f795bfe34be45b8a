package calibrate

import (
	"cmp"
	"slices"

	"whatbout/fighter"
	"whatbout/tape"
)

// coarseSource is one coarse coding that counts.
type coarseSource struct {
	*source // bout, weight and bodies; it has no events
	coarse  *tape.Coarse
}

// look is a zone as samples tell it: on the feet and in the clinch a fighter's own, with the ground for one.
type look uint8

const (
	onFeet   = int(fighter.Clinch) + 1 // zones that an exchange can begin in
	ground   = look(onFeet)
	numLooks = onFeet + 1
)

// coarseCounts is what coarse tape shows of one fighter. Everything is weighed by its coding.
type coarseCounts struct {
	openings map[pattern]*openings
	rounds   []*coarseRound
	met      map[string]*cleanHits // by opponent
	gave     [2]float64            // exchanges of which it is known, and those in which this fighter gave ground
	invented bool
}

func newCoarseCounts() *coarseCounts {
	return &coarseCounts{openings: map[pattern]*openings{}, met: map[string]*cleanHits{}}
}

// openings is how exchanges were begun in the time of which samples tell where the fighter was.
type openings struct {
	seconds [numLooks]float64              // by sampled zone
	looks   float64                        // samples with a range
	acts    map[tape.Act][numLooks]float64 // exchanges led, by first act and the zone sampled nearest to its onset
	// Once rates are set: what an exchange that such an act led counts for a rate, by the zone sampled nearest to it.
	share map[fighter.Figure][numLooks]float64
}

// coarseRound is one round of a bout, a mean over its coarse codings.
type coarseRound struct {
	bout      *tape.Bout
	round     uint8
	age       float64 // what the bout weighs by its date, in all below
	seconds   float64 // sampled
	opened    float64 // exchanges led in that time
	led       float64
	exchanges float64
}

// cleanHits counts, against one opponent, the exchanges in which this fighter's clean hits were counted, and the hits.
type cleanHits struct{ exchanges, clean float64 }

// coarseSourcesOf puts coarse codings in the order of their names. A bout with a coding of every act is left to that.
func coarseSourcesOf(codings []*tape.Coarse, known map[string]fighter.Body) (out []*coarseSource) {
	codings = slices.SortedStableFunc(slices.Values(codings), func(a, b *tape.Coarse) int {
		return cmp.Or(cmp.Compare(a.Bout.ID, b.Bout.ID), cmp.Compare(a.Name, b.Name))
	})
	times := map[*tape.Bout]int{}
	for _, c := range codings {
		times[c.Bout]++
	}
	for _, c := range codings {
		s := &source{bout: c.Bout, weight: 1 / float64(times[c.Bout]), age: 1}
		for corner, f := range c.Bout.Fighters {
			if body, ok := known[f.ID]; ok {
				s.bodies[corner] = &body
			}
		}
		out = append(out, &coarseSource{s, c})
	}
	return out
}

// coarseTally reads everybody's coarse tape; w is told of every row that counts.
func coarseTally(sources []*coarseSource, w coarseWitness) map[string]*coarseCounts {
	out := map[string]*coarseCounts{}
	for _, s := range sources {
		for _, c := range []tape.Corner{tape.RedCorner, tape.BlueCorner} {
			t := out[s.id(c)]
			if t == nil {
				t = newCoarseCounts()
				out[s.id(c)] = t
			}
			t.invented = t.invented || s.bout.Invented
			if s.bout.Corners[c] {
				t.sampled(s, c, w)
				t.exchanged(s, c, w)
			}
		}
	}
	return out
}

func (t *coarseCounts) roundOf(s *coarseSource, round uint8) *coarseRound {
	for _, r := range t.rounds {
		if r.bout == s.bout && r.round == round {
			return r
		}
	}
	r := &coarseRound{bout: s.bout, round: round, age: s.age}
	t.rounds = append(t.rounds, r)
	return r
}

func patternOf(b *tape.Bout) pattern {
	return pattern{lookedFor: b.LookedFor, allowed: b.RuleSet.Allowed}
}

func (t *coarseCounts) openingsOf(b *tape.Bout) *openings {
	p := patternOf(b)
	if t.openings[p] == nil {
		t.openings[p] = &openings{acts: map[tape.Act][numLooks]float64{}}
	}
	return t.openings[p]
}

// sampled books the time that each sample with a range stands for.
func (t *coarseCounts) sampled(s *coarseSource, corner tape.Corner, w coarseWitness) {
	if s.coarse.Exchanges == nil { // time in which nobody looked for exchanges
		return
	}
	o := t.openingsOf(s.bout)
	for i := range s.coarse.Samples {
		z, ok := s.lookOf(&s.coarse.Samples[i], corner)
		if !ok {
			continue
		}
		d := s.stands(i) * s.weight
		o.seconds[z] += d
		o.looks += s.weight
		t.roundOf(s, s.coarse.Samples[i].Round).seconds += d
		w.see(coarseSight{from: s, corner: corner, sample: i, exchange: -1, look: z, weight: d, kind: stood})
	}
}

// lookOf gives the fighter's own zone from a range that was sampled for the pair.
func (s *coarseSource) lookOf(sample *tape.Sample, corner tape.Corner) (look, bool) {
	switch sample.Range {
	case tape.NoValue:
		return 0, false
	case tape.Ground:
		return ground, true
	}
	return look(s.pairZone(sample.Range, corner)), true
}

// stands gives how long sample i stands for, s: until the next one of its round, at most a period, and not past what was coded.
func (s *coarseSource) stands(i int) float64 {
	at := &s.coarse.Samples[i]
	to := at.Clock + tape.SamplePeriod
	if i+1 < len(s.coarse.Samples) && s.coarse.Samples[i+1].Round == at.Round {
		to = min(to, s.coarse.Samples[i+1].Clock)
	}
	end := int64(s.bout.RuleSet.RoundSeconds) * 1e6
	if last := s.coarse.Samples[len(s.coarse.Samples)-1].Round == at.Round; last {
		end = lastEnd(s.bout, &light{round: at.Round, end: end})
	}
	to = min(to, end)
	for _, c := range s.bout.Coded {
		if c.Round == at.Round && c.From <= at.Clock && at.Clock <= c.To {
			to = min(to, c.To)
		}
	}
	return float64(max(to-at.Clock, 0)) / 1e6
}

// exchanged books exchanges: who led with what and where, who gave ground, and clean hits.
func (t *coarseCounts) exchanged(s *coarseSource, corner tape.Corner, w coarseWitness) {
	for i := range s.coarse.Exchanges {
		x := &s.coarse.Exchanges[i]
		r := t.roundOf(s, x.Round)
		r.exchanges += s.weight
		sight := coarseSight{from: s, corner: corner, sample: -1, exchange: i, weight: s.weight}
		if x.Led == corner {
			r.led += s.weight
			t.opened(s, x, r, sight, w)
		}
		if x.Gave != tape.SideUncoded {
			t.gave[0] += s.weight
			if sight.kind = stayed; x.Gave == tape.SideBoth || x.Gave == tape.SideRed+tape.Side(corner) {
				t.gave[1] += s.weight
				sight.kind = gaveGround
			}
			w.see(sight)
		}
		if n := x.Clean[corner]; n != tape.Uncoded && s.bout.LookedFor[tape.GroupResults] {
			t.against(s.id(corner.Other())).add(s.weight, float64(n)*s.weight)
			sight.kind = hit
			w.see(sight)
		}
	}
}

// opened books an exchange that this fighter led, if its first act and the range are known.
func (t *coarseCounts) opened(s *coarseSource, x *tape.Exchange, r *coarseRound, sight coarseSight, w coarseWitness) {
	if i, z := s.lookAt(x.Round, x.Clock-tape.UsualTime(x.First), x.Led); i >= 0 && x.First != tape.NoAct {
		o := t.openingsOf(s.bout)
		at := o.acts[x.First]
		at[z] += s.weight
		o.acts[x.First], r.opened = at, r.opened+s.weight
		sight.kind, sight.sample, sight.look = led, i, z
		w.see(sight)
	}
}

func (t *coarseCounts) against(id string) *cleanHits {
	if t.met[id] == nil {
		t.met[id] = &cleanHits{}
	}
	return t.met[id]
}

func (h *cleanHits) add(exchanges, clean float64) {
	h.exchanges, h.clean = h.exchanges+exchanges, h.clean+clean
}

// lookAt gives the sample nearest to a moment and its zone; -1 if none with a range is within a period of it.
func (s *coarseSource) lookAt(round uint8, at int64, corner tape.Corner) (int, look) {
	best, away := -1, int64(tape.SamplePeriod)
	for i := range s.coarse.Samples {
		x := &s.coarse.Samples[i]
		if d := max(x.Clock-at, at-x.Clock); x.Round == round && d < away {
			best, away = i, d
		}
	}
	if best < 0 {
		return -1, 0
	}
	z, ok := s.lookOf(&s.coarse.Samples[best], corner)
	if !ok {
		return -1, 0
	}
	return best, z
}
