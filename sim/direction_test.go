package sim

import (
	"cmp"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// change is what differs between two ways to fight: figures, bodies or plans of red and blue, or the rules.
type change struct {
	red, blue      func(d fighter.Draw)
	body, blueBody func(b *fighter.Body)
	plan, bluePlan *tactics.Plan
	rules          func(r *tape.RuleSet)
	noCues         bool
	ruleSet        string // empty: mma-3x5
}

// figure is what is read off a bout just played; NaN: this bout does not tell.
type figure func(b *Bout, o *Outcome) float64

// bouts of a direction test; stoppages are off, so that a minute is a minute.
const directionBouts = 600

// bout sets up average fighters under a change.
func (c change) bout(t *testing.T) *Bout {
	t.Helper()
	b := evenBout(t, cmp.Or(c.ruleSet, "mma-3x5"))
	b.NoStop, b.NoCues = true, c.noCues
	if c.rules != nil {
		r := *b.Rules
		c.rules(&r)
		b.Setup(&r, b.World)
	}
	for i, s := range [...]struct {
		draw func(fighter.Draw)
		body func(*fighter.Body)
		plan *tactics.Plan
	}{{c.red, c.body, c.plan}, {c.blue, c.blueBody, c.bluePlan}} {
		body, d := averageDraw()
		if s.draw != nil {
			s.draw(d)
		}
		if s.body != nil {
			s.body(&body)
		}
		var plan *tactics.Compiled
		if s.plan != nil {
			var err error
			plan, err = tactics.Compile(s.plan)
			require.NoError(t, err)
		}
		require.NoError(t, b.Sides[i].Load(body, d, plan, nil, b.Rules))
	}
	return b
}

// measured plays the bouts under a change and gives figures of each, by figure and bout.
func measured(t *testing.T, c change, bouts int, of ...figure) [][]float64 {
	t.Helper()
	b := c.bout(t)
	out := make([][]float64, len(of))
	for i := range bouts {
		o := b.Run(kernel.NewKey(0x646972, uint64(i)))
		require.NoError(t, b.Sides[0].Fault())
		require.NoError(t, b.Sides[1].Fault())
		for k, f := range of {
			out[k] = append(out[k], f(b, &o))
		}
	}
	return out
}

// expect is a figure that must be higher after a change than before; less turns the sign.
type expect struct {
	what string
	of   figure
}

func less(f figure) figure { return func(b *Bout, o *Outcome) float64 { return -f(b, o) } }

// rises checks, on pairs of bouts with the same luck, that figures are higher after than before.
func rises(t *testing.T, before, after change, of ...expect) {
	t.Helper()
	risesIn(t, directionBouts, before, after, of...)
}

func risesIn(t *testing.T, bouts int, before, after change, of ...expect) {
	t.Helper()
	figures := make([]figure, len(of))
	for i, e := range of {
		figures[i] = e.of
	}
	x, y := measured(t, before, bouts, figures...), measured(t, after, bouts, figures...)
	for i, e := range of {
		exceeds(t, e.what, y[i], x[i])
	}
}

// mean is over the bouts that tell.
func mean(x []float64) float64 {
	n, sum := 0.0, 0.0
	for _, v := range x {
		if !math.IsNaN(v) {
			n, sum = n+1, sum+v
		}
	}
	return sum / n
}

// exceeds checks that y is higher than x by more than four standard errors of the mean difference over the pairs that tell.
func exceeds(t *testing.T, what string, y, x []float64) {
	t.Helper()
	n, sum, square := 0.0, 0.0, 0.0
	for i := range x {
		if d := y[i] - x[i]; !math.IsNaN(d) {
			n, sum, square = n+1, sum+d, square+d*d
		}
	}
	mean := sum / n
	se := math.Sqrt((square/n - mean*mean) / n)
	t.Logf("%-50s %+.4f se %.4f z %+.1f n %.0f", what, mean, se, mean/se, n)
	assert.Greater(t, mean, 4*se, "%s: changed by %.4f with a standard error of %.4f", what, mean, se)
}
