package study

import (
	"whatbout/fighter"
)

// Spreads of a figure that was moved by hand: it is taken to be known, as a dial takes it, within what a profile file can say.
const (
	movedCount  = 1e6  // of a rate or weight: a thousandth either way; fewer where a file could not hold the other number
	movedSpread = 1e-3 // of a skill, log-odds, and of a size, of its logarithm
)

// Moved gives a profile with dials set, so that a what-if can be kept as a file. Figures that the dials move from the centre of the
// profile stand at their new value with next to no doubt and are marked as assumptions; all others, and the profile that was given,
// stay as they are. A setting of bites or shares moves figures in every draw by what else was drawn; here they are moved at the centre
// alone, so bouts of the moved profile agree with those of the settings on average and not one by one. Settings of adherence belong to a
// plan and move nothing here. A profile whose skills are moved names no joint part any more: it would contradict it.
func Moved(p *fighter.Profile, set []Setting) *fighter.Profile {
	out := *p
	out.Figures, out.Sources = append([]fighter.Posterior(nil), p.Figures...), append([]fighter.Source(nil), p.Sources...)
	centre := p.Centre()
	to := append(fighter.Draw(nil), centre...)
	for _, s := range set {
		if !s.Dial.adherence {
			s.Dial.set(to, centre, s.At)
		}
	}
	for f := range to {
		if to[f] == centre[f] {
			continue
		}
		law := fighter.Define(fighter.Figure(f)).Law
		out.Figures[f], out.Sources[f] = movedTo(law, to[f]), fighter.FromAssumption
		if law == fighter.Skill {
			out.JointFile = ""
		}
	}
	return &out
}

// movedTo is what is believed of a figure that is taken to be x.
func movedTo(law fighter.Law, x float64) fighter.Posterior {
	switch {
	case law == fighter.Rate && x > 0:
		count := min(movedCount, x*1e9)
		return fighter.Posterior{A: count, B: count / x}
	case law == fighter.Rate:
		return fighter.Posterior{B: 1}
	case law == fighter.Weight && x > 0:
		count := min(movedCount, x*1e6)
		return fighter.Posterior{A: count, B: x / count}
	case law == fighter.Weight:
		return fighter.Posterior{}
	}
	return fighter.Posterior{A: x, B: movedSpread}
}
