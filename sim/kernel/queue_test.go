package kernel

import (
	"testing"
)

// Every station runs in independent replications after a warm-up, and the standard errors come from the spread between them. An hour, a
// second or a minute of a source is one second here.

// study runs replications and returns a sample of each measure.
func (q *station) study(name uint64, replications int, warm, span int64, measures ...func(counts) float64) []sample {
	samples := make([]sample, len(measures))
	for r := range replications {
		seen := q.run(NewKey(100, name, uint64(r)), warm, span)
		for i, measure := range measures {
			samples[i].add(measure(seen))
		}
	}
	return samples
}

func inQueue(c counts) float64  { return float64(c.inQueue) / float64(c.span) }
func inSystem(c counts) float64 { return float64(c.inSystem) / float64(c.span) }
func empty(c counts) float64    { return float64(c.empty) / float64(c.span) }
func atLeast4(c counts) float64 { return float64(c.atLeast4) / float64(c.span) }
func share(part func(counts) int64) func(counts) float64 {
	return func(c counts) float64 { return float64(part(c)) / float64(c.customers) }
}
func waited(c counts) float64 { return float64(c.waited) / float64(c.customers) }
func wait(c counts) float64   { return float64(c.wait) / float64(c.customers) / second }
func stay(c counts) float64   { return float64(c.stay) / float64(c.customers) / second }

func TestOneServer(t *testing.T) {
	// λ = 2, μ = 3 an hour. E5.1 and E5.1t: Hillier & Lieberman, Introduction to OR, county hospital (from memory); the last,
	// E5.1d: Banks, Carson, Nelson & Nicol, DES (from memory).
	q := station{servers: 1, arrivals: MeanGap(2), service: exponentialService(3)}
	rows := []struct {
		name    string
		measure func(counts) float64
		exact   float64
	}{
		{"P0", empty, 1.0 / 3}, {"P(Wq>0)", waited, 2.0 / 3}, {"L", inSystem, 2}, {"Lq", inQueue, 4.0 / 3}, {"W", stay, 1}, {"Wq", wait, 2.0 / 3},
		{"P(W>1)", share(func(c counts) int64 { return c.stay1 }), 0.36787944117144233},
		{"P(W>2)", share(func(c counts) int64 { return c.stay2 }), 0.1353352832366127},
		{"P(Wq>½)", share(func(c counts) int64 { return c.waitHalf }), 0.4043537731417556},
		{"P(Wq>1)", share(func(c counts) int64 { return c.wait1 }), 0.24525296078096154},
		{"P(N>=4)", atLeast4, 0.19753086419753085},
	}
	measures := make([]func(counts) float64, len(rows))
	for i, row := range rows {
		measures[i] = row.measure
	}
	for i, s := range q.study(1, 400, 100*second, 2000*second, measures...) {
		s.near(t, rows[i].name, rows[i].exact)
	}
}

func TestTwoServers(t *testing.T) {
	// E5.1b: the same hospital with two doctors; P0, P(Wq>0), L, Lq, W, Wq.
	q := station{servers: 2, arrivals: MeanGap(2), service: exponentialService(3)}
	exact := []float64{1.0 / 2, 1.0 / 6, 3.0 / 4, 1.0 / 12, 3.0 / 8, 1.0 / 24}
	for i, s := range q.study(2, 400, 50*second, 1500*second, empty, waited, inSystem, inQueue, stay, wait) {
		s.near(t, []string{"P0", "P(Wq>0)", "L", "Lq", "W", "Wq"}[i], exact[i])
	}
}

// normalService has the mean and standard deviation in microseconds, cut at 1 microsecond.
func normalService(mean, sd int64) func(*Stream) int64 {
	return func(s *Stream) int64 { return max(1, mean+sd*int64(Normal(s.Uint32()))/NormalUnit) }
}

// hyperService is exponential with mean 1 and squared coefficient of variation 4: with chance p of rate 2p, else of rate 2(1-p), where
// p(1-p) = 1/10 makes E S² = (1/p + 1/(1-p))/2 = 1/(2p(1-p)) = 5.
func hyperService() func(*Stream) int64 {
	const p = 0.1127016653792583 // (1-√0.6)/2
	slow, fast, threshold := MeanGap(2*p), MeanGap(2*(1-p)), Threshold(p)
	return func(s *Stream) int64 {
		if s.Chance(threshold) {
			return Exponential(s.Uint64(), slow)
		}
		return Exponential(s.Uint64(), fast)
	}
}

func erlangService(stages int) func(*Stream) int64 {
	mean := MeanGap(float64(stages))
	return func(s *Stream) (sum int64) {
		for range stages {
			sum += Exponential(s.Uint64(), mean)
		}
		return sum
	}
}

func twoPointService(mean, sd float64) func(*Stream) int64 {
	// Two points, mean ± sd, each with chance ½: Pollaczek–Khinchine asks for the first two moments alone.
	low, high := int64((mean-sd)*second), int64((mean+sd)*second)
	return func(s *Stream) int64 { return low + int64(s.Below(2))*(high-low) }
}

func TestGeneralService(t *testing.T) {
	for i, row := range []struct {
		name         string
		rate         float64
		service      func(*Stream) int64
		queue, empty float64
		replications int
		span         int64
	}{
		// E5.3: Banks, Carson, Nelson & Nicol, DES, Able and Baker (from memory); minutes over 10.
		{"Able", 1.0 / 3, twoPointService(2.4, 2), 2.711111111111112, 0.2, 400, 20000},
		{"Baker", 1.0 / 3, normalService(2_500_000, 200_000), 2.096666666666667, 0.16666666666666663, 400, 20000},
		// E5.3d: ρ = .9, mean service 1, Pollaczek–Khinchine (exact).
		{"M/D/1", 0.9, func(*Stream) int64 { return second }, 4.05, 0.1, 400, 10000},
		{"Erlang-4", 0.9, erlangService(4), 5.0625, 0.1, 400, 10000},
		{"M/M/1", 0.9, exponentialService(1), 8.1, 0.1, 400, 10000},
		{"SCV 4", 0.9, hyperService(), 20.25, 0.1, 400, 20000},
	} {
		q := station{servers: 1, arrivals: MeanGap(row.rate), service: row.service}
		s := q.study(uint64(10+i), row.replications, 4000*second, row.span*second, inQueue, empty)
		s[0].near(t, row.name+" Lq", row.queue)
		s[1].near(t, row.name+" P0", row.empty)
	}
}

func TestErlangLoss(t *testing.T) {
	// E5.2: Erlang-B offered loads at which 1, 2, 5 and 10 % are blocked, standard traffic tables (from memory). The answer does not
	// depend on the law of service: the loads run once with exponential and once with constant service.
	for i, row := range []struct {
		servers int
		loads   [4]float64
	}{
		{1, [4]float64{0.010101010101011079, 0.020408163265794844, 0.05263157894737085, 0.11111111111111112}},
		{5, [4]float64{1.3607867966625355, 1.6571430690548483, 2.218472268774715, 2.8810785081945807}},
		{20, [4]float64{12.030614594901195, 13.18153778716622, 15.24925699316637, 17.61315680911893}},
		{30, [4]float64{20.337285728095317, 21.93156526261885, 24.80180519313078, 28.11261498925491}},
	} {
		for j, blocked := range []float64{0.01, 0.02, 0.05, 0.10} {
			for k, service := range []func(*Stream) int64{exponentialService(1), func(*Stream) int64 { return second }} {
				q := station{servers: row.servers, loss: true, arrivals: MeanGap(row.loads[j]), service: service}
				span := int64(3000 / row.loads[j])
				s := q.study(uint64(1000+100*i+10*j+k), 200, 20*second, span*second, func(c counts) float64 {
					return float64(c.lost) / float64(c.lost+c.customers)
				})
				s[0].near(t, "blocked", blocked)
			}
		}
	}
}

func TestQueueFromEmpty(t *testing.T) {
	// E5.11s (exact): λ = 1, ρ = .9, empty start, the first customer arrives at an idle server. E of the delay of customer i.
	exact := map[int]float64{
		2: 0.42631578947368415, 3: 0.7345385624726635, 5: 1.196518323307232, 10: 1.9755030933129754,
		25: 3.300508621025742, 50: 4.498606149369474, 100: 5.75931035307994,
	}
	const arrival, departure = 0, 1
	delays := make([]sample, 101)
	arrivals, service := MeanGap(1), MeanGap(1/0.9)
	for r := range uint64(10_000) {
		s := NewKey(200, r).Stream()
		c := NewCalendar(2)
		var queue []int64
		begun := 0
		begin := func(arrived, now int64) {
			begun++
			delays[min(begun, 100)].add(float64(now-arrived) / second)
			c.Schedule(departure, now+Exponential(s.Uint64(), service))
		}
		for c.Schedule(arrival, 0); begun < 100; {
			switch slot, now := c.Next(); {
			case slot == arrival:
				c.Schedule(arrival, now+Exponential(s.Uint64(), arrivals))
				if queue = append(queue, now); c.At(departure) == Never {
					begin(queue[0], now)
				}
			default:
				if queue = queue[1:]; len(queue) > 0 {
					begin(queue[0], now)
				}
			}
		}
	}
	if first := delays[1]; first.sum != 0 {
		t.Errorf("the first customer waits %g", first.mean())
	}
	for i, want := range exact {
		delays[i].near(t, "delay", want)
	}
}

func TestMachineRepair(t *testing.T) {
	// E5.4w: Winston, Operations Research, police cars (from memory): 5 cars, 2 repairers, 30 days up, 3 days repair; a day is a
	// tenth of a second here. π0…π4, cars down, cars up, idle share of a repairer (.77323972, where the book prints .774 from
	// rounded π).
	const cars, repairers = 5, 2
	exact := []float64{0.6185917758223404, 0.3092958879111702, 0.06185917758223405, 0.009278876637335108, 0.0009278876637335109,
		0.46479439555851104, 4.535205604441489, 0.7732397197779255}
	up, repair := MeanGap(1.0/3), MeanGap(1/0.3)
	samples := make([]sample, len(exact))
	for r := range uint64(200) {
		s := NewKey(300, r).Stream()
		c := NewCalendar(cars)
		down := make([]bool, cars)
		var waiting []int
		var area [cars + 1]int64
		for car := range cars {
			c.Schedule(car, Exponential(s.Uint64(), up))
		}
		failed, inRepair, before := 0, 0, int64(0)
		const warm, end = 50 * second, 3050 * second
		for before < end {
			car, now := c.Next()
			area[failed] += max(0, min(now, end)-max(before, warm))
			before = now
			if down[car] {
				down[car] = false
				failed--
				inRepair--
				c.Schedule(car, now+Exponential(s.Uint64(), up))
			} else {
				down[car] = true
				failed++
				waiting = append(waiting, car)
			}
			if inRepair < repairers && len(waiting) > 0 {
				inRepair++
				c.Schedule(waiting[0], now+Exponential(s.Uint64(), repair))
				waiting = waiting[1:]
			}
		}
		broken, idle := 0.0, 0.0
		for n, a := range area {
			p := float64(a) / (end - warm)
			if n < 5 {
				samples[n].add(p)
			}
			broken += float64(n) * p
			idle += float64(max(0, repairers-n)) / repairers * p
		}
		samples[5].add(broken)
		samples[6].add(cars - broken)
		samples[7].add(idle)
	}
	for i, want := range exact {
		samples[i].near(t, []string{"π0", "π1", "π2", "π3", "π4", "down", "up", "idle"}[i], want)
	}
}
