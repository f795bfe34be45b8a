package calibrate

import (
	"fmt"
	"math"

	"whatbout/fighter"
	"whatbout/internal/infer"
)

// bites re-estimates the readiness to bite on each cue. As in [Calibrate], a fighter's log-odds less the population's are the readiness
// less half of the sense, and circumstances; the library shows the mean and the variance of them together. The mean goes to the
// readiness, and of the variance what is left without the other two.
func (e *estimator) bites(u *usual) {
	for c := range fighter.NumCues {
		f := fighter.Bite(c)
		post, sense := e.population.Figures[f], e.population.Figures[fighter.Sense(c)].B/2
		rest := sense*sense + u.bites[c]
		x := Estimate{Name: fighter.Define(f).Name, Unit: "log-odds", Spread: "sd", Before: post.A, After: post.A, Was: post.B, Is: post.B, figure: f}
		var shown, bitten []float64
		for _, id := range e.ids {
			if t := e.tallies[id]; t.feints[c] > 0 {
				shown, bitten = append(shown, t.feints[c]), append(bitten, t.bitten[c])
				x.Fighters, x.Rounds, x.Events = x.Fighters+1, x.Rounds+t.roundsOf(), x.Events+t.feints[c]
			}
		}
		if x.Why = tooFew(x.Fighters, x.Events, leastFeints, "feints"); x.Why == "" {
			mean, se, spread := shiftOfMany(bitten, shown, u.heeded[c], u.bitten[c], post.B*post.B+rest, rest+leastSpread*leastSpread)
			x.After, x.SE, x.Is, x.AtLimit = post.A+mean, se, math.Sqrt(spread.Variance-rest), spread.AtLimit
			e.population.Figures[f] = fighter.Posterior{A: x.After, B: x.Is}
			e.tape(x.Name, &x, fmt.Sprintf("standard error %.2g; before: %.3g, sd %.3g", x.SE, x.Before, x.Was))
		}
		e.add(x)
	}
}

// shiftOfMany gives the mean of the fighters' shifts of log-odds with its standard error, and their variance. Of the feints the share
// heeded could be bitten on. The mean solves Σ slope·(made-expected)/(luck+slope²·v) = mean/v0, by Fisher scoring: every fighter counts by how well
// their shift is known, and none for more than one fighter; v0 stands for the population before, one fighter more.
func shiftOfMany(made, n []float64, heeded, usual, v0, least float64) (mean, se float64, spread infer.SpreadFit) {
	spread.Variance = v0
	for range 50 {
		information, score := 1/v0, -mean/v0
		units := make([]infer.Shifted, len(n))
		for i := range n {
			q := 1 / (1 + math.Exp(-(usual + mean)))
			p := heeded * q
			s := infer.Shifted{Over: made[i] - n[i]*p, Luck: n[i] * p * (1 - p), Slope: n[i] * p * (1 - q)}
			noise := s.Luck + s.Slope*s.Slope*spread.Variance
			information += s.Slope * s.Slope / noise
			score += s.Slope * s.Over / noise
			units[i] = s
		}
		step := max(min(score/information, 1), -1)
		mean, se = mean+step, 1/math.Sqrt(information)
		spread = infer.FitSpread(units, v0, leanFighters, least)
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	return mean, se, spread
}

// skills re-estimates how far professionals differ in skills, one spread for all families and both sides, since a library shows little of each.
// What the whole library does better or worse than the engine is taken out first, family by family, and noted.
func (e *estimator) skills(tries []attempt, u *usual) {
	was := e.population.Prior.Skill
	x := Estimate{Name: "prior.skill_sd", Unit: "log-odds", Spread: "sd", Before: 0, After: 0, Was: was, Is: was, figure: fighter.Attack(0)}
	var families [fighter.NumFamilies]skillSums
	for f := range families {
		families[f] = e.sums(tries, fighter.Family(f), u)
		x.Events += families[f].tries
	}
	people := map[string]bool{}
	for _, a := range tries {
		people[a.attacker], people[a.with] = true, true
	}
	x.Fighters = len(people)
	for id := range people {
		x.Rounds += e.tallies[id].roundsOf()
	}
	if x.Why = tooFew(x.Fighters, x.Events, leastChoices, "attempts"); x.Why == "" {
		variance := was * was
		var fit infer.SpreadFit
		for range 30 {
			var units []infer.Shifted
			for f := range families {
				units = append(units, families[f].shifts(families[f].spread, variance)...)
			}
			before := variance
			fit = infer.FitSpread(units, was*was, leanFighters, leastSpread*leastSpread)
			if variance = fit.Variance; math.Abs(variance-before) < 1e-9 {
				break
			}
		}
		x.Is, x.AtLimit = math.Sqrt(variance), fit.AtLimit
		x.SE = fit.SE / (2 * x.Is) // of the standard deviation, from that of the variance
		e.population.Prior.Skill = x.Is
		for f := range fighter.NumFamilies {
			e.population.Figures[fighter.Attack(f)].B, e.population.Figures[fighter.Defence(f)].B = x.Is, x.Is
		}
		e.tape(x.Name, &x, fmt.Sprintf("standard error %.2g; before: %.3g", x.SE, was))
	}
	e.add(x)
}

// skillSums adds up attempts of one family by fighter: attackers first, then defenders.
type skillSums struct {
	tries  float64
	spread [2]float64 // variance of circumstances of attackers and defenders, as the attempts' readings have it on average
	sides  [2]map[string]*sideSums
}

type sideSums struct {
	over, slope float64
	with        map[string]float64 // slope by opponent
}

func (s *skillSums) side(side int, id string) *sideSums {
	if s.sides[side] == nil {
		s.sides[side] = map[string]*sideSums{}
	}
	out := s.sides[side][id]
	if out == nil {
		out = &sideSums{with: map[string]float64{}}
		s.sides[side][id] = out
	}
	return out
}

func (e *estimator) sums(tries []attempt, f fighter.Family, u *usual) (out skillSums) {
	var some []attempt
	for _, a := range tries {
		if family, _ := fighter.FamilyOf(a.move.Act()); family == f {
			some = append(some, a)
		}
	}
	shift, se := librarySuccess(some, u)
	for i := range some {
		a := &some[i]
		shares := u.sharesFor(a)
		p := 1 / (1 + math.Exp(-(shares.logOdds(a) + shift)))
		for side := range out.spread {
			out.spread[side] += a.weight * shares.spread[side]
		}
		over, slope := -a.weight*p, a.weight*p*(1-p)
		if a.made {
			over += a.weight
		}
		for side, ids := range [2][2]string{{a.attacker, a.with}, {a.with, a.attacker}} {
			s := out.side(side, ids[0])
			s.over, s.slope = s.over+over, s.slope+slope
			s.with[ids[1]] += slope
		}
		out.tries += a.weight
	}
	for side := range out.spread {
		out.spread[side] /= max(out.tries, 1e-9)
	}
	if se > 0 && math.Abs(shift) > 2*se && math.Abs(shift) > .1 {
		e.library.Notes = append(e.library.Notes, fmt.Sprintf("%s attempts come off more or less often on this tape than in the engine: by %+.2f ± %.2f in log-odds. A "+
			"population file cannot say so (skills are 0 on average in it); profiles from this tape will", f, shift, se))
	}
	return out
}

// librarySuccess is how far, in log-odds, attempts come off more often than usual, with a standard error that takes attempts for independent.
func librarySuccess(tries []attempt, u *usual) (shift, se float64) {
	usual := make([]float64, len(tries))
	for i := range tries {
		usual[i] = u.sharesFor(&tries[i]).logOdds(&tries[i])
	}
	for range 50 {
		over, slope := 0.0, 0.0
		for i, a := range tries {
			p := 1 / (1 + math.Exp(-(usual[i] + shift)))
			if over -= a.weight * p; a.made {
				over += a.weight
			}
			slope += a.weight * p * (1 - p)
		}
		if slope < 1 {
			return 0, 0
		}
		step := max(min(over/slope, 1), -1)
		shift, se = shift+step, 1/math.Sqrt(slope)
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	return max(min(shift, 5), -5), se
}

// shifts gives each fighter's excess with the luck in it: chance, the circumstances of the own side, and the skills and circumstances of everybody
// met.
func (s *skillSums) shifts(circumstances [2]float64, variance float64) (out []infer.Shifted) {
	for side := range s.sides {
		for _, id := range sortedKeys(s.sides[side]) {
			x := s.sides[side][id]
			unit := infer.Shifted{Over: x.over, Luck: x.slope + x.slope*x.slope*circumstances[side], Slope: x.slope}
			for _, other := range sortedKeys(x.with) {
				unit.Luck += x.with[other] * x.with[other] * (variance + circumstances[1-side])
			}
			out = append(out, unit)
		}
	}
	return out
}
