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

// lost is the logarithm of what thinning takes from rates, by zone and move, and from the share of a table's choices that are of a group:
// a choice that is missed seems to be doing nothing, so that the same part goes from every share, however often nothing is done. (The odds
// against doing nothing fall the more the seldomer that is.) It may be below 0: the cross that followed a jab seems begun by itself when the jab is missed.
type lost struct {
	rates  [fighter.NumZones][tape.NumMoves]float64
	tables [2][tape.NumGroups]float64 // answer, continue
	afters afterShifts
}

// lostIn compares a profile that tape has moved with those from thinned tape, over all zones. What tape added to the population's
// figures stands for its counts and seconds.
func lostIn(p, prior *fighter.Profile, less []map[string]*counts) (out lost) {
	if len(less) == 0 {
		return out
	}
	var has, would [fighter.NumZones][tape.NumMoves]float64
	var share shareLoss
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
		share.add(p, q, prior)
		out.afters.add(p, q)
	}
	out.rates, out.tables = ratios(&would, &has), share.logs()
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

// shareLoss adds up, by point and group, the choices that thinned tables would hold if they had the shares of the whole ones, and those that
// they hold.
type shareLoss struct{ would, has [2][tape.NumGroups]float64 }

func (s *shareLoss) add(whole, thin, prior *fighter.Profile) {
	for k, table := range choiceTables {
		for z := range fighter.ExchangeZones {
			n, all := added(whole, prior, z, table)
			left, allLeft := added(thin, prior, z, table)
			if all == 0 {
				continue
			}
			for g := range n {
				s.would[k][g] += n[g] / all * allLeft
				s.has[k][g] += left[g]
			}
		}
	}
}

// logs gives the logarithms of what would be there over what is.
func (s *shareLoss) logs() (out [2][tape.NumGroups]float64) {
	for k := range out {
		for g := range out[k] {
			if s.would[k][g] > 0 {
				out[k][g] = math.Log((s.would[k][g] + .5) / (s.has[k][g] + .5))
			}
		}
	}
	return out
}

// added gives what tape added to a table, by group, and in all, doing nothing included.
func added(p, prior *fighter.Profile, z int, table func(int, tape.Move) fighter.Figure) (n [tape.NumGroups]float64, all float64) {
	for m := range tape.NumMoves {
		f := table(z, m)
		x := math.Max(p.Figures[f].Mean(fighter.Weight)-prior.Figures[f].A, 0)
		if all += x; m != tape.NoMove && homeGroup(m.Act()) < tape.NumGroups {
			n[homeGroup(m.Act())] += x
		}
	}
	return n, all
}

var choiceTables = [2]func(int, tape.Move) fighter.Figure{fighter.Answer, fighter.Continue}
