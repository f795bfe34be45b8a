package calibrate

import (
	"cmp"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tape"
)

// Planted faults turn the audit red.
func TestAuditSeesPlantedFaults(t *testing.T) {
	fits := audited(t, auditTape(t, 7, 3, nil), AuditOptions{Profiles: trueProfiles(), Seed: 3})
	for _, g := range []string{AuditActs, AuditRange, AuditMoves, AuditTiming, AuditChances} {
		require.Equal(t, Fits, verdictOf(t, fits, g).Verdict, g)
	}

	t.Run("corner labels swapped", func(t *testing.T) { // of two fighters who kick unlike: three bouts tell in 6 of 10 tapes, eight in all 10
		a := audited(t, auditTape(t, 7, 8, swapCorners), AuditOptions{Profiles: trueProfiles(), Seed: 3})
		require.Equal(t, DoesNot, verdictOf(t, a, AuditActs).Verdict)
		require.Equal(t, "shrew low kicks above", verdictOf(t, a, AuditActs).Worst[0], "the kicker's go by the shrew's name")
	})
	t.Run("ranges not followed in one bout of five", func(t *testing.T) {
		tapes := auditTape(t, 7, 5, nil)
		everyOtherRange(tapes[3])
		a := audited(t, tapes, AuditOptions{Profiles: trueProfiles(), Seed: 3})
		v := verdictOf(t, a, AuditMoves)
		require.Equal(t, DoesNot, v.Verdict)
		require.Equal(t, "bout 3", v.OddBout)
	})
	t.Run("half of the exposure in one profile", func(t *testing.T) {
		profiles := trueProfiles()
		p := profiles["vole"]
		for f := range p.Figures {
			if fighter.Define(fighter.Figure(f)).Law == fighter.Rate {
				p.Figures[f].B /= 2
			}
		}
		a := audited(t, auditTape(t, 7, 3, nil), AuditOptions{Profiles: profiles, Seed: 3})
		require.Equal(t, DoesNot, verdictOf(t, a, AuditActs).Verdict)
	})
	for name, who := range map[string]tape.Corner{"both corners a second late": tape.NoCorner, "one corner a second late": tape.RedCorner} {
		t.Run(name, func(t *testing.T) {
			a := audited(t, auditTape(t, 7, 3, func(c *tape.Coding) { late(c, who) }), AuditOptions{Profiles: trueProfiles(), Seed: 3})
			require.Equal(t, DoesNot, verdictOf(t, a, AuditTiming).Verdict)
		})
	}
	t.Run("results the wrong way round", func(t *testing.T) {
		a := audited(t, auditTape(t, 7, 3, wrongResults), AuditOptions{Profiles: trueProfiles(), Seed: 3})
		require.Equal(t, DoesNot, verdictOf(t, a, AuditChances).Verdict)
		require.Equal(t, DoesNot, verdictOf(t, a, AuditClean).Verdict)
		require.Equal(t, Fits, verdictOf(t, a, AuditMoves).Verdict)
	})
	t.Run("ranges not followed", func(t *testing.T) {
		a := audited(t, auditTape(t, 7, 3, everyOtherRange), AuditOptions{Profiles: trueProfiles(), Seed: 3})
		require.Equal(t, DoesNot, verdictOf(t, a, AuditMoves).Verdict)
	})
	t.Run("clocks doubled", func(t *testing.T) {
		a := audited(t, auditTape(t, 7, 3, doubleClocks), AuditOptions{Profiles: trueProfiles(), Seed: 3})
		require.Equal(t, DoesNot, verdictOf(t, a, AuditActs).Verdict)
	})
}

func swapCorners(c *tape.Coding) {
	for i := range c.Rows {
		if e := &c.Rows[i].Event; e.Corner != tape.NoCorner {
			e.Corner = e.Corner.Other()
		}
	}
}

// late moves the acts of a corner, or of both, a second on; what would be past the bell stays there. States are sampled and stay.
func late(c *tape.Coding, who tape.Corner) {
	bell := int64(c.Bout.RuleSet.RoundSeconds) * 1e6
	for i := range c.Rows {
		if e := &c.Rows[i].Event; e.IsAct() && (who == tape.NoCorner || e.Corner == who) {
			e.Clock = min(e.Clock+1_000_000, bell)
		}
	}
	slices.SortStableFunc(c.Rows, func(a, b tape.Row) int { return cmp.Or(cmp.Compare(a.Round, b.Round), cmp.Compare(a.Clock, b.Clock)) })
}

// wrongResults takes what landed for missed, and what missed for landed.
func wrongResults(c *tape.Coding) {
	for i := range c.Rows {
		switch r := &c.Rows[i].Result; *r {
		case tape.Clean:
			*r = tape.Missed
		case tape.Missed:
			*r = tape.Clean
		}
	}
}

// everyOtherRange drops every other change of range.
func everyOtherRange(c *tape.Coding) {
	n := 0
	c.Rows = slices.DeleteFunc(c.Rows, func(r tape.Row) bool {
		if r.Act != tape.StateRange || r.Clock == 0 {
			return false
		}
		n++
		return n%2 == 0
	})
}

// doubleClocks: what happened in the first half of a round is spread over all of it.
func doubleClocks(c *tape.Coding) {
	end := int64(c.Bout.RuleSet.RoundSeconds) * 1e6
	var kept []tape.Row
	for _, r := range c.Rows {
		if r.Clock *= 2; r.Clock <= end {
			kept = append(kept, r)
		}
	}
	c.Rows = kept
}
