package calibrate

import "slices"

// Verdicts of a group.
const (
	Fits      = "fits"
	DoesNot   = "does not fit"
	TooLittle = "too little tape to tell"
)

// auditLevel is the chance that an audit calls any of its groups wrong when the model is right: .05, shared among the groups.
const auditLevel = .05

// AuditVerdict is the verdict on a group of figures. Its p value takes no approximation, whatever figures and rounds have in common: if the
// model is right, the coded tape is one more draw among the simulated ones, so that the rank of any statistic among theirs is uniform (Besag &
// Clifford 1989, Biometrika 76, 633–642). Where a group has several statistics each is ranked, and then the smallest of the ranks:
//
//   - of counted and timed figures: by how much totals over rounds, by fighter and figure, lie off (a squared distance by their own
//     covariance), how far the PIT (not randomised: Czado, Gneiting & Held 2009) leaves the diagonal, and by how much the totals of
//     the bout lie off that is farthest off, since a coder errs bout by bout;
//   - of times: see [AuditTimes]; of landing: see [AuditLanding].
//
// It is exact for profiles that know nothing of the rounds audited; where they were made from these rounds the model is called wrong
// less often than that, and with rounds held back the rank is approximate, since the forecasts then rest on each other's rounds.
//
//   - does not fit: P is at most .05 over the number of groups audited;
//   - too little tape to tell: otherwise, if less than half of what is looked at is telling;
//   - fits: otherwise.
//
// A total, or a bin of chances, is telling if half of what the model expects would lie outside its 90 % interval; the times of a fighter
// are from 50 gaps on, of which Kolmogorov's distance is told from none at 1.36/√50 = .19.
type AuditVerdict struct {
	Group   string       `json:"group"`
	Verdict string       `json:"verdict"`
	P       float64      `json:"p"`
	Level   float64      `json:"threshold"`
	Parts   []AuditPart  `json:"parts"` // the statistics
	Looked  int          `json:"looked_at"`
	Telling int          `json:"telling"`  // of them
	Worst   []string     `json:"worst"`    // what is farthest outside its interval, at most three, such as "heron low kicks above"
	OddBout string       `json:"odd_bout"` // of counted and timed figures the bout farthest off, if it alone would be called wrong
	PIT     []AuditPoint `json:"pit"`      // of counted and timed figures
}

// AuditPart is one statistic of a group.
type AuditPart struct {
	Name string  `json:"name"`
	P    float64 `json:"p"`
}

// statistic is how far off every set is, the coded one last.
type statistic struct {
	name string
	far  []float64
}

// judge fills verdicts, totals, coverage, times and landing.
func (a *Audit) judge(bouts []*auditBout) {
	byGroup, all := map[string][]*cell{}, cellsOf(bouts)
	for _, c := range all {
		byGroup[c.Group] = append(byGroup[c.Group], c)
	}
	for _, g := range AuditGroups {
		switch cells := byGroup[g]; {
		case g == AuditTiming:
			a.timing(bouts)
		case g == AuditChances:
			a.landing(bouts)
		case len(cells) > 0:
			a.figures(g, cells)
			a.cover(g, cells)
		}
	}
	a.cover("all", all)
	for i := range a.Verdicts {
		a.Verdicts[i].conclude(auditLevel / float64(len(a.Verdicts)))
	}
}

// figures judges a group of counted or timed figures.
func (a *Audit) figures(group string, cells []*cell) {
	totals := totalsOf(cells)
	v := AuditVerdict{Group: group, Looked: len(totals)}
	for i := range totals {
		if totals[i].Telling {
			v.Telling++
		}
	}
	a.Totals = append(a.Totals, totals...)
	points, shapes := pits(cells)
	v.PIT = points
	statistics := []statistic{{"totals", offness(totals, len(cells[0].draws)+1)}, {"PIT", shapes}}
	one, isOne := farthestBout(cells)
	if isOne {
		statistics = append(statistics, statistic{"one bout", one.far})
	}
	v.rank(statistics...)
	if v.Worst = worst(totals); isOne {
		v.OddBout = one.name
		if v.Parts[2].P < v.Parts[0].P {
			v.Worst = one.inBout()
		}
	}
	a.Verdicts = append(a.Verdicts, v)
}

// rank ranks the coded tape among the simulated ones.
func (v *AuditVerdict) rank(statistics ...statistic) {
	last := len(statistics[0].far) - 1
	smallest := slices.Repeat([]float64{1}, last+1)
	for _, s := range statistics {
		ranks := tailRanks(s.far)
		v.Parts = append(v.Parts, AuditPart{s.name, ranks[last]})
		for i, p := range ranks {
			smallest[i] = min(smallest[i], p)
		}
	}
	for i := range smallest {
		smallest[i] = -smallest[i]
	}
	v.P = tailRanks(smallest)[last]
}

func (v *AuditVerdict) conclude(level float64) {
	v.Level = level
	if v.OddBout != "" && v.Parts[2].P > level {
		v.OddBout = ""
	}
	switch {
	case v.P <= level:
		v.Verdict = DoesNot
	case 2*v.Telling < v.Looked || v.Looked == 0:
		v.Verdict = TooLittle
	default:
		v.Verdict = Fits
	}
	if v.Worst == nil {
		v.Worst = []string{}
	}
	if v.PIT == nil {
		v.PIT = []AuditPoint{}
	}
}
