package sim

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// checker holds what explanations say against what the bout does.
type checker struct {
	t                         *testing.T
	strikes, choices, beliefs int
	seen                      map[Reason]bool
	planned                   int
}

func (k *checker) Landed(b *Bout, l *Landing) {
	if l.Short > 0 {
		require.Empty(k.t, l.Parts)
		return
	}
	k.strikes++
	sum := int32(0)
	for i, p := range l.Parts {
		sum += p.Logits
		k.seen[p.Reason] = true
		require.True(k.t, i == 0 || l.Parts[i-1].Reason < p.Reason)
	}
	require.Equal(k.t, b.strikeLogits(l.Corner, l.InTime), sum)
	require.Equal(k.t, l.Logits, sum)
}

func (k *checker) Chose(b *Bout, at tactics.Point, c int, table *kernel.Table, chosen int) {
	x := b.choice(at, c, table, chosen)
	if at == tactics.Believe {
		k.beliefs++
		w := x.Belief
		require.Equal(k.t, chosen == 1, w.Percept+w.Readiness+w.Learned+w.Plan > 0)
		return
	}
	k.choices++
	require.Equal(k.t, chosen, table.Pick(low(b.drawn(at, c))), "%s", at)
	row, state := b.tableKey(at, c)
	s := &b.Sides[c]
	mask := uint32(0)
	for _, r := range x.Rules {
		mask |= 1 << r
	}
	usual, planned := s.table(at, row, state, 0), s.table(at, row, state, mask)
	require.True(k.t, table == usual || table == planned, "the table drawn from is that of the point")
	if table == planned && mask != 0 {
		k.planned++
	}
}

// What an explanation adds up is what the bout added up: on every strike of 50 bouts, every belief and every choice, with a plan and
// without, open and closed stance.
func TestTwinsAgree(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	body, d := averageDraw()
	d[fighter.Attack(fighter.StraightPunch)], d[fighter.Defence(fighter.LoopingPunch)] = .3, -.2
	d[fighter.Alone(fighter.Tiring)] = 4 // so that some are tired
	k := &checker{t: t, seen: map[Reason]bool{}}
	for i := range 50 {
		body.Southpaw = i%2 == 0
		require.NoError(t, b.Sides[0].Load(body, d, stayClose(t), stayClose(t).Shares(0), b.Rules))
		b.Watch = nil
		want := b.Run(kernel.NewKey(21, 0, uint64(i)))
		rows := append([]tape.Event(nil), b.Events...)
		b.Watch = k
		require.Equal(t, want, b.Run(kernel.NewKey(21, 0, uint64(i))), "watching changes nothing")
		require.Equal(t, rows, b.Events)
	}
	require.Greater(t, k.strikes, 50*50)
	require.Greater(t, k.beliefs, 50*50)
	require.Greater(t, k.planned, 50*20)
	for r := range NumReasons {
		require.True(t, k.seen[r], "reason %d never came up", r)
	}
}

// Every strike of a bout is found by the clock it is shown with, together with what began it and why it ended as it did.
func TestMoments(t *testing.T) {
	b := evenBout(t, "mma-3x5")
	body, d := averageDraw()
	require.NoError(t, b.Sides[0].Load(body, d, stayClose(t), stayClose(t).Shares(0), b.Rules))
	strikes, begun, believed := 0, 0, 0
	for i := range 20 {
		trace := &Tracer{}
		b.Watch = trace
		b.Run(kernel.NewKey(22, 0, uint64(i)))
		for j := range b.Events {
			e := &b.Events[j]
			if !e.Act.IsStrike() {
				continue
			}
			m, ok := trace.Moment(b.Events, int(e.Round), e.Clock)
			require.True(t, ok)
			if m.Event != e {
				require.Equal(t, e.Clock/clockStep, m.Event.Clock/clockStep, "another row with the same clock shown")
				continue
			}
			strikes++
			require.NotNil(t, m.Landing)
			require.Equal(t, e.Result.IsClean(), m.Landing.Clean())
			if m.Begun != nil {
				begun++
			}
			if m.Believed != nil {
				believed++
			}
			if m.Defended != nil && e.Defence > tape.DefenceNone && fighter.Response(m.Defended.Chosen) != fighter.StrikeFirst {
				require.Equal(t, e.Defence, fighter.Response(m.Defended.Chosen).Defence())
			}
		}
	}
	require.Greater(t, strikes, 20*50)
	require.Greater(t, begun, strikes*95/100, "what nobody chose is rare: a cross after a caught kick")
	require.Greater(t, believed, strikes/4)
	_, ok := (&Tracer{}).Moment(nil, 1, 0)
	require.False(t, ok)
}
