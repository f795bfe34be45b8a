package calibrate

import (
	"context"
	"errors"
	"fmt"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/tape"
)

// AuditOptions says how coded rounds are held against the model.
type AuditOptions struct {
	Draws    int    // predictive bouts for each coded one, each with figures and mechanics of its own; at least 99
	Seed     uint64 // the same seed gives the same audit, for any number of workers
	Workers  int    // 0: one a core
	HoldBack bool   // make the profiles for a bout from all other bouts
	All      bool   // also bouts that are not "as usual", and sparring

	Profiles map[string]*fighter.Profile // by id; nil: they are made from the tape
	Joint    *fighter.Joint              // of Profiles; may be nil
}

// leastDraws: the verdicts' threshold is auditLevel over five groups, .01; the lowest rank that two statistics can tie at is 2 of 200.
const leastDraws = 199

// Check lists what is wrong with the options.
func (o *AuditOptions) Check() error {
	var faults []error
	if o.Draws < leastDraws || o.Draws > 100_000 {
		faults = append(faults, fmt.Errorf("%d predictive rounds for each coded one; expected from %d, with fewer no misfit could be told, to 100000", o.Draws, leastDraws))
	}
	if o.Workers < 0 {
		faults = append(faults, fmt.Errorf("%d workers; expected 0 (one a core) or more", o.Workers))
	}
	if o.HoldBack && len(o.Profiles) > 0 {
		faults = append(faults, errors.New("holding a bout back makes the profiles from the other bouts; give no profile with it"))
	}
	return errors.Join(faults...)
}

// Audit says whether the model reproduces coded rounds.
type Audit struct {
	Draws    int            `json:"draws"`
	Bouts    int            `json:"bouts"`
	Rounds   int            `json:"rounds"`
	InSample bool           `json:"in_sample"` // the profiles rest, or may rest, on the rounds that they are held against
	Verdicts []AuditVerdict `json:"verdicts"`  // by AuditGroups
	Totals   []AuditTotal   `json:"totals"`    // by fighter and figure, over rounds
	Coverage []AuditCover   `json:"coverage"`  // by AuditGroups, then all
	Against  []AuditRival   `json:"against_rates"`
	Cells    []AuditCell    `json:"cells"` // by bout, round, corner and figure
	Notes    []string       `json:"notes"`
}

// AuditCell is one figure of one fighter in one coded round.
type AuditCell struct {
	Bout     string         `json:"bout"`
	Round    uint8          `json:"round"`
	Corner   string         `json:"corner"`
	Fighter  string         `json:"fighter"`
	Group    string         `json:"group"`
	Figure   string         `json:"figure"`
	Unit     string         `json:"unit"`
	Seconds  float64        `json:"seconds"` // coded, of a state: known
	Coded    float64        `json:"coded"`
	Forecast infer.Interval `json:"forecast"` // 90 %
	Half     infer.Interval `json:"half"`     // 50 %
	Fewer    float64        `json:"fewer"`    // the forecast's chance of fewer
	AtMost   float64        `json:"at_most"`  // and of at most as many: between them lies the PIT
	CRPS     float64        `json:"crps"`     // in the unit, 0 best
}

// cell is an AuditCell with its draws.
type cell struct {
	AuditCell
	figure *auditFigure
	corner tape.Corner
	draws  []float64
	known  []stay // of a state: when the coding knows it, so that the forecast is read at the same moments
}

// weight is how much the cell counts in totals of shares.
func (c *cell) weight() float64 {
	if c.Unit == AuditShare {
		return c.Seconds
	}
	return 1
}

// RunAudit holds the coded rounds against simulated ones. For each bout whose two fighters have profiles, Draws whole bouts are played,
// each with its own draw of both profiles and of the mechanics and with nobody stopped, and each coded round is held against the same
// round of them, in the stretches that were coded and seen, counted by the same rules, and only in what was looked for. Of a bout that
// was coded several times the first coding by name is taken. It returns an error when options are wrong, when profiles cannot be made,
// and when no bout is left.
func RunAudit(ctx context.Context, codings []*tape.Coding, o AuditOptions) (*Audit, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	return audit(ctx, codings, o)
}

func audit(ctx context.Context, codings []*tape.Coding, o AuditOptions) (*Audit, error) {
	a := &Audit{Draws: o.Draws, Against: []AuditRival{}}
	bouts, err := a.matchUp(codings, o)
	if err != nil {
		return nil, err
	}
	if err := playAudit(ctx, bouts, o); err != nil {
		return nil, err
	}
	var cells []*cell
	rounds := map[roundKey]bool{}
	for _, b := range bouts {
		cells = append(cells, b.cells...)
	}
	for _, c := range cells {
		rounds[roundKey{c.Bout, c.Round}] = true
	}
	a.Bouts, a.Rounds = len(bouts), len(rounds)
	for _, c := range cells {
		c.describe()
		a.Cells = append(a.Cells, c.AuditCell)
	}
	a.judge(cells)
	a.against(cells, o.HoldBack)
	return a, nil
}

func (c *cell) describe() {
	c.Forecast, c.Half = infer.Central(c.draws, .9), infer.Central(c.draws, .5)
	c.Fewer, c.AtMost = rank(c.draws, c.Coded)
	_, c.CRPS = infer.CRPSEnsemble(c.draws, c.Coded)
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
