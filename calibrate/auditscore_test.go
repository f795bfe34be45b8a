package calibrate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/internal/infer"
	"whatbout/tape"
)

// What rivals know by hand: 4 acts in 300 s of the same bout's other round and 6 in 200 s of an earlier bout's. The latest round before
// round 1 of a bout is the last one of the bout before; with the bout held back that is so for both of its rounds.
func TestWhatRivalsKnow(t *testing.T) {
	at := func(bout string, round uint8, acts, seconds float64) *cell {
		return &cell{AuditCell: AuditCell{Bout: bout, Round: round, Fighter: "vole", Figure: "straights", Unit: AuditCount, Coded: acts, Seconds: seconds}}
	}
	l := &library{sources: []*source{{bout: &tape.Bout{ID: "early"}}, {bout: &tape.Bout{ID: "a"}}, {bout: &tape.Bout{ID: "late"}}},
		coded: []*cell{at("early", 1, 6, 200), at("a", 1, 9, 300), at("a", 2, 4, 300), at("late", 1, 5, 100)}}
	e := l.elsewhere()
	none := &fold{audited: map[roundKey]bool{{"a", 1}: true, {"a", 2}: true}}
	both := &fold{audited: none.audited, held: true}
	require.Equal(t, map[string]sums{RivalRates: {15, 600}, RivalLast: {6, 200}}, e.knows(l.coded[1], none))
	require.Equal(t, map[string]sums{RivalRates: {20, 600}, RivalLast: {9, 300}}, e.knows(l.coded[2], none))
	require.Equal(t, map[string]sums{RivalRates: {11, 300}, RivalLast: {6, 200}}, e.knows(l.coded[2], both))
	require.Equal(t, map[string]sums{RivalRates: {18, 700}, RivalLast: {}}, e.knows(l.coded[0], none), "nothing came before")
	f := sums{6, 200}.forecast(300)
	require.Equal(t, infer.NegativeBinomial{Mean: 6.5 / 200 * 300, Size: 6.5}, f)
}

// Verdicts by hand: differences 1, 2, 3 over rounds have the mean 2 and, with t(2, .975) = 4.302653 (Student's table), the half width
// 4.302653/√3 = 2.484: it holds zero. With 2, 2.1, 1.9 it does not. A round is the mean over its figures.
func TestVerdictAgainstARival(t *testing.T) {
	verdict := func(less ...float64) AuditRival {
		all := map[comparison]*comparedScore{}
		for i, d := range less {
			for _, by := range []float64{-1, 1} { // two figures
				add(all, comparison{}, roundKey{"a", uint8(i + 1)}, 5+d+by, 5)
			}
		}
		return all[comparison{}].verdict()
	}
	r := verdict(1, 2, 3)
	require.Equal(t, CannotTell, r.Verdict)
	require.Equal(t, 3, r.Units)
	require.InDelta(t, 5, r.Model, 1e-12)
	require.InDelta(t, 7, r.Other, 1e-12)
	require.InDelta(t, 2, r.Less.Centre, 1e-12)
	require.InDelta(t, 2-4.302653/math.Sqrt(3), r.Less.Low, 1e-5)
	require.Equal(t, Beats, verdict(2, 2.1, 1.9).Verdict)
	require.Equal(t, DoesNotBeat, verdict(-2, -2.1, -1.9).Verdict)
	one := verdict(7)
	require.Equal(t, CannotTell, one.Verdict)
	one.caution()
	require.Equal(t, []string{"one : no interval"}, one.Less.Warnings)
}

// Bouts are the observations where bouts or nothing is held back; where rounds are, only from five bouts on.
func TestUnitOfComparison(t *testing.T) {
	unit := func(h Holding, bouts int) string {
		tr := &playedTrial{hold: h}
		for i := range bouts {
			tr.bouts = append(tr.bouts, &auditBout{src: &source{bout: &tape.Bout{ID: string(rune('a' + i))}}})
		}
		return tr.unit()
	}
	require.Equal(t, HoldBouts, unit(Holding{}, 1))
	require.Equal(t, HoldBouts, unit(Holding{Bout: "a"}, 1))
	require.Equal(t, HoldRounds, unit(Holding{Each: HoldRounds}, 4))
	require.Equal(t, HoldBouts, unit(Holding{Each: HoldRounds}, 5))
	require.Equal(t, HoldRounds, unit(Holding{Round: 3}, 4))
}
