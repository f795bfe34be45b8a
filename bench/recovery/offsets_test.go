package main

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/tape"
)

// Why offsets are shown and not applied: closing each fighter's residual rates undoes what pooling has won, so that tries of bouts to come are
// forecast worse, and closing everybody's shares takes luck for a standard. Two leagues of 12 with six coded rounds each; the table in
// DEVELOPERS.md is of more.
func TestClosingResidualsDoesNotHelp(t *testing.T) {
	sums := make([]closed, len(closings))
	for seed := range uint64(2) {
		require.NoError(t, closeLeague(sums, 1+seed, 12, 6, nil))
	}
	as := sums[0]
	require.Positive(t, as.weight)
	require.Greater(t, sums[1].rates, 1.3*as.rates, closings[1].name)
	require.Greater(t, sums[5].skills, as.skills, closings[5].name)
	require.Equal(t, as.skills, sums[1].skills, "rates move no skill")
}

// Closing moves what it says: rates and weights of a family by the factor, and nothing else.
func TestMoreOften(t *testing.T) {
	p := fighter.Population("vole", fighter.AverageBody())
	q := p.Clone()
	calibrate.MoreOften(q, fighter.StraightPunch, 2)
	for i := range p.Figures {
		f := fighter.Figure(i)
		law := fighter.Define(f).Law
		was, is, want := p.Figures[i].Mean(law), q.Figures[i].Mean(law), 1.
		for z := range fighter.NumZones {
			if f == fighter.Initiate(z, tape.MoveJab) || f == fighter.Initiate(z, tape.MoveCross) || f == fighter.Initiate(z, tape.MoveJabBody) || f == fighter.Initiate(z, tape.MoveCrossBody) {
				want = 2
			}
		}
		for z := range fighter.ExchangeZones {
			for _, m := range []tape.Move{tape.MoveJab, tape.MoveCross, tape.MoveJabBody, tape.MoveCrossBody} {
				if f == fighter.Answer(z, m) || f == fighter.Continue(z, m) {
					want = 2
				}
			}
		}
		require.InDelta(t, want*was, is, 1e-9, fighter.Define(f).Name)
	}
}
