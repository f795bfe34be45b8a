package sim

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

func evenBout(t testing.TB, rules string) *Bout {
	t.Helper()
	r, err := tape.RuleSetNamed(rules)
	require.NoError(t, err)
	b := NewBout()
	b.Setup(r, AverageWorld())
	body, d := averageDraw()
	for c := range b.Sides {
		require.NoError(t, b.Sides[c].Load(body, d, nil, nil, r))
	}
	return b
}

func stayClose(t testing.TB) *tactics.Compiled {
	t.Helper()
	p := &tactics.Plan{Name: "stay close", Adherence: tactics.UsualAdherence, Rules: []tactics.Rule{
		{Name: "no ground", At: tactics.Defend, Multiples: []tactics.Multiple{{What: "step_back", By: 0}}},
		{Name: "hands", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "hand_fight", By: 3}}},
		{Name: "answer", At: tactics.Answer, Multiples: []tactics.Multiple{{What: "punches", By: 3}}},
		{Name: "believe less", At: tactics.Believe, Multiples: []tactics.Multiple{{What: "real", By: .5}}},
	}}
	c, err := tactics.Compile(p)
	require.NoError(t, err)
	return c
}

// Choices, never chances: the recorded choices of a bout under a plan, forced with the plan removed, give the same bout.
func TestForcedChoicesGiveTheSameBout(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	body, d := averageDraw()
	parted := 0
	for i := range 60 {
		key := kernel.NewKey(7, 1, uint64(i))
		require.NoError(t, b.Sides[0].Load(body, d, stayClose(t), stayClose(t).Shares(0), b.Rules))
		b.Script = &Script{}
		with := b.Run(key)
		rows := append([]tape.Event(nil), b.Events...)
		require.NoError(t, b.Sides[0].Load(body, d, nil, nil, b.Rules))
		b.Script.Force = true
		b.Script.Rewind()
		forced := b.Run(key)
		require.Equal(t, with, forced)
		require.Equal(t, rows, b.Events)
		b.Script = nil
		if b.Run(key) != with {
			parted++
		}
	}
	require.Greater(t, parted, 50, "without the forced choices the plan must make a difference")
}

// An act that nobody uses changes no byte: a rate of zero and a plan that forbids what has no rate are the same bout.
func TestZeroRateLeavesNoTrace(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	body, d := averageDraw()
	p := &tactics.Plan{Name: "never what nobody does", Rules: []tactics.Rule{
		{At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "push", By: 0}}, When: map[tactics.Fact][]int{tactics.FactRange: {0, 1, 2, 3}}},
	}}
	c, err := tactics.Compile(p)
	require.NoError(t, err)
	for i := range 20 {
		key := kernel.NewKey(3, 0, uint64(i))
		require.NoError(t, b.Sides[0].Load(body, d, nil, nil, b.Rules))
		usual := b.Run(key)
		require.NoError(t, b.Sides[0].Load(body, d, c, nil, b.Rules))
		require.Equal(t, usual, b.Run(key))
	}
}

// Times and counts add up: every moment of a bout is spent in one zone by each, and a winner and a loser make one bout.
func TestOutcomeAddsUp(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	for i := range 200 {
		o := b.Run(kernel.NewKey(5, 2, uint64(i)))
		for c := range o.Sides {
			sum := int64(0)
			for _, x := range o.Sides[c].Zone {
				sum += x
			}
			require.Equal(t, o.Time, sum)
			require.LessOrEqual(t, o.Sides[c].Bitten, o.Sides[c].Feints)
		}
		require.LessOrEqual(t, o.Time, int64(900e6))
	}
}

// Evenly matched fighters win equally often from either corner. 4000 bouts: the difference of wins has a standard error of at most
// sqrt(4000) = 63.2; 4.9 of them are 310.
func TestMirroredCorners(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	wins := [2]int{}
	for i := range 4000 {
		if w := b.Run(kernel.NewKey(11, 0, uint64(i))).Verdict.Winner; w >= 0 {
			wins[w]++
		}
	}
	require.InDelta(t, 0, wins[0]-wins[1], 310)
}

func BenchmarkBout(b *testing.B) {
	bout := evenBout(b, "mma-3x5")
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		bout.Run(kernel.NewKey(1, 0, uint64(i)))
	}
}
