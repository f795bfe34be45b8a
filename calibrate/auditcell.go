package calibrate

import (
	"whatbout/internal/infer"
	"whatbout/tape"
)

// AuditCell is one figure of one fighter in one coded round.
type AuditCell struct {
	Bout     string         `json:"bout"`
	Round    uint8          `json:"round"`
	Corner   string         `json:"corner"`
	Fighter  string         `json:"fighter"`
	Group    string         `json:"group"`
	Figure   string         `json:"figure"`
	Unit     string         `json:"unit"`
	Seconds  float64        `json:"seconds"` // coded; of states and their changes: known
	Coded    float64        `json:"coded"`
	Forecast infer.Interval `json:"forecast"`  // 90 %
	Half     infer.Interval `json:"half"`      // 50 %
	Fewer    float64        `json:"fewer"`     // the forecast's chance of fewer
	AtMost   float64        `json:"at_most"`   // and of at most as many: between them lies the PIT
	CRPS     float64        `json:"crps"`      // in the unit, 0 best
	LogScore float64        `json:"log_score"` // of counts: minus the logarithm of the chance of the coded one, in nats, less is better; else 0
}

// cell is an AuditCell with its draws.
type cell struct {
	AuditCell
	figure *auditFigure
	corner tape.Corner
	draws  []float64
	known  []stay // of states and their changes: when the coding knows the state, so that the forecast is read at the same moments
}

// weight is how much the cell counts in totals of shares.
func (c *cell) weight() float64 {
	if c.Unit == AuditShare {
		return c.Seconds
	}
	return 1
}

// set gives a draw, or the coded value as the last of them.
func (c *cell) set(s int) float64 {
	if s < len(c.draws) {
		return c.draws[s]
	}
	return c.Coded
}

func (c *cell) at() roundKey { return roundKey{c.Bout, c.Round} }

// describe says how the coded value lies among the draws.
func (c *cell) describe() {
	c.Forecast, c.Half = infer.Central(c.draws, .9), infer.Central(c.draws, .5)
	c.Fewer, c.AtMost = rank(c.draws, c.Coded)
	_, c.CRPS = infer.CRPSEnsemble(c.draws, c.Coded)
	if c.Unit == AuditCount {
		c.LogScore = -infer.CountsLike(c.draws).LogChance(c.Coded)
	}
}

// rank gives the chance of fewer and of at most as many, of draws that the coded value is one more of: its rank among them is then
// uniform, whatever their number.
func rank(draws []float64, y float64) (fewer, atMost float64) {
	n := float64(len(draws) + 1)
	atMost = 1
	for _, x := range draws {
		if x < y {
			fewer++
		}
		if x <= y {
			atMost++
		}
	}
	return fewer / n, atMost / n
}

func cellsOf(bouts []*auditBout) (out []*cell) {
	for _, b := range bouts {
		out = append(out, b.cells...)
	}
	return out
}
