package web

import (
	"net/http/httptest"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/sim"
	"whatbout/study"
)

// What is watched is the very bout of the answer, under both plans, or alone where the two sides of the comparison are not in one world.
func TestTheBoutThatIsWatched(t *testing.T) {
	s, _ := open(t, place(t), Options{})
	bout := func(query string) *Bout {
		t.Helper()
		var got *Bout
		require.NoError(t, s.Watch(httptest.NewRequest("GET", "/replay/?"+query, nil), func(b *Bout) error { got = b; return nil }))
		return got
	}
	b := bout("rules=short.yaml&plan=press&draw=3&bout=2&set=own.adherence:40")
	require.Len(t, b.Plans, 2)
	require.Equal(t, "as usual", b.Plans[0].Name)
	require.Equal(t, [2]int{3, 2}, [2]int{b.Draw, b.Bout})
	b.Plan = b.Plans[1]
	o, err := b.Play(sim.NewBout())
	require.NoError(t, err)
	bank, err := study.NewBank(study.Meeting{Fighter: b.Fighter, Opponent: b.Opponent, Rules: b.Rules, Seed: b.Seed}, b.Plan)
	require.NoError(t, err)
	cell := study.Cell{Plan: b.Plan, Draw: 3, Bouts: 3, Set: b.Set}
	require.NoError(t, bank.Play(t.Context(), []study.Cell{cell}))
	require.Equal(t, float64(o.Time)/1e6, bank.Values(cell).At(2, study.MeasureNamed("bout_seconds")))
	require.Len(t, bout("set=own.bites.hip:1").Plans, 1)
	require.Len(t, bout("plan=press&pin=yes&pin-set=own.bites.hip:1").Plans, 1)
	require.Len(t, bout("plan=press&pin=yes&pin-rule=feint-then-go").Plans, 2)
	for _, query := range []string{"draw=-1", "draw=x", "bout=60", "draw=1000", "fighter=nobody", "figther=mole"} {
		require.Error(t, s.Watch(httptest.NewRequest("GET", "/replay/?"+query, nil), func(*Bout) error { t.Fatal(query); return nil }), query)
	}
	require.Equal(t, s.Running, free(s))
}
