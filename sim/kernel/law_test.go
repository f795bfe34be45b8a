package kernel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Two programs of Law, Simulation Modeling and Analysis: the single-server queue and the inventory of chapter 1, on the generator of
// chapter 7, by the Calendar. Times are float64 minutes or months as in the book; the calendar orders them in units of 2^-47, which
// a float64 above 2^6 meets exactly and which fit up to time 2048. Where two times of one run fell within a unit (7e-15), the
// totals would show it.

// lawStream is z ← 630360016·z mod (2^31 - 1), u = ((z >> 7) | 1)/2^24, stream 1.
type lawStream int64

func newLawStream() lawStream { return 1973272912 }

func (z *lawStream) uniform() float64 {
	*z = *z * 630360016 % (1<<31 - 1)
	return float64(*z>>7|1) / (1 << 24)
}

func (z *lawStream) exponential(mean float64) float64 { return -mean * math.Log(z.uniform()) }

// lawCalendar is a Calendar that keeps the exact times beside it.
type lawCalendar struct {
	calendar Calendar
	times    [MaxSlots]float64
}

func newLawCalendar(slots int) *lawCalendar { return &lawCalendar{calendar: NewCalendar(slots)} }

func (c *lawCalendar) schedule(slot int, at float64) {
	c.times[slot] = at
	c.calendar.Schedule(slot, int64(math.Ldexp(at, 47)))
}

func (c *lawCalendar) next() (int, float64) {
	slot, _ := c.calendar.Next()
	return slot, c.times[slot]
}

func TestLawGenerator(t *testing.T) {
	// E5.10u: first three uniforms of stream 1, from memory.
	z := newLawStream()
	for _, want := range []float64{0.4005278944969177, 0.6135854125022888, 0.43359702825546265} {
		require.Equal(t, want, z.uniform())
	}
}

func TestLawQueue(t *testing.T) {
	const arrival, departure = 0, 1
	z, c := newLawStream(), newLawCalendar(2)
	c.schedule(arrival, z.exponential(1))
	var queue []float64
	var now, delays, area, busyTime float64
	busy, delayed := false, 0
	serve := func(arrived float64) {
		delays += now - arrived
		delayed++
		c.schedule(departure, now+z.exponential(0.5))
	}
	for delayed < 1000 {
		slot, at := c.next()
		area += float64(len(queue)) * (at - now)
		if busy {
			busyTime += at - now
		}
		now = at
		switch {
		case slot == arrival:
			c.schedule(arrival, now+z.exponential(1))
			if busy {
				queue = append(queue, now)
				break
			}
			busy = true
			serve(now)
		case len(queue) > 0:
			first := queue[0]
			queue = queue[1:]
			serve(first)
		default:
			busy = false
		}
	}
	// E5.10: printed .430 .418 .460 1027.915, public copies of the book's report.
	relative(t, "average delay", delays/1000, 0.42999057734723906, 1e-9)
	relative(t, "average queue", area/now, 0.4183133399117403, 1e-9)
	relative(t, "utilisation", busyTime/now, 0.46004575646412055, 1e-9)
	relative(t, "end", now, 1027.9150491303064, 1e-9)
}

// inventory runs one policy for 120 months and returns the monthly ordering, holding and shortage costs.
func inventory(z *lawStream, small, big int) (ordering, holding, shortage float64) {
	const delivery, demand, end, review = 0, 1, 2, 3 // the order in which events of one time come
	const months = 120
	c := newLawCalendar(4)
	level, amount := 60, 0
	now, orderCost, held, short := 0.0, 0.0, 0.0, 0.0
	c.schedule(demand, z.exponential(0.1))
	c.schedule(end, months)
	c.schedule(review, 0)
	for {
		slot, at := c.next()
		held += max(0, float64(level)) * (at - now)
		short += max(0, float64(-level)) * (at - now)
		now = at
		switch slot {
		case delivery:
			level += amount
		case demand:
			size, u := 1, z.uniform()
			for _, c := range []float64{0.167, 0.5, 0.833} {
				if u >= c {
					size++
				}
			}
			level -= size
			c.schedule(demand, now+z.exponential(0.1))
		case review:
			if level < small {
				amount = big - level
				orderCost += 32 + 3*float64(amount)
				c.schedule(delivery, now+0.5+z.uniform()*0.5)
			}
			c.schedule(review, now+1)
		case end:
			return orderCost / months, held / months, 5 * short / months
		}
	}
}

func TestLawInventory(t *testing.T) {
	// E5.10i (from memory; full values recomputed): total, ordering, holding, shortage. One stream runs on through nine policies.
	want := map[[2]int][4]float64{
		{20, 40}:  {126.60776979675384, 99.25833333333334, 9.24708243426154, 18.102354029158953},
		{20, 60}:  {122.74218969640319, 90.51666666666667, 17.39326390236672, 14.832259127369806},
		{40, 60}:  {126.37034611905138, 98.425, 25.992155029791927, 1.9531910892594468},
		{40, 100}: {132.34110949738232, 84.625, 46.42045569306941, 1.2956538043128956},
		{60, 100}: {143.19889765779348, 89.05, 53.90869587018608, 0.2402017876073971},
	}
	z, checked := newLawStream(), 0
	for _, policy := range [][2]int{{20, 40}, {20, 60}, {20, 80}, {20, 100}, {40, 60}, {40, 80}, {40, 100}, {60, 80}, {60, 100}} {
		ordering, holding, shortage := inventory(&z, policy[0], policy[1])
		if w, ok := want[policy]; ok {
			checked++
			relative(t, "total", ordering+holding+shortage, w[0], 1e-9)
			relative(t, "ordering", ordering, w[1], 1e-9)
			relative(t, "holding", holding, w[2], 1e-9)
			relative(t, "shortage", shortage, w[3], 1e-9)
		}
	}
	require.Equal(t, len(want), checked)
}
