package calibrate

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tape"
)

// What may be held back reads as it is written, and says what was expected instead.
func TestParseHolding(t *testing.T) {
	for text, want := range map[string]Holding{"round": {Each: HoldRounds}, "bout": {Each: HoldBouts}, "round=3": {Round: 3}, "bout=heron-lynx": {Bout: "heron-lynx"}} {
		h, err := ParseHolding(text)
		require.NoError(t, err, text)
		require.Equal(t, want, h, text)
		require.Equal(t, text, h.String())
		require.True(t, h.Any())
	}
	h, err := ParseHolding("heron-lynx")
	require.NoError(t, err)
	require.Equal(t, "bout=heron-lynx", h.String())
	for _, text := range []string{"round=0", "round=x", "round=300", "rounds=3", "bout="} {
		_, err := ParseHolding(text)
		require.ErrorContains(t, err, "expected", text)
	}
	require.False(t, Holding{}.Any())
}

// By hand: two bouts of two rounds and one of one.
func TestFolds(t *testing.T) {
	rounds := []roundKey{{"a", 1}, {"a", 2}, {"b", 1}, {"b", 2}, {"c", 1}}
	audited := func(h Holding) (out []int) {
		folds, err := h.folds(rounds)
		require.NoError(t, err)
		for _, f := range folds {
			require.Equal(t, h.Any(), f.held)
			for k := range f.audited {
				require.Equal(t, !h.Any(), f.trains(k))
			}
			out = append(out, len(f.audited))
		}
		return out
	}
	require.Equal(t, []int{5}, audited(Holding{}))
	require.Equal(t, []int{1, 1, 1, 1, 1}, audited(Holding{Each: HoldRounds}))
	require.Equal(t, []int{2, 2, 1}, audited(Holding{Each: HoldBouts}))
	require.Equal(t, []int{2}, audited(Holding{Round: 2}))
	require.Equal(t, []int{2}, audited(Holding{Bout: "b"}))
	_, err := Holding{Bout: "bb"}.folds(rounds)
	require.ErrorContains(t, err, `did you mean "b"?`)
	_, err = Holding{Round: 3}.folds(rounds)
	require.ErrorContains(t, err, "no bout has a coded round 3")

	var many []roundKey // 3 rounds of 30 bouts are held back in 20 turns, all of them once
	for i := range 90 {
		many = append(many, roundKey{string(rune('A' + i/3)), uint8(i%3 + 1)})
	}
	folds, err := Holding{Each: HoldRounds}.folds(many)
	require.NoError(t, err)
	require.Len(t, folds, mostFolds)
	n := 0
	for _, f := range folds {
		n += len(f.audited)
	}
	require.Equal(t, 90, n)
}

// A bout without its last round does not end at that round's end, and keeps nothing of it; without all of its rounds it is gone, and so is one of
// which only what was coded is held back.
func TestTrainingLeavesOut(t *testing.T) {
	tapes := auditTape(t, 3, 2, nil)
	tapes[0].Bout.End = 100e6
	tapes[1].Bout.Coded = []tape.Interval{{Round: 2, From: 0, To: 60e6}}
	before := len(tapes[0].Rows)
	hold := func(keys ...roundKey) []*tape.Coding {
		f := fold{map[roundKey]bool{}, true}
		for _, k := range keys {
			f.audited[k] = true
		}
		return f.training(tapes)
	}
	left := hold(roundKey{"bout 0", 3})
	require.Len(t, left, 2)
	require.Zero(t, left[0].Bout.End)
	require.Same(t, tapes[1], left[1], "what nothing is held back of stays as it is")
	for _, r := range left[0].Rows {
		require.Less(t, r.Round, uint8(3))
	}
	require.Len(t, tapes[0].Rows, before, "the tape itself keeps all")
	left = hold(roundKey{"bout 0", 1})
	require.EqualValues(t, 100e6, left[0].Bout.End)
	require.Len(t, hold(roundKey{"bout 0", 1}, roundKey{"bout 0", 2}, roundKey{"bout 0", 3}), 1)
	require.Len(t, hold(roundKey{"bout 1", 2}), 1, "bout 1 has rows in rounds 1 and 3, but nothing coded")
}

// Where a bout is held back the others weigh what they weigh beside it: one and two half-lives before the newest bout, which is the one held
// back, a half and a quarter; and a coder's errors are those that were given.
func TestFoldsWeighOldTape(t *testing.T) {
	tapes := dated(t, "2026-01-01", "2025-01-01", "2024-01-02") // 365 and 730 days, since 2024 is a leap year
	o := AuditOptions{Draws: 499, Hold: Holding{Bout: tapes[0].Bout.ID}, Age: Ageing{HalfLife: 365}, Coder: UsualCoder()}
	a := &Audit{}
	l, err := a.gather(tapes, &o)
	require.NoError(t, err)
	require.Equal(t, "2026-01-01", o.Age.AsOf)
	require.Contains(t, strings.Join(a.Notes, "\n"), "half for every 365 days before 2026-01-01")
	folds, err := o.Hold.folds(l.rounds)
	require.NoError(t, err)
	sets, err := l.profiles(t.Context(), []*fold{&folds[0]}, o)
	require.NoError(t, err)
	got := sets[&folds[0]].profiles["vole"]
	jab := fighter.Initiate(fighter.Long, tape.MoveJab)
	want := 0.0
	for i, weight := range map[int]float64{1: .5, 2: .25} {
		alone, err := Calibrate(tapes[i:i+1], Options{})
		require.NoError(t, err)
		want += weight * alone.Profiles["vole"].Seen[jab]
	}
	require.InEpsilon(t, want, got.Seen[jab], 1e-9)
	same, err := Calibrate(tapes[1:], Options{Age: Ageing{365, "2026-01-01"}, Coder: UsualCoder()})
	require.NoError(t, err)
	require.Equal(t, same.Profiles["vole"], got)

	tapes[2].Bout.Date = ""
	_, err = (&Audit{}).gather(tapes, &o)
	require.ErrorContains(t, err, "has no date")
	given := AuditOptions{Draws: 499, Age: o.Age, Profiles: sets[&folds[0]].profiles}
	require.ErrorContains(t, given.Check(), "those that are given stand as they are")
}
