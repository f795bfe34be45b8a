package tape

// SamplesOf derives what a coder at the level of exchanges would have written every SamplePeriod, beginning with each bell, from the
// events of a full coding in tape order: at the coded moments of all rounds in which there are events, before the round's bell or
// the end of the bout. A state counts from its row on, also at that very moment; before the round's first row of it, and while seen
// is no, it is unknown. Where both ranges are coded, each fighter's own, the nearer one is taken, which is that of the limbs that
// reach farther. b.RuleSet must be set.
func SamplesOf(b *Bout, events []Event) []Sample {
	if b.RuleSet == nil {
		panic("tape: SamplesOf of a bout without a rule set")
	}
	out := []Sample{}
	for i := 0; i < len(events); {
		round, begin := events[i].Round, i
		for i < len(events) && events[i].Round == round {
			i++
		}
		out = append(out, b.samplesOf(round, events[begin:i], i == len(events))...)
	}
	return out
}

// samplesOf are those of one round; last says that it is the last coded one.
func (b *Bout) samplesOf(round uint8, events []Event, last bool) (out []Sample) {
	var now pairState
	next := 0
	for clock := int64(0); clock < b.roundEnd(round, last); clock += SamplePeriod {
		for ; next < len(events) && events[next].Clock <= clock; next++ {
			now.follow(&events[next])
		}
		if b.Covers(round, clock) {
			out = append(out, now.sample(round, clock))
		}
	}
	return out
}

// roundEnd is when a round was over, µs since its bell.
func (b *Bout) roundEnd(round uint8, last bool) int64 {
	end := b.bell()
	if last && b.End > 0 {
		end = min(end, b.End)
	}
	if b.Ended.Round == round && b.Ended.Clock > 0 {
		end = min(end, b.Ended.Clock)
	}
	return end
}

// pairState is what the rows so far say of the pair.
type pairState struct {
	ranges        [2]Value
	centre, fence Value
	unseen        bool
}

func (s *pairState) follow(e *Event) {
	switch e.Act {
	case StateRange:
		if e.Corner == NoCorner {
			s.ranges = [2]Value{e.Value, e.Value}
		} else {
			s.ranges[e.Corner] = e.Value
		}
	case StateCentre:
		s.centre = e.Value
	case StateFence:
		s.fence = e.Value
	case StateSeen:
		s.unseen = e.Value == No
	}
}

func (s *pairState) sample(round uint8, clock int64) Sample {
	out := Sample{Round: round, Clock: clock}
	if !s.unseen {
		out.Range, out.Centre, out.Fence = nearer(s.ranges[0], s.ranges[1]), s.centre, s.fence
	}
	return out
}

// nearness ranks ranges; boxing may be long or pocket and goes between them.
var nearness = map[Value]int{Out: 1, Kicking: 2, Long: 3, Boxing: 4, Pocket: 5, Clinch: 6, Ground: 7}

// nearer gives the nearer of two ranges, of which one may be unknown.
func nearer(a, b Value) Value {
	if nearness[a] >= nearness[b] {
		return a
	}
	return b
}

// CoarseOf derives the coding at the level of exchanges from a full one: ExchangesOf and SamplesOf its rows.
func CoarseOf(c *Coding) *Coarse {
	events := c.Events()
	return &Coarse{Bout: c.Bout, Name: c.Name, Samples: SamplesOf(c.Bout, events), Exchanges: ExchangesOf(events)}
}
