package calibrate

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"whatbout/fighter"
	"whatbout/tape"
)

// AuditOptions says how coded rounds are held against the model.
type AuditOptions struct {
	Draws   int     // predictive bouts for each coded one, each with figures and mechanics of its own; at least 499
	Seed    uint64  // the same seed gives the same audit, for any number of workers
	Workers int     // 0: one a core
	Hold    Holding // what is held back from the profiles, where they are made from the tape
	All     bool    // also bouts that are not "as usual", and sparring

	Profiles map[string]*fighter.Profile // by id; nil: they are made from the tape
	Joint    *fighter.Joint              // of Profiles; may be nil

	// How profiles are made from the tape, as in [Options]. Without a day to weigh from it is that of the newest bout, held back or not, so that a
	// bout weighs the same whatever is held back.
	Population *fighter.PopulationFile
	Age        Ageing
	Coder      CoderDoubt

	Progress func(stage string, done, of int) // told what is done of "profiles" and then of "bouts", from one goroutine at a time; may be nil
}

// leastDraws: the verdicts' threshold is auditLevel over eight groups, .00625; the lowest rank that three statistics can tie at is 3 of 500.
const leastDraws = 499

// Check lists what is wrong with the options.
func (o *AuditOptions) Check() error {
	var faults []error
	if o.Draws < leastDraws || o.Draws > 100_000 {
		faults = append(faults, fmt.Errorf("%d predictive rounds for each coded one; expected from %d, with fewer no misfit could be told, to 100000", o.Draws, leastDraws))
	}
	if o.Workers < 0 {
		faults = append(faults, fmt.Errorf("%d workers; expected 0 (one a core) or more", o.Workers))
	}
	if o.Hold.Any() && len(o.Profiles) > 0 {
		faults = append(faults, errors.New("holding rounds back makes the profiles from the other rounds; give no profile with --hold-back"))
	}
	if len(o.Profiles) > 0 && (o.Age != Ageing{} || o.Coder != CoderDoubt{}) {
		faults = append(faults, errors.New("the weight of old tape and a coder's errors go with profiles that are made from the tape; those that are given stand as they are"))
	}
	return errors.Join(append(faults, o.Age.Check())...)
}

// Audit says whether the model reproduces coded rounds.
type Audit struct {
	Draws    int            `json:"draws"`
	Bouts    int            `json:"bouts"`
	Rounds   int            `json:"rounds"`
	HeldBack string         `json:"held_back"` // as [Holding] says it; "": nothing
	InSample bool           `json:"in_sample"` // the profiles rest, or may rest, on the rounds that they are held against
	Verdicts []AuditVerdict `json:"verdicts"`  // by AuditGroups
	Totals   []AuditTotal   `json:"totals"`    // by fighter and figure, over rounds
	Times    []AuditTimes   `json:"times"`     // by fighter
	Landing  *AuditLanding  `json:"landing,omitempty"`
	Coverage []AuditCover   `json:"coverage"` // by AuditGroups, then all
	Against  []AuditRival   `json:"against"`  // by what is held back, rival, score and group
	Cells    []AuditCell    `json:"cells"`    // by bout, round, corner and figure
	Notes    []string       `json:"notes"`
}

// RunAudit holds the coded rounds against simulated ones. For each bout whose two fighters have profiles, Draws whole bouts are played,
// each with its own draw of both profiles and of the mechanics and with nobody stopped, and each coded round is held against the same
// round of them, in the stretches that were coded and seen, counted by the same rules, with clocks rounded as the coder's are, and only
// in what was looked for. Of a bout that was coded several times the first coding by name is taken.
//
// Plain rivals are met in rounds that neither they nor the model have seen: where the profiles are made from tape, and nothing or each
// round or bout in turn is held back, both of each round and of each bout.
//
// It returns an error when options are wrong, when profiles cannot be made, and when no bout is left.
func RunAudit(ctx context.Context, codings []*tape.Coding, o AuditOptions) (*Audit, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	return audit(ctx, codings, o)
}

func audit(ctx context.Context, codings []*tape.Coding, o AuditOptions) (*Audit, error) {
	a := &Audit{Draws: o.Draws, HeldBack: o.Hold.String(), Times: []AuditTimes{}, Against: []AuditRival{}}
	l, err := a.gather(codings, &o)
	if err != nil {
		return nil, err
	}
	trials, err := l.trials(ctx, o)
	if err != nil {
		return nil, err
	}
	if err := trials[0].check(a, l); err != nil {
		return nil, err
	}
	if err := play(ctx, trials, o); err != nil {
		return nil, err
	}
	for _, t := range trials {
		for _, c := range cellsOf(t.bouts) {
			c.describe()
		}
	}
	a.sum(trials[0])
	for _, t := range trials {
		if t.scored {
			a.against(l, t)
		}
	}
	return a, nil
}

// sum says what the first trial, the one with verdicts, has shown.
func (a *Audit) sum(t *playedTrial) {
	rounds, bouts := map[roundKey]bool{}, map[string]bool{}
	for _, c := range cellsOf(t.bouts) {
		rounds[c.at()], bouts[c.Bout] = true, true
		a.Cells = append(a.Cells, c.AuditCell)
	}
	slices.SortStableFunc(a.Cells, func(x, y AuditCell) int { return cmp.Or(cmp.Compare(x.Bout, y.Bout), cmp.Compare(x.Round, y.Round)) })
	a.Bouts, a.Rounds = len(bouts), len(rounds)
	a.judge(t.bouts)
}
