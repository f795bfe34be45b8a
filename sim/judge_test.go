package sim

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/tape"
)

// round lays a round out by hand and lets the judges score it, who see exactly.
type round struct{ red, blue man }

func scored(t *testing.T, r round) [2]int {
	t.Helper()
	b := evenBout(t, "mma-3x5")
	b.World.JudgeNoise = 0
	b.round, b.men = 1, [2]man{r.red, r.blue}
	b.score()
	for _, card := range b.cards {
		require.Equal(t, b.cards[0], card, "who see the same score the same")
	}
	return b.cards[0]
}

// landed lands clean strikes of one impact by the first man on the second, as a bout does, and gives the first man's round.
func landed(t *testing.T, impacts ...int32) man {
	t.Helper()
	b := evenBout(t, "mma-3x5")
	b.startRound()
	for _, x := range impacts {
		e := tape.Event{Act: tape.Cross, Value: tape.Head, Result: tape.Clean}
		b.men[0].score += int64(x)
		b.hitHead(0, x, &e)
	}
	return b.men[0]
}

// Worked rounds against the published criteria: Association of Boxing Commissions, MMA judging criteria/scoring, approved 2 August 2016
// (wording from memory): effective striking and grappling by impact come first; immediate over cumulative; effective aggressiveness only
// if those are 100 % even, control of the area only if both are; 10-9 for a close round, 10-8 for a round won by a large margin, 10-10 only
// for no difference at all.
func TestWorkedRounds(t *testing.T) {
	jabs := func(n int) (x []int32) {
		for range n {
			x = append(x, 55)
		}
		return x
	}
	chin := int32(AverageWorld().Chin)
	for name, c := range map[string]struct {
		r    round
		want [2]int
	}{
		"more of the same impact":                {round{landed(t, jabs(14)...), landed(t, jabs(9)...)}, [2]int{10, 9}},
		"one that drops over eight that do not":  {round{landed(t, chin*6/5), landed(t, jabs(8)...)}, [2]int{10, 9}},
		"impact over aggressiveness and control": {round{man{score: 700, attacks: 10}, man{score: 600, attacks: 60, control: 200e6}}, [2]int{10, 9}},
		"even impact: aggressiveness":            {round{man{score: 600, attacks: 31}, man{score: 600, attacks: 30, control: 200e6}}, [2]int{10, 9}},
		"even impact and attacks: control":       {round{man{score: 600, attacks: 30}, man{score: 600, attacks: 30, control: 9e6}}, [2]int{9, 10}},
		"no difference at all":                   {round{man{score: 600}, man{score: 600}}, [2]int{10, 10}},
		"a large margin of impact":               {round{man{score: 2400}, man{score: 300}}, [2]int{10, 8}},
		"a large margin of little":               {round{man{score: 500}, man{score: 20}}, [2]int{10, 9}},
		"the other corner":                       {round{man{score: 300}, man{score: 2400}}, [2]int{8, 10}},
	} {
		require.Equal(t, c.want, scored(t, c.r), name)
	}
}

// Cards to verdicts, exact: two of three judges decide; who agrees how is told by name (common practice, no source).
func TestCardsToVerdicts(t *testing.T) {
	for name, c := range map[string]struct {
		cards  [3][2]int
		winner int8
		judges Agreement
	}{
		"unanimous":     {[3][2]int{{30, 27}, {29, 28}, {29, 28}}, 0, Unanimous},
		"split":         {[3][2]int{{29, 28}, {28, 29}, {28, 29}}, 1, Split},
		"majority":      {[3][2]int{{29, 28}, {29, 28}, {28, 28}}, 0, Majority},
		"draw":          {[3][2]int{{28, 28}, {28, 28}, {28, 28}}, -1, Unanimous},
		"split draw":    {[3][2]int{{29, 28}, {28, 29}, {28, 28}}, -1, Split},
		"majority draw": {[3][2]int{{29, 28}, {28, 28}, {28, 28}}, -1, Majority},
	} {
		b := evenBout(t, "mma-3x5")
		b.round, b.cards = 4, c.cards
		b.decide()
		require.Equal(t, c.winner, b.verdict.Winner, name)
		require.Equal(t, c.judges, b.verdict.Judges, name)
		require.Equal(t, uint8(3), b.verdict.Round, name)
	}
}

// A foul that ends a bout: deliberate, it loses; accidental, it is no contest until more than half of the rounds are over and goes to the
// cards after that (Unified Rules of MMA, from memory).
func TestFouls(t *testing.T) {
	for name, c := range map[string]struct {
		round  int
		foul   uint64
		method Method
	}{
		"deliberate":            {1, 0, ByDisqualification},
		"accidental, round two": {2, 1 << 62, NoContest},
		"accidental, the last":  {3, 1 << 62, ByDecision},
	} {
		b := evenBout(t, "mma-3x5")
		b.startRound()
		b.round, b.now = c.round, 60e6
		b.men[0].move, b.men[0].luck[luckFoul] = tape.MoveKnee, c.foul
		b.men[0].score = 500
		require.True(t, b.fouls(0), name)
		require.Equal(t, c.method, b.verdict.Method, name)
		require.Equal(t, uint8(c.round), b.verdict.Round, name)
		if c.method == ByDisqualification {
			require.Equal(t, int8(1), b.verdict.Winner)
		}
		b.men[0].luck[luckFoul] = 1<<62 | 1<<31
		require.False(t, b.fouls(0), "most strikes are no fouls")
	}
}
