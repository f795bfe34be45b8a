package sim

// Tally is many outcomes added up, in whole numbers: merging is addition, so that the order and the grouping of bouts cannot be told from
// it, and any encoding of its numbers (encoding/json among them) keeps all of it.
type Tally struct {
	Bouts  int64
	Ended  [NumMethods][3]int64 // by method: won by red, by blue, by nobody
	Judged [NumAgreements]int64 // of decisions and draws
	Margin int64                // red less blue over all cards, points
	Time   int64                // fought, µs
	Sides  [2]Counts
}

// Add counts a bout.
func (t *Tally) Add(o *Outcome) {
	t.Bouts++
	who := int(o.Verdict.Winner)
	if who < 0 {
		who = 2
	}
	t.Ended[o.Verdict.Method][who]++
	if o.Verdict.Method == ByDecision {
		t.Judged[o.Verdict.Judges]++
	}
	for _, card := range o.Cards {
		t.Margin += int64(card[0] - card[1])
	}
	t.Time += o.Time
	for c := range t.Sides {
		t.Sides[c].Add(&o.Sides[c])
	}
}

// Merge adds another tally.
func (t *Tally) Merge(o *Tally) {
	t.Bouts += o.Bouts
	for m := range t.Ended {
		addAll(t.Ended[m][:], o.Ended[m][:])
	}
	addAll(t.Judged[:], o.Judged[:])
	t.Margin += o.Margin
	t.Time += o.Time
	for c := range t.Sides {
		t.Sides[c].Add(&o.Sides[c])
	}
}

// Add adds another bout's counts, or those of many.
func (s *Counts) Add(o *Counts) {
	for _, x := range [...][2][]int64{
		{s.Thrown[:], o.Thrown[:]}, {s.Landed[:], o.Landed[:]}, {s.Clean[:], o.Clean[:]}, {s.Zone[:], o.Zone[:]},
	} {
		addAll(x[0], x[1])
	}
	s.JabThrown += o.JabThrown
	s.JabLanded += o.JabLanded
	s.HeadClean += o.HeadClean
	s.HeadLanded += o.HeadLanded
	s.Knockdowns += o.Knockdowns
	s.Feints += o.Feints
	s.Bitten += o.Bitten
	s.StepsBack += o.StepsBack
	s.StepsIn += o.StepsIn
	s.HandFights += o.HandFights
	s.HandFightsWon += o.HandFightsWon
	s.Shots += o.Shots
	s.Takedowns += o.Takedowns
	s.Submissions += o.Submissions
	s.Counters += o.Counters
	s.Centre += o.Centre
	s.Fence += o.Fence
}

func addAll(to, from []int64) {
	for i, x := range from {
		to[i] += x
	}
}
