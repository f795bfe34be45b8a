package kernel

// station is a queue with Poisson arrivals, c alike servers and first come, first served, on a Calendar: slot 0 holds the next
// arrival, slots 1 to c the ends of service.
type station struct {
	servers  int
	loss     bool // who finds all servers busy leaves
	arrivals Mean
	service  func(*Stream) int64

	stream   Stream
	calendar Calendar
	busy     int
	queue    []int64 // times of arrival of those who wait
	arrived  [MaxSlots]int64
	seen     counts
}

// counts are what a station counts from the end of the warm-up on. Times are microseconds.
type counts struct {
	span, inSystem, inQueue, empty, atLeast4 int64 // areas over time
	customers, waited, lost                  int64
	wait, stay                               int64
	stay1, stay2, waitHalf, wait1            int64 // customers beyond 1 and 2 units in system, ½ and 1 in queue
}

// run plays a station from empty, and counts after the warm-up.
func (q *station) run(key Key, warm, span int64) counts {
	q.stream, q.calendar = key.Stream(), NewCalendar(1+q.servers)
	q.busy, q.queue = 0, q.queue[:0]
	q.calendar.Schedule(0, Exponential(q.stream.Uint64(), q.arrivals))
	now := int64(0)
	for counting := false; ; {
		_, next := q.calendar.Peek()
		if !counting && next > warm { // drop what was counted so far; the interval is cut at the end of the warm-up
			q.seen, now, counting = counts{}, warm, true
		}
		if next > warm+span {
			q.pass(warm + span - now)
			return q.seen
		}
		q.pass(next - now)
		now = next
		if slot, _ := q.calendar.Next(); slot == 0 {
			q.arrive(now)
		} else {
			q.leave(slot, now)
		}
	}
}

func (q *station) pass(elapsed int64) {
	n := int64(q.busy + len(q.queue))
	q.seen.span += elapsed
	q.seen.inSystem += n * elapsed
	q.seen.inQueue += int64(len(q.queue)) * elapsed
	q.seen.empty += truth(n == 0) * elapsed
	q.seen.atLeast4 += truth(n >= 4) * elapsed
}

func truth(b bool) int64 {
	if b {
		return 1
	}
	return 0
}

func (q *station) arrive(now int64) {
	q.calendar.Schedule(0, now+Exponential(q.stream.Uint64(), q.arrivals))
	switch {
	case q.busy < q.servers:
		server := 1
		for q.calendar.At(server) != Never {
			server++
		}
		q.busy++
		q.begin(server, now, now)
	case q.loss:
		q.seen.lost++
	default:
		q.queue = append(q.queue, now)
	}
}

func (q *station) begin(server int, arrived, now int64) {
	q.arrived[server] = arrived
	q.seen.customers++
	q.seen.wait += now - arrived
	q.seen.waited += truth(now > arrived)
	q.seen.waitHalf += truth(now-arrived > second/2)
	q.seen.wait1 += truth(now-arrived > second)
	q.calendar.Schedule(server, now+q.service(&q.stream))
}

func (q *station) leave(server int, now int64) {
	stay := now - q.arrived[server]
	q.seen.stay += stay
	q.seen.stay1 += truth(stay > second)
	q.seen.stay2 += truth(stay > 2*second)
	if len(q.queue) == 0 {
		q.busy--
		return
	}
	first := q.queue[0]
	q.queue = q.queue[:copy(q.queue, q.queue[1:])]
	q.begin(server, first, now)
}

// exponentialService has the given mean rate a second.
func exponentialService(perSecond float64) func(*Stream) int64 {
	mean := MeanGap(perSecond)
	return func(s *Stream) int64 { return Exponential(s.Uint64(), mean) }
}
