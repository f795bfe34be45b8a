package calibrate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tape"
)

// Mode and curvature of a bite's posterior, against the likelihood times the prior on a fine grid: the mode is the grid's, and with much
// tape the variance is near the grid's own (a normal approximation; exact for no other reason).
func TestShiftOfShareAgainstAGrid(t *testing.T) {
	for _, c := range []struct{ made, n, heeded, usual, prior float64 }{
		{30, 100, .65, .4, .3}, {3, 20, .65, .1, .3}, {0, 12, .7, .2, .25}, {400, 700, .65, .3, .4}, {70, 100, 1, 0, .5},
	} {
		shift, variance := shiftOfShare(c.made, c.n, c.heeded, c.usual, c.prior)
		best, mode, weight, mean, square := math.Inf(-1), 0.0, 0.0, 0.0, 0.0
		for s := -4.0; s < 4; s += .0005 {
			p := c.heeded / (1 + math.Exp(-(c.usual + s)))
			l := c.made*math.Log(p) + (c.n-c.made)*math.Log(1-p) - s*s/(2*c.prior)
			if l > best {
				best, mode = l, s
			}
			if c.n >= 100 {
				d := math.Exp(l + c.n*.7)
				weight, mean, square = weight+d, mean+d*s, square+d*s*s
			}
		}
		require.InDelta(t, mode, shift, .001)
		if c.n >= 100 {
			mean /= weight
			require.InEpsilon(t, square/weight-mean*mean, variance, .1)
		}
	}
}

// Excesses made with a known variance give it back. 60 fighters of 400 attempts at one half: luck 100, slope 100, so that a variance of .04
// makes excesses of variance 100 + 400; an estimate from 60 squares has the standard error .05·√(2/60) = .0091 (500/100² = .05).
func TestCircumstancesGiveTheirVarianceBack(t *testing.T) {
	src := kernel.NewKey(5).Stream()
	var c circumstances
	for i := range c.over {
		c.luck[i], c.slope[i] = 100, 100
		c.over[i] = math.Sqrt(500) * float64(kernel.Normal(src.Uint32())) / kernel.NormalUnit
	}
	require.InDelta(t, .04, c.variance(), 4.9*.0091)
	require.Zero(t, (&circumstances{}).variance())
}

// The skill's part of a sum of skill and circumstances, exactly: with prior variance .09 and circumstances of .03, no tape (a sum of
// variance .12 around 0) leaves the prior, and a sum known to be .4 leaves the mean .3 and the variance .09·.03/.12.
func TestSkillApartFromCircumstances(t *testing.T) {
	for sum, c := range map[[2]float64]struct{ mean, variance float64 }{
		{0, .12}: {0, .09}, {.4, 0}: {.3, .0225},
	} {
		f := Fit{Mean: []float64{sum[0], sum[0]}, Cov: mat.NewSymDense(2, []float64{sum[1], 0, 0, sum[1]})}
		f.lessCircumstances([2]float64{.03, .03}, .3)
		for i := range f.Mean {
			require.InDelta(t, c.mean, f.Mean[i], 1e-12)
			require.InDelta(t, c.variance, f.Cov.At(i, i), 1e-12)
		}
	}
}

// A response of which tape tells nothing keeps share and doubt, however much is known of the others; so does the height of a guard.
func TestWhatTapeDoesNotTellOfDefencesStaysAsDoubtful(t *testing.T) {
	p := fighter.Population("vole", fighter.AverageBody())
	share := func(p *fighter.Profile, r fighter.Response) (mean, sd float64) {
		const draws = 4000
		for k := range uint64(draws) {
			d, sum := p.Draw(3, k, false), 0.0
			for r := range fighter.NumResponses {
				sum += d[fighter.Defend(fighter.Straight, r)]
			}
			x := d[fighter.Defend(fighter.Straight, r)] / sum
			mean, sd = mean+x/draws, sd+x*x/draws
		}
		return mean, math.Sqrt(sd - mean*mean)
	}
	before, beforeSD := share(p, fighter.Absorb)
	n := map[fighter.Figure]float64{}
	for r := range fighter.NumResponses {
		if r != fighter.Absorb && r != fighter.StrikeFirst {
			n[fighter.Defend(fighter.Straight, r)] = 100 * p.Figures[fighter.Defend(fighter.Straight, r)].A
		}
	}
	setDefences(p, &counts{defends: n}, fighter.Straight)
	after, afterSD := share(p, fighter.Absorb)
	require.InEpsilon(t, before, after, .1)
	require.InEpsilon(t, beforeSD, afterSD, .2)
	_, parry := share(p, fighter.Parry)
	require.Less(t, parry, beforeSD/2) // what tape tells is known well
}

// One act of a kind that the population never does, in a tenth of a second: no more than one in twenty seconds, rather than fifteen a second.
func TestARareActInNoTimeIsNoHabit(t *testing.T) {
	p := fighter.Population("vole", fighter.AverageBody())
	f := fighter.Initiate(fighter.Pocket, tape.MoveSpin)
	p.Figures[f] = fighter.Posterior{}
	setRate(p, f, 1, .1, 1, 0)
	require.Less(t, p.Figures[f].Mean(fighter.Rate), 1./20)
	require.Greater(t, p.Figures[f].Mean(fighter.Rate), 1./60)
}
