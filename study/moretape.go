package study

import (
	"math"

	"whatbout/fighter"
	"whatbout/tape"

	"gonum.org/v1/gonum/mat"
)

// withTape foresees a meeting of the same fighters after so many times the coded tape: every figure that tape moved keeps its centre and gets so
// many times the evidence that it has beyond the population it stands on (see [fighter.Profile.Prior]). It is a forecast of how sure one would be, not of what one would learn.
func (m *Meeting) withTape(times float64) *Meeting {
	out := *m
	out.Fighter, out.Opponent = moreTape(m.Fighter, times), moreTape(m.Opponent, times)
	if m.Joint != nil {
		out.Joint = narrower(m.Joint.Of(m.Fighter.ID, m.Opponent.ID), m, &out)
	}
	return &out
}

func moreTape(p *fighter.Profile, times float64) *fighter.Profile {
	out, prior := *p, p.Prior()
	out.Figures = append([]fighter.Posterior(nil), p.Figures...)
	for f := range out.Figures {
		if p.Sources[f] != fighter.FromTape {
			continue
		}
		switch fighter.Define(fighter.Figure(f)).Law {
		case fighter.Rate:
			out.Figures[f] = moreRate(p.Figures[f], prior.Figures[f], times)
		case fighter.Skill, fighter.Size:
			out.Figures[f].B = moreSkill(p.Figures[f].B, prior.Figures[f].B, times)
		}
	}
	for _, table := range choiceTables() {
		moreWeights(&out, prior, table, times, false)
	}
	for _, table := range defenceTables() {
		moreWeights(&out, prior, table, times, true)
	}
	return &out
}

// moreRate multiplies the seconds beyond the population's. What the population never does has half a count in as many seconds as were seen.
func moreRate(post, prior fighter.Posterior, times float64) fighter.Posterior {
	seen := post.B - prior.B
	if prior.A == 0 {
		seen = post.B / 2
	}
	by := 1 + (times-1)*max(seen, 0)/post.B
	return fighter.Posterior{A: post.A * by, B: post.B * by}
}

// moreSkill multiplies the precision beyond the population's.
func moreSkill(sd, prior, times float64) float64 {
	own := 1 / (sd * sd)
	return 1 / math.Sqrt(own+(times-1)*max(own-1/(prior*prior), 0))
}

// choiceTables lists the figures of each table of what follows an own act or the other's.
func choiceTables() (tables [][]fighter.Figure) {
	for z := range fighter.ExchangeZones {
		var answers, continues []fighter.Figure
		for m := range tape.NumMoves {
			answers, continues = append(answers, fighter.Answer(z, m)), append(continues, fighter.Continue(z, m))
		}
		tables = append(tables, answers, continues)
	}
	return tables
}

// defenceTables lists the figures of each table of what is tried against a threat.
func defenceTables() (tables [][]fighter.Figure) {
	for t := range fighter.NumThreats {
		var defends []fighter.Figure
		for r := range fighter.NumResponses {
			defends = append(defends, fighter.Defend(t, r))
		}
		tables = append(tables, defends)
	}
	return tables
}

// moreWeights multiplies a table's counts beyond the population's. Defences that tape cannot tell apart keep their own doubt: their gamma stays
// and what it is multiplied by grows. Choices that may be misread are told better by more tape, as many as were seen and as many strays.
func moreWeights(p, prior *fighter.Profile, table []fighter.Figure, times float64, alike bool) {
	now, was, moved := 0.0, 0.0, false
	for _, f := range table {
		now, was = now+p.Figures[f].Mean(fighter.Weight), was+prior.Figures[f].Mean(fighter.Weight)
		moved = moved || p.Sources[f] == fighter.FromTape
	}
	if !moved || now <= was {
		return
	}
	by := 1 + (times-1)*(now-was)/now
	for _, f := range table {
		if post := &p.Figures[f]; alike && post.B != 0 {
			post.B *= by
		} else {
			post.A *= by
		}
	}
}

// narrower scales the joint covariance to the new standard deviations.
func narrower(j *fighter.Joint, from, to *Meeting) *fighter.Joint {
	ratio := map[string]float64{}
	for _, pair := range [][2]*fighter.Profile{{from.Fighter, to.Fighter}, {from.Opponent, to.Opponent}} {
		for f := range pair[0].Figures {
			if d := fighter.Define(fighter.Figure(f)); d.Law == fighter.Skill {
				ratio[pair[0].ID+"."+d.Name] = pair[1].Figures[f].B / pair[0].Figures[f].B
			}
		}
	}
	blocks := j.Blocks()
	for _, b := range blocks {
		cov := mat.NewSymDense(len(b.Names), nil)
		for i, x := range b.Names {
			for k := range i + 1 {
				cov.SetSym(i, k, b.Cov.At(i, k)*ratio[x]*ratio[b.Names[k]])
			}
		}
		b.Cov.CopySym(cov)
	}
	out, err := fighter.NewJoint(blocks)
	if err != nil {
		panic("study: a joint part that was scaled is none: " + err.Error())
	}
	return out
}
