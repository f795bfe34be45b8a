package calibrate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tape"
)

// odd is tape that profiles do not give back: the vole begins four times as many straights as the population, which pooling does not take at its word; a coder calls straights clean that were blocked or missed.
func odd(t *testing.T) []*tape.Coding {
	d := fighter.Population("vole", fighter.AverageBody()).Centre()
	for z := range fighter.NumZones {
		d[fighter.Initiate(z, tape.MoveJab)] *= 4
		d[fighter.Initiate(z, tape.MoveCross)] *= 4
	}
	tapes := simulated(t, d, 34, 4)
	for _, c := range tapes {
		for i := range c.Rows {
			if e := &c.Rows[i].Event; (e.Act == tape.Jab || e.Act == tape.Cross) && (e.Result == tape.Blocked || e.Result == tape.Missed) {
				e.Result = tape.Clean
			}
		}
	}
	return tapes
}

func closureFor(t *testing.T, all []Closure, who string, f fighter.Family, figure ResidualFigure) Closure {
	t.Helper()
	for _, c := range all {
		if c.Before.of() == (closureOf{who, f, figure}) {
			return c
		}
	}
	require.Fail(t, "no such closure", "%s %s %s", who, f, figure)
	return Closure{}
}

// luckOf is how far two means of 100 replayed tapes may lie apart by luck: 4.9 standard errors of the difference, as if they were not paired (they
// are, so that it is less).
func luckOf(c *Closure) float64 {
	return 4.9 * math.Hypot(c.Before.Error, c.After.Error) / math.Sqrt(residualDraws)
}

// Closing shares brings everybody's landed share of straights nearer to the tape by more than luck, shrunk and whole, whole nearer still; the skill in
// every profile is the joint part's, and the profile says by how much it was shifted.
func TestClosingSharesBringsThemNearer(t *testing.T) {
	tapes := odd(t)
	plain, err := Calibrate(tapes, Options{})
	require.NoError(t, err)
	left := [2]float64{}
	for k, whole := range []bool{false, true} {
		r, err := Calibrate(tapes, Options{Close: CloseShares, CloseWhole: whole})
		require.NoError(t, err)
		c := closureFor(t, r.Closed, "", fighter.StraightPunch, ResidualShare)
		require.Greater(t, c.Before.Standard, 2.)
		require.Greater(t, c.Applied, 0.)
		left[k] = math.Abs(c.After.Coded - c.After.Simulated)
		require.Less(t, left[k], math.Abs(c.Before.Coded-c.Before.Simulated)-luckOf(&c))
		for id, p := range r.Profiles {
			require.Equal(t, map[fighter.Family]float64(nil), p.MadeFrom.Closed.Rates)
			require.Equal(t, c.Applied, p.MadeFrom.Closed.Shares[fighter.StraightPunch])
			require.Equal(t, whole, p.MadeFrom.Closed.Whole)
			attack := fighter.Attack(fighter.StraightPunch)
			require.InDelta(t, plain.Profiles[id].Figures[attack].A+c.Applied, p.Figures[attack].A, 1e-12)
		}
		joint, err := r.Joint()
		require.NoError(t, err)
		_, err = fighter.JoinPair(r.Profiles["vole"], r.Profiles["shrew"], joint)
		require.NoError(t, err)
	}
	require.Less(t, left[1], left[0])
}

// The same of a fighter's rate of straights, which pooling holds back; nobody's skills move. Whoever has no residual beyond its own error keeps
// their rates to the bit.
func TestClosingRatesBringsThemNearer(t *testing.T) {
	tapes := odd(t)[:1]
	plain, err := Calibrate(tapes, Options{})
	require.NoError(t, err)
	for _, whole := range []bool{false, true} {
		r, err := Calibrate(tapes, Options{Close: CloseRates, CloseWhole: whole})
		require.NoError(t, err)
		c := closureFor(t, r.Closed, "vole", fighter.StraightPunch, ResidualRate)
		require.Greater(t, c.Before.Standard, 1.5)
		require.Equal(t, c.Applied, r.Profiles["vole"].MadeFrom.Closed.Rates[fighter.StraightPunch])
		require.Less(t, math.Abs(c.After.Coded-c.After.Simulated), math.Abs(c.Before.Coded-c.Before.Simulated)-luckOf(&c))
		for id, p := range r.Profiles {
			require.Nil(t, p.MadeFrom.Closed.Shares)
			for f := range fighter.NumFamilies {
				require.Equal(t, plain.Profiles[id].Figures[fighter.Attack(f)], p.Figures[fighter.Attack(f)])
				by, shifted := p.MadeFrom.Closed.Rates[f]
				for m := range tape.NumMoves {
					if family, ok := fighter.FamilyOf(m.Act()); ok && family == f {
						was, is := plain.Profiles[id].Figures[fighter.Initiate(fighter.Long, m)], p.Figures[fighter.Initiate(fighter.Long, m)]
						if !shifted {
							require.Equal(t, was, is)
						}
						require.InDelta(t, was.Mean(fighter.Rate)*math.Exp(by), is.Mean(fighter.Rate), 1e-12)
					}
				}
			}
		}
	}
}

// Nothing asked for, nothing shifted: the check alone leaves the bytes of every profile and of the joint part as they were without it.
func TestTheCheckShiftsNothing(t *testing.T) {
	tapes := odd(t)[:1]
	plain, err := Calibrate(tapes, Options{})
	require.NoError(t, err)
	checked, err := Calibrate(tapes, Options{Check: true})
	require.NoError(t, err)
	require.Nil(t, checked.Closed)
	for id, p := range plain.Profiles {
		require.Equal(t, string(fighter.WriteProfile(p)), string(fighter.WriteProfile(checked.Profiles[id])))
		require.NotContains(t, string(fighter.WriteProfile(p)), "closed:")
	}
	require.Equal(t, plain.Skills, checked.Skills)
}

// By hand: at twice its error three quarters of an offset are left, within its error nothing, and all of it if asked for; without an error to measure
// by, never anything.
func TestOffsetsAreShrunkByTheirError(t *testing.T) {
	for _, x := range []struct {
		standard, shrunk, whole float64
	}{{2, .3, .4}, {-2, .3, .4}, {1, 0, .4}, {.5, 0, .4}, {0, 0, 0}} {
		r := Residual{Standard: x.standard, Offset: .4}
		require.InDelta(t, x.shrunk, r.applied(false), 1e-12)
		require.InDelta(t, x.whole, r.applied(true), 1e-12)
	}
}
