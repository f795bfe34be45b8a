package calibrate

import "whatbout/internal/infer"

// Scores. Of both less is better, and both are proper: nobody does better on the mean than by saying what they believe (Gneiting & Raftery
// 2007, J. Am. Stat. Assoc. 102, 359–378).
const (
	ScoreLog  = "log score" // minus the logarithm of the chance of the coded count, nats a figure and round
	ScoreCRPS = "CRPS"      // acts a figure and round
)

// Verdicts against a rival.
const (
	Beats       = "the model beats it"
	DoesNotBeat = "the model does not beat it"
	CannotTell  = "cannot be told"
)

// AuditRival holds the model against a plain rival on the counts of one group, or of all. The model's chances are those of the negative
// binomial with the mean and variance of its draws; its CRPS is that of the draws. Rounds in which the rival has nothing to go by are
// left out on both sides.
type AuditRival struct {
	HeldBack string         `json:"held_back"` // as [Holding] says it; "": nothing, and then the model may have seen the rounds
	Rival    string         `json:"rival"`
	Score    string         `json:"score"`
	Group    string         `json:"group"` // "all" of all
	Unit     string         `json:"unit"`  // what one observation is: bout or round
	Units    int            `json:"units"` // of them
	Model    float64        `json:"model"` // mean score
	Other    float64        `json:"other"` // the rival's
	Less     infer.Interval `json:"less"`  // the rival's less the model's, paired: above 0 the model is better; 95 %, Student's t over units
	Verdict  string         `json:"verdict"`
}

// manyBouts is from how many bouts on they are the observations where rounds are held back. The rounds of a bout depend on each other, but
// intervals from two or three bouts would tell nothing (t(1) is 12.7); those over rounds are too narrow then, which a warning says.
const manyBouts = 5

// comparedScore is the scores of one comparison, by what is one observation.
type comparedScore struct {
	order []roundKey
	pairs map[roundKey]*infer.Pairs
}

type comparison struct{ rival, score, group string }

// against scores a trial against its rivals.
func (a *Audit) against(l *library, t *playedTrial) {
	all, unit := t.compare(l), t.unit()
	for _, rival := range []string{RivalRates, RivalLast} {
		for _, score := range []string{ScoreLog, ScoreCRPS} {
			for _, group := range append([]string{"all"}, AuditGroups...) {
				if c := all[comparison{rival, score, group}]; c != nil {
					r := c.verdict()
					r.HeldBack, r.Rival, r.Score, r.Group, r.Unit = t.hold.String(), rival, score, group, unit
					r.caution()
					a.Against = append(a.Against, r)
				}
			}
		}
	}
}

// compare scores every count of a trial, by what is one observation.
func (t *playedTrial) compare(l *library) map[comparison]*comparedScore {
	known, unit := l.elsewhere(), t.unit()
	all := map[comparison]*comparedScore{}
	for _, b := range t.bouts {
		for _, c := range b.cells {
			if c.Unit != AuditCount {
				continue
			}
			at := c.at()
			if unit == HoldBouts {
				at.round = 0
			}
			for rival, s := range known.knows(c, b.fold) {
				if s.seconds == 0 {
					continue
				}
				f := s.forecast(c.Seconds)
				for _, group := range []string{c.Group, "all"} {
					add(all, comparison{rival, ScoreLog, group}, at, -f.LogChance(c.Coded), c.LogScore)
					add(all, comparison{rival, ScoreCRPS, group}, at, f.CRPS(c.Coded), c.CRPS)
				}
			}
		}
	}
	return all
}

// unit is what one observation of a trial is.
func (t *playedTrial) unit() string {
	bouts := map[string]bool{}
	for _, b := range t.bouts {
		bouts[b.src.bout.ID] = true
	}
	if (t.hold.Each == HoldRounds || t.hold.Round > 0) && len(bouts) < manyBouts {
		return HoldRounds
	}
	return HoldBouts
}

func (r *AuditRival) caution() {
	switch {
	case r.Units < 2:
		r.Less.Warnings = append(r.Less.Warnings, "one "+r.Unit+": no interval")
	case r.Unit == HoldRounds:
		r.Less.Warnings = append(r.Less.Warnings, "the rounds of a bout depend on each other: too narrow")
	}
}

func add(all map[comparison]*comparedScore, of comparison, unit roundKey, rival, model float64) {
	c := all[of]
	if c == nil {
		c = &comparedScore{pairs: map[roundKey]*infer.Pairs{}}
		all[of] = c
	}
	if c.pairs[unit] == nil {
		c.order, c.pairs[unit] = append(c.order, unit), &infer.Pairs{}
	}
	c.pairs[unit].Add(rival, model)
}

func (c *comparedScore) verdict() AuditRival {
	r := AuditRival{Units: len(c.order), Verdict: CannotTell}
	var less infer.Group
	for _, unit := range c.order {
		p := c.pairs[unit]
		r.Other += p.X / p.N / float64(len(c.order))
		r.Model += p.Y / p.N / float64(len(c.order))
		less.Add((p.X - p.Y) / p.N)
	}
	if less.N < 2 {
		r.Less = infer.Interval{Level: .95, Low: less.Mean(), High: less.Mean(), Centre: less.Mean(), Kind: infer.Confidence, Method: "Student t", Count: less.N}
		return r
	}
	r.Less = less.Interval(.95)
	switch {
	case r.Less.Low > 0:
		r.Verdict = Beats
	case r.Less.High < 0:
		r.Verdict = DoesNotBeat
	}
	return r
}
