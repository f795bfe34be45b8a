package main

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/fighter"
	"whatbout/sim/kernel"
)

// rank is where a truth lies in the posterior of one figure: the share of the posterior below it. If the posterior is right, it is
// uniform over truths drawn from the prior and tape made of them (Talts, Betancourt, Simpson, Vehtari & Gelman 2018, from memory: the rank
// among L draws is uniform on 0 to L; this is the limit of many draws, which the posteriors' laws give without drawing).
type rank struct {
	figure fighter.Figure
	share  float64
}

// class is the group of figures that a rank counts for: the block, and for rates the zone as well.
func (r rank) class() string {
	parts := strings.Split(fighter.Define(r.figure).Name, ".")
	if parts[0] == "initiate" {
		return "rate." + parts[1]
	}
	return parts[0]
}

// ranks lists those of a fighter's figures that tape moved; a table counts as moved with all its shares once one of its choices was seen.
func ranks(p *fighter.Profile, truth fighter.Draw) (out []rank) {
	prior := fighter.Population(p.ID, p.Body)
	for i := range p.Figures {
		f, post := fighter.Figure(i), p.Figures[i]
		switch law := fighter.Define(f).Law; {
		case p.Sources[f] != fighter.FromTape || prior.Figures[f].A == 0 && law != fighter.Skill:
		case law == fighter.Size && fighter.Define(f).Doubt == fighter.Tape:
			out = append(out, rank{f, distuv.LogNormal{Mu: math.Log(post.A), Sigma: post.B}.CDF(truth[f])})
		case law == fighter.Rate:
			out = append(out, rank{f, distuv.Gamma{Alpha: post.A, Beta: post.B}.CDF(truth[f])})
		case law == fighter.Skill:
			out = append(out, rank{f, distuv.Normal{Mu: post.A, Sigma: post.B}.CDF(truth[f])})
		}
	}
	for _, table := range tables() {
		out = append(out, shares(p, prior, truth, table)...)
	}
	return out
}

// shares ranks the shares of one table: each by the beta that a Dirichlet gives it, or, where weights are gammas of different scales, by
// counting draws.
func shares(p, prior *fighter.Profile, truth fighter.Draw, table []fighter.Figure) (out []rank) {
	seen, scaled, weight, whole := false, false, 0.0, 0.0
	for _, f := range table {
		seen, scaled = seen || p.Sources[f] == fighter.FromTape, scaled || p.Figures[f].B != 0
		weight += p.Figures[f].A
		whole += truth[f]
	}
	if !seen {
		return nil
	}
	var below []float64
	if scaled {
		below = countBelow(p, truth, table, whole)
	}
	for i, f := range table {
		a := p.Figures[f].A
		switch {
		case prior.Figures[f].A == 0:
		case scaled:
			out = append(out, rank{f, below[i]})
		default:
			out = append(out, rank{f, distuv.Beta{Alpha: a, Beta: weight - a}.CDF(truth[f] / whole)})
		}
	}
	return out
}

// ranked is how many draws a truth is ranked among.
const ranked = 199

// countBelow gives, for each share of a table, the share of draws below the truth; the truth's own place counts half.
func countBelow(p *fighter.Profile, truth fighter.Draw, table []fighter.Figure, whole float64) []float64 {
	below := make([]float64, len(table))
	for i := range below {
		below[i] = .5 / (ranked + 1)
	}
	src := kernel.NewKey(0x72616e6b, math.Float64bits(whole)).Stream()
	draw := make([]float64, len(table))
	for range ranked {
		sum := 0.0
		for i, f := range table {
			draw[i] = 0
			if post := p.Figures[f]; post.A > 0 {
				draw[i] = distuv.Gamma{Alpha: post.A, Beta: 1, Src: &src}.Rand() * post.Mean(fighter.Weight) / post.A
			}
			sum += draw[i]
		}
		for i, f := range table {
			if draw[i]/sum < truth[f]/whole {
				below[i] += 1. / (ranked + 1)
			}
		}
	}
	return below
}

// tables lists the figures of every table of choices that tape shows.
func tables() (out [][]fighter.Figure) {
	at := map[string]int{}
	for f := range fighter.Figure(fighter.NumFigures()) {
		parts := strings.Split(fighter.Define(f).Name, ".")
		if parts[0] != "answer" && parts[0] != "continue" && parts[0] != "defend" {
			continue
		}
		name := parts[0] + "." + parts[1]
		if _, ok := at[name]; !ok {
			at[name] = len(out)
			out = append(out, nil)
		}
		out[at[name]] = append(out[at[name]], f)
	}
	return out
}
