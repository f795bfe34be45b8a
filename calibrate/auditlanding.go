package calibrate

import (
	"fmt"

	"whatbout/internal/infer"
	"whatbout/tape"
)

// AuditLanding is whether strikes land as often as the model says. The chance of a strike is what its kind (technique and target), by this
// fighter against this opponent, lands clean in the simulated bouts. Of the coded strikes there is a Brier score, taken apart by bins of
// about equally many (Murphy 1973, J. Appl. Meteorol. 12, 595–600), and in each bin the share that landed, with the band in which 90 % of
// the simulated tapes have theirs. How far stated chances and shares lie apart (reliability) is ranked among that of the
// simulated tapes, so that neither few strikes nor doubt about skills count against the model.
type AuditLanding struct {
	Strikes     int            `json:"strikes"`
	Brier       float64        `json:"brier"`       // mean squared error of the stated chances
	Reliability float64        `json:"reliability"` // by bins; 0: stated chances come true as often as stated
	Resolution  float64        `json:"resolution"`  // by bins; large: stated chances differ where strikes do
	Uncertainty float64        `json:"uncertainty"` // share landed times share not landed
	Within      float64        `json:"within"`      // what binning leaves out: Brier is reliability - resolution + uncertainty + within
	Skill       float64        `json:"skill"`       // 1 - Brier/uncertainty: above 0 better than one share for all strikes
	Usual       infer.Interval `json:"usual"`       // 90 % of the simulated tapes' reliability
	P           float64        `json:"p"`           // how many of them have as much
	Curve       []AuditBin     `json:"curve"`
}

// AuditBin is the strikes of about one stated chance.
type AuditBin struct {
	Strikes int     `json:"strikes"`
	Chance  float64 `json:"chance"` // mean of the stated ones
	Landed  float64 `json:"landed"` // share
	Low     float64 `json:"low"`    // of the share, in 90 % of the simulated tapes
	High    float64 `json:"high"`
	Telling bool    `json:"telling"`
}

const (
	landingBins    = 8
	fewestInBin    = 10 // strikes a bin, on the mean, that bins are made for
	fewestOfStrike = 2 * fewestInBin
)

// landing judges the chances of all bouts.
func (a *Audit) landing(bouts []*auditBout) {
	var all []*chances
	var forecasts [][2][tape.NumMoves]float64
	for _, b := range bouts {
		if b.chances != nil {
			all, forecasts = append(all, b.chances), append(forecasts, b.chances.forecast())
		}
	}
	if len(all) == 0 {
		return
	}
	last := len(all[0].sets) - 1
	chance, landed := statedIn(all, forecasts, last)
	if len(chance) < fewestOfStrike {
		a.Notes = append(a.Notes, fmt.Sprintf("landing: %d strikes with a result are no curve; from %d on there is one", len(chance), fewestOfStrike))
		return
	}
	limits := infer.BinLimits(chance, min(landingBins, len(chance)/fewestInBin))
	reliability, shares := make([]float64, last+1), make([][]float64, len(limits))
	for s := range reliability {
		bins := binned(all, forecasts, s, limits)
		reliability[s] = infer.BrierOf(bins).Reliability
		for i, b := range bins {
			if s < last && b.Share > 0 {
				shares[i] = append(shares[i], b.Frequency)
			}
		}
	}
	a.Landing = landingOf(chance, landed, infer.BinsWithin(limits, chance, landed), shares)
	a.Landing.Usual = infer.Central(reliability[:last], .9)
	v := a.Landing.verdict()
	v.rank(statistic{"reliability", reliability})
	a.Landing.P = v.P
	a.Verdicts = append(a.Verdicts, v)
}

// verdict says what is telling and where shares lie outside their band, farthest first against the band's width.
func (l *AuditLanding) verdict() AuditVerdict {
	v := AuditVerdict{Group: AuditChances, Looked: len(l.Curve)}
	var worst []far
	for _, b := range l.Curve {
		v.Telling += oneIf(b.Telling)
		if side := b.side(); side != "" {
			off := max(b.Low-b.Landed, b.Landed-b.High) / (b.High - b.Low)
			worst = append(worst, far{fmt.Sprintf("strikes said to land %.0f %% of the time%s", 100*b.Chance, side), off})
		}
	}
	v.Worst = farthest(worst)
	return v
}

func oneIf(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

func statedIn(all []*chances, forecasts [][2][tape.NumMoves]float64, set int) (chance []float64, landed []bool) {
	for i, c := range all {
		chance, landed = c.stated(&forecasts[i], set, chance, landed)
	}
	return chance, landed
}

// binned gives a set's bins; a set without strikes has empty ones.
func binned(all []*chances, forecasts [][2][tape.NumMoves]float64, set int, limits []float64) []infer.Bin {
	chance, landed := statedIn(all, forecasts, set)
	return infer.BinsWithin(limits, chance, landed)
}

func landingOf(chance []float64, landed []bool, bins []infer.Bin, shares [][]float64) *AuditLanding {
	m := infer.BrierOf(bins)
	l := &AuditLanding{Strikes: len(chance), Brier: infer.MeanSquare(chance, landed), Reliability: m.Reliability, Resolution: m.Resolution,
		Uncertainty: m.Uncertainty}
	l.Within = l.Brier - m.Brier
	if m.Uncertainty > 0 {
		l.Skill = 1 - l.Brier/m.Uncertainty
	}
	for i, b := range bins {
		bin := AuditBin{Strikes: int(b.Share*float64(len(chance)) + .5), Chance: b.Forecast, Landed: b.Frequency, High: 1}
		if len(shares[i]) > 1 {
			band := infer.Central(shares[i], .9)
			bin.Low, bin.High = band.Low, band.High
			bin.Telling = band.Centre/2 < band.Low
		}
		l.Curve = append(l.Curve, bin)
	}
	return l
}

func (b *AuditBin) side() string {
	switch {
	case b.Landed < b.Low:
		return " below"
	case b.Landed > b.High:
		return " above"
	}
	return ""
}
