package calibrate

import (
	"maps"
	"slices"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// component is a rate that openings come from: a move in a zone, or what else brings openings there.
type component struct {
	figure fighter.Figure
	zone   int
	other  bool // no figure: openings that were no initiated acts
}

// setOpenings moves the rates of initiated attacks by the openings of exchanges. Of the acts inside exchanges nothing is seen, so an
// act's rate is told by how often it opens one: the population's bouts say how many initiated acts are openings, how many openings are
// no initiated acts, and in which zone an opening is seen by the sample nearest to it. All of that is undone together (mixture), act
// by act; jabs to head and body, and low kicks, share what is seen by what is believed of each. doubt is the variance of the logarithm
// that the coder's own error adds. It gives how many figures moved.
func (t *coarseCounts) setOpenings(p *fighter.Profile, u *coarseUsual, doubt float64) (moved int) {
	phi := t.dispersion()
	for _, could := range slices.SortedFunc(maps.Keys(t.openings), byText) {
		for a := range tape.NumActs {
			if a.IsAttack() && a != tape.GroundStrike && could.lookedFor.Has(a) && could.lookedFor[tape.GroupStrikes] {
				moved += t.openings[could].set(p, u, could, a, phi, doubt)
			}
		}
	}
	return moved
}

func (t *openings) set(p *fighter.Profile, u *coarseUsual, could pattern, a tape.Act, phi, doubt float64) (moved int) {
	if t.share == nil {
		t.share = map[fighter.Figure][numLooks]float64{}
	}
	var parts []component
	m := mixture{counts: make([]float64, numLooks)}
	for k, n := range t.acts[a] {
		m.counts[k] = n / phi
	}
	add := func(c component, prior infer.Gamma, share float64) {
		if prior.Shape > 0 && share > 0 {
			parts = append(parts, c)
			m.prior = append(m.prior, prior)
			m.exposure = append(m.exposure, t.seconds[c.zone]*share/phi)
			m.share = append(m.share, u.seenAs[c.zone][:])
		}
	}
	for z := range onFeet {
		for move := range tape.NumMoves {
			f := fighter.Initiate(fighter.Zone(z), move)
			if move != tape.NoMove && move.Act() == a && !could.forbidden(move) && fighter.Possible(fighter.Zone(z), move) {
				add(component{f, z, false}, infer.Gamma{Shape: p.Figures[f].A, Rate: p.Figures[f].B}, u.share[z][openerOf(a)])
			}
		}
		if other := u.other[z][a]; other > 0 {
			add(component{zone: z, other: true}, infer.Gamma{Shape: 1 / u.otherSpread, Rate: 1 / (u.otherSpread * other)}, 1)
		}
	}
	if len(parts) == 0 {
		return 0
	}
	after, own := m.posterior()
	for i, c := range parts {
		if c.other || t.seconds[c.zone] == 0 {
			continue
		}
		g := surer(m.prior[i], after[i], u.spread[c.zone]+t.unsampled(u, c.zone)+doubt)
		p.Figures[c.figure] = fighter.Posterior{A: g.Shape, B: g.Rate}
		p.Seen[c.figure] += sum(own[i]) * phi
		t.share[c.figure] = t.shares(a, own[i], phi)
		p.Sources[c.figure] = fighter.FromTape
		moved++
	}
	return moved
}

// shares says what part of each exchange that an act led counts for one rate, by the zone it was seen in.
func (t *openings) shares(a tape.Act, own []float64, phi float64) (out [numLooks]float64) {
	for k, n := range t.acts[a] {
		if n > 0 {
			out[k] = own[k] * phi / n
		}
	}
	return out
}

// unsampled is the variance of the logarithm of the seconds in a zone that samples leave open.
func (t *openings) unsampled(u *coarseUsual, zone int) float64 {
	q := t.seconds[zone] / sum(t.seconds[:])
	return u.looks * (1 - q) / (q * t.looks)
}

// dispersion is that of exchanges led between rounds.
func (t *coarseCounts) dispersion() float64 {
	var opened, seconds []float64
	for _, r := range t.rounds {
		opened, seconds = append(opened, r.opened/r.age), append(seconds, r.seconds/r.age) // as they were seen
	}
	return infer.CountDispersion(opened, seconds).Factor
}
