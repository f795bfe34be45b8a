package calibrate

import (
	"math"

	"whatbout/internal/infer"
	"whatbout/tape"
)

// AuditTimes is whether one fighter's acts come when the model has them come, whatever their number.
//
// Gaps, by time rescaling (Brown, Barbieri, Ventura, Kass & Frank 2002, Neural Comput. 14, 325–346): a gap from one initiated act to
// the next is measured in expected acts, the profile's rate of all moves at the fighter's own range, summed up over the free time
// between, times one factor a bout that makes the numbers right. If acts come by those rates 1-exp(-gap) is uniform. Since rates are
// fitted, clocks are rounded, and initiated acts are told from answers by clocks alone, the distance (Kolmogorov's, times the root of
// the gaps) is not held to its textbook law but to that of the simulated tapes, read in the same way (a parametric bootstrap), and
// taken from their mean.
//
// Settings: what share of the acts begun standing is begun from which range, in answer, and in continuation. Acts whose clocks are late
// against ranges and the other's acts have the gaps that they had, but not their settings.
type AuditTimes struct {
	Fighter   string         `json:"fighter"`
	Gaps      int            `json:"gaps"`
	KS        float64        `json:"ks"`         // Kolmogorov's distance from the uniform
	Distance  float64        `json:"distance"`   // from the mean of the simulated tapes
	Limit     float64        `json:"limit"`      // of the simulated tapes 95 % have less
	P         float64        `json:"p_gaps"`     // how many of them have as much
	PSettings float64        `json:"p_settings"` // how many of them have settings as far off
	Curve     []AuditPoint   `json:"curve"`      // share of rescaled gaps up to U
	Settings  []AuditSetting `json:"settings"`
}

// AuditSetting is what set off a share of the acts begun standing, with the band of 90 % of the simulated tapes.
type AuditSetting struct {
	Name  string  `json:"name"`
	Acts  int     `json:"acts"`
	Share float64 `json:"share"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// timingBins is into how many bins of equal width rescaled gaps are counted.
const timingBins = 100

// tellingGaps is from how many gaps on a fighter's times are telling (see [AuditVerdict]).
const tellingGaps = 50

// timing judges the times of all fighters: the group is as far off as the one who is farthest.
func (a *Audit) timing(bouts []*auditBout) {
	order, all, coded := timesByFighter(bouts)
	if len(order) == 0 {
		return
	}
	v := AuditVerdict{Group: AuditTiming}
	var worst []far
	sets := len(all[order[0]])
	gaps, settings := make([]float64, sets), make([]float64, sets)
	for _, id := range order {
		t := AuditTimes{Fighter: id, KS: infer.KolmogorovSmirnov(coded[id])}
		for s, d := range t.gapsOf(all[id]) {
			gaps[s] = max(gaps[s], d)
		}
		for s, d := range t.settingsOf(all[id]) {
			settings[s] = max(settings[s], d)
		}
		if v.Looked++; t.Gaps >= tellingGaps {
			v.Telling++
		}
		worst = append(worst, t.worst()...)
		a.Times = append(a.Times, t)
	}
	v.Worst = farthest(worst)
	v.rank(statistic{"gaps", gaps}, statistic{"settings", settings})
	a.Verdicts = append(a.Verdicts, v)
}

// timesByFighter adds bouts up.
func timesByFighter(bouts []*auditBout) (order []string, all map[string][]timed, coded map[string][]float64) {
	all, coded = map[string][]timed{}, map[string][]float64{}
	for _, b := range bouts {
		for c, t := range b.times {
			if t == nil {
				continue
			}
			id := b.src.id(tape.Corner(c))
			if all[id] == nil {
				order, all[id] = append(order, id), make([]timed, len(t.sets))
			}
			coded[id] = append(coded[id], t.coded...)
			for s := range t.sets {
				all[id][s].add(&t.sets[s])
			}
		}
	}
	return order, all, coded
}

// gapsOf fills in the gaps, and gives how far off every set is.
func (t *AuditTimes) gapsOf(sets []timed) []float64 {
	last := len(sets) - 1
	curves, counts, mean := curvesOf(sets)
	far := make([]float64, len(sets))
	for s := range sets {
		for i := range mean {
			far[s] = max(far[s], math.Sqrt(counts[s])*math.Abs(curves[s][i]-mean[i]))
		}
	}
	root := math.Sqrt(max(counts[last], 1))
	t.Gaps, t.Distance, t.Limit, t.P = int(counts[last]), far[last]/root, infer.Central(far[:last], .9).High/root, tailRanks(far)[last]
	for tenth := 1; tenth < 10; tenth++ {
		i := tenth*timingBins/10 - 1
		band := bandOf(last, func(s int) float64 { return curves[s][i] })
		t.Curve = append(t.Curve, AuditPoint{U: float64(tenth) / 10, Share: curves[last][i], Low: band.Low, High: band.High})
	}
	return far
}

// curvesOf gives every set's share of gaps up to the end of each bin and number of gaps, and the mean curve.
func curvesOf(sets []timed) (curves [][timingBins]float64, counts []float64, mean [timingBins]float64) {
	curves, counts = make([][timingBins]float64, len(sets)), make([]float64, len(sets))
	for s := range sets {
		for i, n := range sets[s].gaps {
			counts[s] += float64(n)
			curves[s][i] = counts[s]
		}
		for i := range curves[s] {
			curves[s][i] /= max(counts[s], 1)
			mean[i] += curves[s][i] / float64(len(sets))
		}
	}
	return curves, counts, mean
}

func bandOf(draws int, value func(set int) float64) infer.Interval {
	at := make([]float64, draws)
	for s := range at {
		at[s] = value(s)
	}
	return infer.Central(at, .9)
}

// settingsOf fills in the settings, and gives how far off every set is: a squared distance, as of totals.
func (t *AuditTimes) settingsOf(sets []timed) []float64 {
	last := len(sets) - 1
	acts := make([]float64, len(sets))
	for s := range sets {
		for _, n := range sets[s].settings {
			acts[s] += float64(n)
		}
	}
	var rooted [][]float64 // deviations times the root of the acts: else sets with few acts would be the farthest
	for i := range numSettings {
		share, mean := make([]float64, len(sets)), 0.0
		for s := range sets {
			share[s] = float64(sets[s].settings[i]) / max(acts[s], 1)
			mean += share[s] / float64(len(sets))
		}
		if mean == 0 {
			continue
		}
		band := infer.Central(share[:last], .9)
		t.Settings = append(t.Settings, AuditSetting{settingName(i), int(sets[last].settings[i]), share[last], band.Low, band.High})
		for s := range share {
			share[s] = math.Sqrt(acts[s]) * (share[s] - mean)
		}
		rooted = append(rooted, share)
	}
	far := distances(rooted, len(sets))
	t.PSettings = tailRanks(far)[last]
	return far
}

// worst says in words where the coded acts lie outside the bands, farthest first against a band's width.
func (t *AuditTimes) worst() (out []far) {
	for _, s := range t.Settings {
		width := s.High - s.Low
		switch {
		case s.Share < s.Low:
			out = append(out, far{t.Fighter + " " + s.Name + " below", (s.Low - s.Share) / width})
		case s.Share > s.High:
			out = append(out, far{t.Fighter + " " + s.Name + " above", (s.Share - s.High) / width})
		}
	}
	if t.Distance > t.Limit {
		out = append(out, far{t.Fighter + " " + t.slant(), (t.Distance - t.Limit) / t.Limit})
	}
	return out
}

// slant says how coded gaps differ.
func (t *AuditTimes) slant() string {
	above, below := 0.0, 0.0
	for _, p := range t.Curve[:5] {
		above, below = max(above, p.Share-p.High), max(below, p.Low-p.Share)
	}
	switch {
	case above > below:
		return "short gaps above"
	case below > above:
		return "short gaps below"
	}
	return "long gaps off"
}
