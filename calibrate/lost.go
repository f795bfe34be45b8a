package calibrate

import (
	"math"

	"whatbout/fighter"
	"whatbout/tape"
)

// libraryCounts adds up the rounds of some bouts.
type libraryCounts struct {
	acts, seconds [fighter.NumZones][tape.NumMoves]float64
	choices       choiceSums
}

func (c *libraryCounts) add(t *counts, takes func(*tape.Bout) bool) {
	if t == nil { // nobody's acts
		return
	}
	for _, r := range t.rounds {
		if !takes(r.bout) {
			continue
		}
		for z := range fighter.NumZones {
			for m := range tape.NumMoves {
				if acts, seconds := initiated([]*roundCount{r}, z, m); len(acts) > 0 {
					c.acts[z][m], c.seconds[z][m] = c.acts[z][m]+acts[0], c.seconds[z][m]+seconds[0]
				}
			}
		}
		for k, table := range choiceTables {
			for z := range fighter.ExchangeZones {
				for m := range tape.NumMoves {
					if m == tape.NoMove || homeGroup(m.Act()) < tape.NumGroups {
						c.choices[k][z][m] += r.choices[table(z, m)]
					}
				}
			}
		}
	}
}

// lost is what coders take from rates, by zone and move, and from shares of choices, by point, zone and move, as logarithms of what was there over what
// is counted. It may be below 0: the cross that followed a jab seems begun by itself when the jab is missed. Of choices it is the share that is
// kept and not the odds against doing nothing: every one that is missed seems to be nothing, so that a second thinning takes as large a part
// of a share as the first, while the odds, where hardly ever nothing is done, lose far less by it.
type lost struct {
	rates  rateSums
	strays rateSums // share of the counted acts that do not belong there
	tables choiceSums
	afters afterShifts
}

// rateSums is something by zone and move.
type rateSums [fighter.NumZones][tape.NumMoves]float64

// choiceSums is something by point (answer, continue), zone and move.
type choiceSums [2][fighter.ExchangeZones][tape.NumMoves]float64

// kept is the share that coders keep: of the acts of each group, and of the acts that others follow.
type kept struct {
	groups [tape.NumGroups]float64
	before float64
}

// keptBy is for coders who err so, of whom of each group so many acts are counted. Where an act that others follow was missed these seem begun by
// themselves; so the share is weighted by what is missed.
func keptBy(groups *[tape.NumGroups]float64, acts *[tape.NumGroups]float64) kept {
	k := kept{groups: *groups, before: 1}
	missed, seen := 0.0, 0.0
	for g, share := range groups {
		if lost := acts[g] * math.Max(1-share, 0); lost > 0 {
			missed, seen = missed+lost, seen+lost*share
		}
	}
	if missed > 0 {
		k.before = seen / missed
	}
	return k
}

// lostIn says from what the rounds of some bouts show, and what thinned tape shows of them, what the coders took. Of I acts begun by themselves a coder
// who keeps a share k writes down k·I, and of F that follow acts of which the share k' is kept another k·F·(1-k') that only seem so: strays. A
// second thinning leaves k²·I and k²·F·(1-k'²). With a and b for the two sums over k and k², strays are (b-a)/k', and I = a - (b-a)/k'. Taken as
// a factor, a²/b, the second thinning would leave a third too many where there are as many strays as acts. Free time is what busy time leaves,
// which is kept as acts are. everybodys is [leftOf] all fighters; nil: there is nobody else.
func lostIn(whole, part *libraryCounts, k kept, everybodys *rateSums) (out lost) {
	left := leftOf(whole, part, everybodys)
	for z := range left {
		for m := range left[z] {
			g := homeGroup(tape.Move(m).Act())
			if left[z][m] == 0 || g == tape.NumGroups || k.groups[g] <= 0 {
				continue
			}
			strays := math.Min((left[z][m]/k.groups[g]-1)/k.before, mostStrays)
			longer := part.seconds[z][m]/whole.seconds[z][m]/thinnings - 1
			free := math.Max(1-longer/k.before, leastFree)
			out.strays[z][m], out.rates[z][m] = strays, math.Log((1-strays)/k.groups[g]/free)
		}
	}
	out.tables = lostChoices(&whole.choices, &part.choices)
	return out
}

// leastFree is the least share of the free time that is taken to have been there (judgement).
const leastFree = .3

// leftOf is the share of the acts that thinning leaves of each, as if fewActs had that of everybody, or of the group.
func leftOf(whole, part *libraryCounts, everybodys *rateSums) (out rateSums) {
	var all [2][tape.NumGroups + 1]float64
	for z := range whole.acts {
		for m := range whole.acts[z] {
			g := homeGroup(tape.Move(m).Act())
			all[0][g], all[1][g] = all[0][g]+whole.acts[z][m], all[1][g]+part.acts[z][m]/thinnings
		}
	}
	for z := range whole.acts {
		for m, n := range whole.acts[z] {
			if whole.seconds[z][m] == 0 {
				continue
			}
			g := homeGroup(tape.Move(m).Act())
			like := (all[1][g] + .5) / (all[0][g] + .5)
			if everybodys != nil && everybodys[z][m] > 0 {
				like = everybodys[z][m]
			}
			out[z][m] = (part.acts[z][m]/thinnings + fewActs*like) / (n + fewActs)
		}
	}
	return out
}

// addAll adds up the rounds of some bouts, of everybody.
func (c *libraryCounts) addAll(tallies map[string]*counts, takes func(*tape.Bout) bool) {
	for _, id := range sortedKeys(tallies) {
		c.add(tallies[id], takes)
	}
}

func anyBout(*tape.Bout) bool { return true }

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

var choiceTables = [2]func(int, tape.Move) fighter.Figure{fighter.Answer, fighter.Continue}
