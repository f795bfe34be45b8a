package study

import (
	"whatbout/internal/infer"
)

// firstLook and lookGrowth plan the looks of Within. Small steps waste few draws; infer.Within still covers at them.
const (
	firstLook  = infer.FirstLook
	lookGrowth = infer.MinGrowth
)

// Stopping tells how adding draws until the differences in bouts won were known well enough went.
type Stopping struct {
	Target  float64 `json:"target"` // half-width, as a share
	Reached bool    `json:"reached"`
	Looks   int     `json:"looks"`  // how many times it was looked
	Needed  int     `json:"needed"` // draws that the plan which is hardest to tell would take, going by the spread seen so far
}

// stopping decides when there are enough draws. Looks come at fixed numbers of draws, so that the number of workers cannot matter.
type stopping struct {
	rule    infer.Within // without looks: play most draws
	looks   []int        // then, where to stand still and tell
	most    int
	told    Stopping
	reports []infer.Interval // of bouts won, by plan less one, once stopped
	stopped bool
}

func (q *Comparison) stopping() (*stopping, error) {
	s := &stopping{most: q.Draws, looks: q.Looks, told: Stopping{Target: q.Within}}
	var err error
	if q.Within != 0 {
		s.rule, err = infer.NewWithin(q.Within, q.Level, firstLook, q.Draws, lookGrowth)
	}
	return s, err
}

// next is how many draws there shall be at the next look; it reports false when it is time to stop.
func (s *stopping) next(k int) (int, bool) {
	switch {
	case s.stopped:
		return 0, false
	case s.rule.Looks == nil:
		for _, look := range s.looks {
			if look > k && look >= 4 && look < s.most {
				return look, true
			}
		}
		return s.most, k < s.most
	}
	return s.rule.Next(k)
}

// jobs foresees how many jobs there will be in all: those to the coming look, or as many as the last look found needed.
func (s *stopping) jobs(look int) int {
	k := max(look, min(s.told.Needed, s.most))
	return k + tapeDraws(k)
}

// look asks the rule about every plan's difference in bouts won; it stops when all are known well enough or the draws have run out.
func (s *stopping) look(n *nest) {
	if s.rule.Looks == nil {
		return
	}
	s.told.Looks++
	s.told.Reached, s.stopped, s.told.Needed = true, false, 0
	s.reports = s.reports[:0]
	for p := 1; p < len(n.q.Plans); p++ {
		d := s.rule.Look(infer.Split(differences(n.all, p, winMeasure)))
		s.told.Reached = s.told.Reached && d.Reached
		s.told.Needed = max(s.told.Needed, d.Needed)
		s.reports = append(s.reports, d.Report)
	}
	_, more := s.rule.Next(len(n.all))
	s.stopped = s.told.Reached || !more
}

// report gives the rule and the interval that it lets a plan's difference in bouts won be told with; nil if it had no say.
func (s *stopping) report() *Stopping {
	if s.rule.Looks == nil {
		return nil
	}
	return &s.told
}
