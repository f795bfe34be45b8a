package kernel

import (
	"math"
	"testing"
)

func TestSemiMarkovOccupancy(t *testing.T) {
	// E5.5: Ross, Introduction to Probability Models, good/fair/broken machine (from memory): good → fair ¾, broken ¼; fair → broken;
	// broken → good ⅔, fair ⅓; mean sojourns 5, 2, 1. Visits 4/15, 1/3, 2/5; time 5/9, 5/18, 1/6, whatever the law of the
	// sojourns. Cycles begin at visits to good and are independent.
	mean := [3]float64{5, 2, 1}
	var next [3]Table
	for i, row := range [][]float64{{0, 3, 1}, {0, 0, 1}, {2, 1, 0}} {
		if err := next[i].Set(row); err != nil {
			t.Fatal(err)
		}
	}
	for law, sojourn := range map[string]func(s *Stream, mean float64) int64{
		"constant":    func(_ *Stream, mean float64) int64 { return int64(mean * second) },
		"exponential": func(s *Stream, mean float64) int64 { return Exponential(s.Uint64(), MeanGap(1/mean)) },
		// Pareto with tail index 2.2 and mean m: scale m·1.2/2.2; the variance is finite, the third moment not.
		"heavy": func(s *Stream, mean float64) int64 {
			u := (float64(s.Uint64()>>11) + 0.5) / (1 << 53)
			return int64(mean * second * 1.2 / 2.2 * math.Pow(u, -1/2.2))
		},
	} {
		var occupied, visited [3]ratio
		s := NewKey(400, uint64(len(law))).Stream()
		c := NewCalendar(3) // the slot is the state that is being left
		c.Schedule(0, sojourn(&s, mean[0]))
		var spent, visits [3]float64
		for cycles, before := 0, int64(0); cycles < 100_000; {
			state, now := c.Next()
			spent[state] += float64(now-before) / second
			visits[state]++
			before = now
			state = next[state].Pick(s.Uint32())
			c.Schedule(state, now+sojourn(&s, mean[state]))
			if state == 0 {
				for i := range spent {
					occupied[i].add(spent[i], spent[0]+spent[1]+spent[2])
					visited[i].add(visits[i], visits[0]+visits[1]+visits[2])
				}
				spent, visits = [3]float64{}, [3]float64{}
				cycles++
			}
		}
		for i, state := range []string{"good", "fair", "broken"} {
			occupied[i].near(t, law+" time "+state, []float64{5.0 / 9, 5.0 / 18, 1.0 / 6}[i])
			visited[i].near(t, law+" visits "+state, []float64{4.0 / 15, 1.0 / 3, 2.0 / 5}[i])
		}
	}
}

// chainAt plays a Markov chain with rates q from state 0 and returns its state at each of the times: the clocks of all ways out run
// on the calendar, one a target, and the first to ring wins.
func chainAt(s *Stream, q [][]Mean, times []int64, states []int) {
	c := NewCalendar(len(q))
	state := 0
	start := func(now int64) {
		for target, mean := range q[state] {
			c.Cancel(target)
			if mean > 0 {
				c.Schedule(target, now+Exponential(s.Uint64(), mean))
			}
		}
	}
	start(0)
	for i := 0; i < len(times); {
		if _, at := c.Peek(); at > times[i] {
			states[i] = state
			i++
			continue
		}
		target, now := c.Next()
		state = target
		start(now)
	}
}

func TestMarkovChainInTime(t *testing.T) {
	for i, row := range []struct {
		name  string
		rates [][]float64
		times []float64
		exact []float64 // P(in state 0 at the time | there at 0)
	}{
		// E5.6: Norris (1997), Markov Chains, §2.1 (from memory): 3/8 + ¼e^(-2t) + ⅜e^(-4t).
		{"Norris", [][]float64{{0, 1, 1}, {1, 0, 0}, {2, 1, 0}}, []float64{0.1, 0.5, 1, 3}, []float64{0.8310527055328603, 0.5177205915065902, 0.41570218539242854, 0.3756219921237993}},
		// E5.6b (exact): down at ¼, up at 1.
		{"two states", [][]float64{{0, 0.25}, {1, 0}}, []float64{0.5, 1, 2}, []float64{0.9070522857037981, 0.8573009593720381, 0.8164169997247798}},
	} {
		means := make([][]Mean, len(row.rates))
		for from, rates := range row.rates {
			for _, rate := range rates {
				mean := Mean(0)
				if rate > 0 {
					mean = MeanGap(rate)
				}
				means[from] = append(means[from], mean)
			}
		}
		times, states := make([]int64, len(row.times)), make([]int, len(row.times))
		for j, at := range row.times {
			times[j] = int64(at * second)
		}
		const n = 200_000
		home, late := make([]int, len(times)), make([]int, 3)
		for r := range uint64(n) {
			s := NewKey(500, uint64(i), r).Stream()
			chainAt(&s, means, times, states)
			for j, state := range states {
				home[j] += int(truth(state == 0))
			}
			late[states[len(states)-1]]++
		}
		for j, p := range row.exact {
			nearShare(t, row.name, home[j], n, p)
		}
		if row.name == "Norris" {
			// E5.6s: stationary 3/8, ½, ⅛. At t = 3 the first state is off by ¼e^-6 = 0.0006 < 4.9 SE = 0.005; so are the others.
			for state, p := range []float64{0.375, 0.5, 0.125} {
				nearShare(t, "stationary", late[state], n, p)
			}
		}
	}
}

func TestCompetingClocks(t *testing.T) {
	// E5.8 (exact): clocks of rates 1, 2, 3 ring first with chances 1/6, 1/3, 1/2, after 1/6 on average (SD 1/6).
	const n = 500_000
	var first [3]int
	var least float64
	s := NewKey(600).Stream()
	means := [3]Mean{MeanGap(1), MeanGap(2), MeanGap(3)}
	for range n {
		c := NewCalendar(3)
		for slot, mean := range means {
			c.Schedule(slot, Exponential(s.Uint64(), mean))
		}
		slot, at := c.Next()
		first[slot]++
		least += float64(at) / second
	}
	for i, p := range []float64{1.0 / 6, 1.0 / 3, 1.0 / 2} {
		nearShare(t, "first", first[i], n, p)
	}
	near(t, "minimum", least/n, 1.0/6, 1.0/6/math.Sqrt(n))
	// E5.8g (exact): of two alike Erlang(2) clocks either rings first with chance ½.
	wins := 0
	for range n {
		c := NewCalendar(2)
		for slot := range 2 {
			c.Schedule(slot, Exponential(s.Uint64(), means[0])+Exponential(s.Uint64(), means[0]))
		}
		slot, _ := c.Next()
		wins += slot
	}
	nearShare(t, "Erlang", wins, n, 0.5)
}

func TestReliability(t *testing.T) {
	// E5.12: Law, Simulation Modeling and Analysis, reliability model (from memory; exact 7/9): the system lives until part 1 or both
	// of parts 2 and 3 have failed; lives are Weibull of shape ½ and scale 1, squares of unit exponentials.
	var lives sample
	s := NewKey(700).Stream()
	mean := MeanGap(1)
	for range 1_000_000 {
		c := NewCalendar(3)
		for part := range 3 {
			x := float64(Exponential(s.Uint64(), mean)) / second
			c.Schedule(part, int64(x*x*second))
		}
		part, at := c.Next()
		if part != 0 {
			_, at = c.Next()
		}
		lives.add(float64(at) / second)
	}
	lives.near(t, "life", 0.777777777777778)
}
