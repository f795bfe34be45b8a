package calibrate

import (
	"cmp"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"

	"whatbout/fighter"
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

// lost is the logarithm of what thinning takes from rates, by zone and move, and from shares of choices, by point, zone and group. It may be below
// 0: the cross that followed a jab seems begun by itself when the jab is missed. Of choices it is the share that is kept and not the odds
// against doing nothing: every one that is missed seems to be nothing, so that a second thinning takes as large a part of a share as the first,
// while the odds, where hardly ever nothing is done, lose far less by it.
type lost struct {
	rates  [fighter.NumZones][tape.NumMoves]float64
	tables choiceSums
	afters afterShifts
}

// choiceSums is something by point (answer, continue), zone and move.
type choiceSums [2][fighter.ExchangeZones][tape.NumMoves]float64

// lostIn compares a profile that tape has moved with those from thinned tape, over all zones. What tape added to the population's
// figures stands for its counts and seconds.
func lostIn(p, prior *fighter.Profile, less []map[string]*counts) (out lost) {
	if len(less) == 0 {
		return out
	}
	var has, would [fighter.NumZones][tape.NumMoves]float64
	var whole, part choiceSums
	addTables(&whole, p, prior)
	for _, tallies := range less {
		q := prior.Clone()
		setRates(q, tallies[p.ID])
		setTables(q, tallies[p.ID])
		for z := range fighter.NumZones {
			for m := range tape.NumMoves {
				f := fighter.Initiate(z, m)
				n, seconds := p.Figures[f].A-prior.Figures[f].A, p.Figures[f].B-prior.Figures[f].B
				if m != tape.NoMove && prior.Figures[f].A > 0 && seconds > 0 {
					has[z][m] += math.Max(q.Figures[f].A-prior.Figures[f].A, 0)
					would[z][m] += math.Max(n/seconds*(q.Figures[f].B-prior.Figures[f].B), 0)
				}
			}
		}
		addTables(&part, q, prior)
		out.afters.add(p, q)
	}
	out.rates = ratios(&would, &has)
	out.tables = lostChoices(&whole, &part)
	return out
}

// lostChoices gives the logarithms of how many choices would be there after thinning, if their share had stayed, over how many are: of each move as if
// fewActs had the ratio of its group in the zone, and of that as if as many had the group's of all zones.
func lostChoices(whole, part *choiceSums) (out choiceSums) {
	for k := range whole {
		var would, has choiceSums
		var all [2][tape.NumGroups + 1]float64
		for z := range whole[k] {
			if n := sum(whole[k][z][:]); n > 0 {
				for m := range tape.NumMoves {
					g := homeGroup(m.Act())
					would[k][z][m], has[k][z][m] = whole[k][z][m]/n*sum(part[k][z][:]), part[k][z][m]
					all[0][g], all[1][g] = all[0][g]+would[k][z][m], all[1][g]+has[k][z][m]
				}
			}
		}
		for z := range whole[k] {
			var zone [2][tape.NumGroups + 1]float64
			for m := range tape.NumMoves {
				g := homeGroup(m.Act())
				zone[0][g], zone[1][g] = zone[0][g]+would[k][z][m], zone[1][g]+has[k][z][m]
			}
			for m := range tape.NumMoves {
				if g := homeGroup(m.Act()); g < tape.NumGroups && would[k][z][m] > 0 {
					few := fewActs * thinnings * (all[1][g] + .5) / (all[0][g] + .5)
					few = fewActs * thinnings * (zone[1][g] + few) / (zone[0][g] + fewActs*thinnings)
					out[k][z][m] = math.Log((would[k][z][m] + fewActs*thinnings) / (has[k][z][m] + few))
				}
			}
		}
	}
	return out
}

// fewActs is how many acts a move's own loss must rest on to outweigh its group's (judgement).
const fewActs = 2

// ratios gives the logarithms of what would be there over what is, each as if fewActs had the ratio of the group.
func ratios(would, has *[fighter.NumZones][tape.NumMoves]float64) (out [fighter.NumZones][tape.NumMoves]float64) {
	var all [2][tape.NumGroups + 1]float64
	for z := range would {
		for m := range would[z] {
			g := homeGroup(tape.Move(m).Act())
			all[0][g], all[1][g] = all[0][g]+would[z][m], all[1][g]+has[z][m]
		}
	}
	for z := range would {
		for m := range would[z] {
			g := homeGroup(tape.Move(m).Act())
			if would[z][m] > 0 && g < tape.NumGroups {
				group := (all[1][g] + .5) / (all[0][g] + .5)
				out[z][m] = math.Log((would[z][m] + fewActs*thinnings) / (has[z][m] + fewActs*thinnings*group))
			}
		}
	}
	return out
}

// addTables adds up what tape added to answer and continue tables.
func addTables(n *choiceSums, p, prior *fighter.Profile) {
	for k, table := range choiceTables {
		for z := range fighter.ExchangeZones {
			for m := range tape.NumMoves {
				if m == tape.NoMove || homeGroup(m.Act()) < tape.NumGroups {
					f := table(z, m)
					n[k][z][m] += math.Max(p.Figures[f].Mean(fighter.Weight)-prior.Figures[f].A, 0)
				}
			}
		}
	}
}

var choiceTables = [2]func(int, tape.Move) fighter.Figure{fighter.Answer, fighter.Continue}
