package calibrate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// regression makes a logistic with an intercept and one covariate, flat priors.
func regression(x, made, tries []float64) *logistic {
	l := &logistic{precision: make([]float64, 2)}
	for i := range x {
		l.trials = append(l.trials, trial{terms: []term{{0, 1}, {1, x[i]}}, made: made[i], tries: tries[i]})
	}
	return l
}

func repeat(x float64, n int) (out []float64) {
	for range n {
		out = append(out, x)
	}
	return out
}

// deviance is twice how much better each trial's own share would fit.
func (l *logistic) deviance(x []float64) (sum float64) {
	part := func(y, mu float64) float64 {
		if y == 0 {
			return 0
		}
		return 2 * y * math.Log(y/mu)
	}
	for i := range l.trials {
		t := &l.trials[i]
		q := 1 / (1 + math.Exp(-t.logOdds(x)))
		sum += part(t.made, t.tries*q) + part(t.tries-t.made, t.tries*(1-q))
	}
	return sum
}

// Rings of the Challenger by temperature, °F: Dalal, Fowlkes & Hoadley (1989), JASA 84, 945-957; as used in Agresti, Categorical Data
// Analysis (printed: 15.0429, -.2322, standard errors 7.3786, .1082, deviances 28.267 and 20.315; all but the last digits from memory).
func TestChallenger(t *testing.T) {
	temperature := []float64{66, 70, 69, 68, 67, 72, 73, 70, 57, 63, 70, 78, 67, 53, 67, 75, 70, 81, 76, 79, 75, 76, 58}
	failed := []float64{0, 1, 0, 0, 0, 0, 0, 0, 1, 1, 1, 0, 0, 1, 0, 0, 0, 0, 0, 0, 1, 0, 1}
	l := regression(temperature, failed, repeat(1, 23))
	f := l.fit()
	require.Equal(t, converged, f.ended)
	require.InDelta(t, 15.042901647702445, f.mean[0], 1e-7)
	require.InDelta(t, -.23216274421859653, f.mean[1], 1e-9)
	require.InDelta(t, 7.378636384916741, math.Sqrt(f.cov.At(0, 0)), 1e-7)
	require.InDelta(t, .108236521649288, math.Sqrt(f.cov.At(1, 1)), 1e-9)
	require.InDelta(t, 20.315192687866826, l.deviance(f.mean), 1e-9)
	require.InDelta(t, 28.267152734293497, l.deviance([]float64{math.Log(7. / 16), 0}), 1e-9)
	at31 := 1 / (1 + math.Exp(-(f.mean[0] + 31*f.mean[1])))
	require.InDelta(t, .9996087828849319, at31, 1e-10)
	require.InDelta(t, 64.79464092455144, -f.mean[0]/f.mean[1], 1e-7)
}

// Bioassay: Racine et al. (1986); Gelman et al. (2013), Bayesian Data Analysis, 3rd ed., section 3.7 (printed: .8, 7.7; standard errors 1.0,
// 4.9, from memory; full digits by R).
func TestBioassay(t *testing.T) {
	l := regression([]float64{-.86, -.30, -.05, .73}, []float64{0, 1, 3, 5}, repeat(5, 4))
	f := l.fit()
	require.Equal(t, converged, f.ended)
	for i, want := range []float64{.8465802280905529, 7.748817150587738} {
		require.InDelta(t, want, f.mean[i], 1e-7)
		require.InDelta(t, []float64{1.0190854167977181, 4.87276770148702}[i], math.Sqrt(f.cov.At(i, i)), 1e-6)
	}
	require.InDelta(t, .05474237244237258, l.deviance(f.mean), 1e-10)
	require.InDelta(t, -5.8944416389584084, l.density(f.mean), 1e-9)
	require.InDelta(t, 3.545986819722324, f.cov.At(0, 1), 1e-6)
}

// home[i][j] and away[i][j]: what i won and lost at home against j. The American League East of 1987, 13 games a pair: Agresti,
// Categorical Data Analysis; data and fits from the R package BradleyTerry2. Order as in the tables there, the last team by
// name at zero.
var (
	wonAtHome = [7][7]float64{{0, 4, 4, 4, 6, 4, 6}, {3, 0, 4, 4, 6, 6, 4}, {2, 4, 0, 2, 4, 4, 6}, {3, 5, 2, 0, 4, 4, 6},
		{5, 2, 3, 4, 0, 5, 6}, {2, 3, 3, 4, 4, 0, 2}, {2, 1, 1, 2, 1, 3, 0}}
	lostAtHome = [7][7]float64{{0, 3, 2, 3, 1, 2, 0}, {3, 0, 2, 3, 0, 1, 3}, {5, 3, 0, 4, 3, 2, 0}, {3, 1, 5, 0, 3, 2, 1},
		{1, 5, 3, 2, 0, 2, 0}, {5, 3, 4, 3, 2, 0, 4}, {5, 5, 6, 4, 6, 4, 0}}
)

// Strength less strength is the skill model with each fighter's attack and defence the same number.
func TestBradleyTerry(t *testing.T) {
	l := &logistic{precision: make([]float64, 6)}
	wins := [7]float64{}
	for i := range 7 {
		for j := range i {
			won, lost := wonAtHome[i][j]+lostAtHome[j][i], lostAtHome[i][j]+wonAtHome[j][i]
			wins[i], wins[j] = wins[i]+won, wins[j]+lost
			terms := []term{{j, -1}}
			if i < 6 {
				terms = append(terms, term{i, 1})
			}
			l.trials = append(l.trials, trial{terms: terms, made: won, tries: won + lost})
		}
	}
	require.Equal(t, [7]float64{50, 47, 44, 43, 40, 31, 18}, wins)
	f := l.fit()
	require.Equal(t, converged, f.ended)
	sum := 1.0
	for i, want := range []float64{1.5813558766613944, 1.436408431812437, 1.2944851239118067, 1.2476178451413877, 1.107697705378655, .6838527691591618} {
		require.InDelta(t, want, f.mean[i], 1e-8)
		se := []float64{.34325598159466786, .33956850637888125, .33666940142288077, .3358609225257625, .33387820698942683, .33187667271108245}[i]
		require.InDelta(t, se, math.Sqrt(f.cov.At(i, i)), 1.1e-6) // R stops early
		sum += math.Exp(f.mean[i])
	}
	// The residual deviance is printed for the games of each pair at each place (36 degrees of freedom); the estimates are the same.
	places := &logistic{precision: make([]float64, 6)}
	for i := range 7 {
		for j := range 7 {
			if i == j {
				continue
			}
			var terms []term
			if i < 6 {
				terms = append(terms, term{i, 1})
			}
			if j < 6 {
				terms = append(terms, term{j, -1})
			}
			places.trials = append(places.trials, trial{terms: terms, made: wonAtHome[i][j], tries: wonAtHome[i][j] + lostAtHome[i][j]})
		}
	}
	g := places.fit()
	require.InDeltaSlice(t, f.mean, g.mean, 1e-9)
	require.InDelta(t, 44.05346122857375, places.deviance(g.mean), 1e-7)
	beats := 1 / (1 + math.Exp(f.mean[1]-f.mean[0]))
	require.InDelta(t, .5361735502386523, beats, 1e-9)
	for i, want := range []float64{.2189180166082182, .18937891730577006, .16432177588350713, .15679814458173577, .136324644771157, .08922793817973024} {
		require.InDelta(t, want, math.Exp(f.mean[i])/sum, 1e-9)
	}
	require.InDelta(t, .04503056266987163, 1/sum, 1e-9)
}

// Match-ups add attacker's log-odds and take off defender's against the population's: James (1981), Baseball Abstract (log5), exact. The
// chance is that of the model's offset plus both skills.
func TestMatchUp(t *testing.T) {
	odds := func(p float64) float64 { return math.Log(p / (1 - p)) }
	for pair, want := range map[[2]float64]float64{{.6, .4}: 9. / 13, {.6, .5}: .6, {.7, .6}: 14. / 23, {.75, .25}: .9} {
		game := trial{terms: []term{{0, 1}, {1, -1}}} // a population of equals: offset 0
		require.InDelta(t, want, 1/(1+math.Exp(-game.logOdds([]float64{odds(pair[0]), odds(pair[1])}))), 1e-12)
	}
}

// A 2×2 table's log odds ratio by maximum likelihood is ln(7·4/(3·6)) (exact); one without failures on one side and successes on the other
// has no finite maximum, which must be said and not be taken for an estimate; nor has a coefficient that no trial has. A prior
// makes both finite.
func TestSeparationIsSaid(t *testing.T) {
	table := func(a, b, c, d float64) *logistic {
		return regression([]float64{0, 1}, []float64{c, a}, []float64{c + d, a + b})
	}
	f := table(7, 3, 6, 4).fit()
	require.Equal(t, converged, f.ended)
	require.InDelta(t, .44183275227903923, f.mean[1], 1e-9)
	require.Equal(t, diverging, table(5, 0, 0, 5).fit().ended)
	unmet := table(7, 3, 6, 4)
	unmet.precision = append(unmet.precision, 0)
	require.Equal(t, diverging, unmet.fit().ended)
	// Half a failure and half a success more in each row are the usual way out, Haldane's, which logOdds takes; in a 2×2 table it is Firth's
	// (1993, Biometrika 80, 27-38, from memory), exact.
	require.InDelta(t, .39441527192157944, logOdds(7, 10)-logOdds(6, 10), 1e-12)
	require.InDelta(t, 4.795790545596741, logOdds(5, 5)-logOdds(0, 5), 1e-12)
	held := table(5, 0, 0, 5)
	held.precision = []float64{1, 1}
	require.Equal(t, converged, held.fit().ended)
}
