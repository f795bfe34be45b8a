package study

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The whole chain's simulation interval covers. 200 independent seeds with 16 draws of 3 short bouts are held against one long run of
// 8,000 draws. Of 200 intervals of 95 %, 190 are expected to hold the truth, with a standard deviation of √(200·.95·.05) = 3.08: at least
// 190 - 4.9·3.08 = 174.9. The long run's own error is √(16/8000) = 4 % of a short one's, which moves coverage by less than 0.1 %.
// The intervals must not be too wide either: the variance of the 200 means is the mean of their squared standard errors, with a relative
// standard deviation of √(2/199) = 0.10 from the means and a tenth of that from the errors: within 4.9·0.11 = 0.54.
func TestSimulationIntervalCovers(t *testing.T) {
	const seeds = 200
	long := comparison(t, asUsual, stayClose)
	long.Draws, long.Bouts, long.Seed = 8000, 3, 1<<40
	truth := run(t, long)
	type tally struct{ held, mean, square, errors float64 }
	tallies := map[string]*tally{"win": {}, "score_margin": {}, "head_strikes_absorbed": {}}
	for seed := range uint64(seeds) {
		q := comparison(t, asUsual, stayClose)
		q.Draws, q.Bouts, q.Seed = 16, 3, 1000+seed
		r := run(t, q)
		for outcome, c := range tallies {
			d := r.Find("close", outcome)
			if d.Simulation.Holds(truth.Find("close", outcome).Mean) {
				c.held++
			}
			se := d.Simulation.Half() / 2.1314 // Student's t, 15 degrees of freedom, 97.5 % (Student's tables)
			c.mean, c.square, c.errors = c.mean+d.Mean/seeds, c.square+d.Mean*d.Mean/seeds, c.errors+se*se/seeds
		}
	}
	for outcome, c := range tallies {
		require.GreaterOrEqual(t, c.held, 175.0, outcome)
		variance := (c.square - c.mean*c.mean) * seeds / (seeds - 1)
		require.InDelta(t, 1, variance/c.errors, .54, outcome)
		require.Less(t, math.Abs(c.mean-truth.Find("close", outcome).Mean), 4.9*math.Sqrt(variance*(1./seeds+16./8000)), outcome)
	}
}
