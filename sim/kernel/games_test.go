package kernel

import (
	"math"
	"testing"
)

func TestGamblersRuin(t *testing.T) {
	// E5.7, E5.7d, E5.7g: Feller, An Introduction to Probability Theory I, ch. XIV, Table 1 (from memory): win chance p, fortune z,
	// target a; chance of ruin, mean duration; the mean gain is a(1-ruin) - z.
	for i, row := range []struct {
		p              float64
		z, a           int
		ruin, duration float64
		games          int
	}{
		{0.5, 9, 10, 0.1, 9, 200_000},
		{0.5, 90, 100, 0.1, 900, 20_000},
		{0.5, 900, 1000, 0.1, 90_000, 2000},
		{0.5, 950, 1000, 0.05, 47_500, 2000},
		{0.45, 9, 10, 0.2100561649907872, 11.005616499078712, 200_000},
		{0.45, 99, 100, 0.1818181821686268, 171.81818216862678, 50_000},
		{0.4, 99, 100, 0.3333333333333332, 161.66666666666663, 50_000},
	} {
		threshold, ruined := Threshold(row.p), 0
		var duration sample
		s := NewKey(800, uint64(i)).Stream()
		for range row.games {
			fortune, turns := row.z, 0
			for fortune > 0 && fortune < row.a {
				fortune += 2*int(Hit(s.Uint32(), threshold)) - 1
				turns++
			}
			ruined += int(truth(fortune == 0))
			duration.add(float64(turns))
		}
		nearShare(t, "ruin", ruined, row.games, row.ruin)
		duration.near(t, "duration", row.duration)
		if gain, ok := map[int]float64{4: -1.1005616499078714, 5: -17.18181821686268, 6: -32.33333333333333}[i]; ok {
			n := float64(row.games)
			won := float64(row.a)*(1-float64(ruined)/n) - float64(row.z)
			near(t, "gain", won, gain, float64(row.a)*math.Sqrt(row.ruin*(1-row.ruin)/n))
		}
	}
}

func TestScoredGames(t *testing.T) {
	const n = 400_000
	// E5.9 (exact; .7357 at .6 is the well-known figure): a tennis game, four points with a lead of two.
	for p, want := range map[float64]float64{0.5: 0.5, 0.6: 0.7357292307692307, 0.55: 0.6231485024752477, 0.7: 0.9007889655172414} {
		nearShare(t, "tennis", play(NewKey(900, Threshold(p)), n, Threshold(p), 4), n, want)
	}
	// E5.9d (exact): from level, first to lead by two, p = .6: 9/13.
	nearShare(t, "win by two", play(NewKey(901), n, Threshold(0.6), 1), n, 9.0/13)
}

// play returns how many of n games are won by whoever takes a point with that threshold, to at least `points` with a lead of two.
func play(key Key, n int, threshold uint64, points int) (won int) {
	s := key.Stream()
	for range n {
		a, b := 0, 0
		for max(a, b) < points || a-b < 2 && b-a < 2 {
			point := int(Hit(s.Uint32(), threshold))
			a += point
			b += 1 - point
		}
		won += int(truth(a > b))
	}
	return won
}

func TestCraps(t *testing.T) {
	// E5.9c (exact): the pass line wins with chance 244/495.
	const n = 1_000_000
	s := NewKey(902).Stream()
	roll := func() uint64 { return 2 + s.Below(6) + s.Below(6) }
	won := 0
	for range n {
		switch first := roll(); first {
		case 7, 11:
			won++
		case 2, 3, 12:
		default:
			again := roll()
			for again != first && again != 7 {
				again = roll()
			}
			won += int(truth(again == first))
		}
	}
	nearShare(t, "craps", won, n, 244.0/495)
}
