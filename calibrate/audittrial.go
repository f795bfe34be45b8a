package calibrate

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"whatbout/sim/batch"
)

// playedTrial is coded bouts with the profiles that forecast them.
type playedTrial struct {
	hold    Holding
	folds   []fold
	bouts   []*auditBout
	missing map[string]string // by the id of a bout that is left out: a fighter without a profile
	scored  bool              // against rivals; of the first trial alone if not
}

// trials plans what is played: first what verdicts rest on.
func (l *library) trials(ctx context.Context, o AuditOptions) ([]*playedTrial, error) {
	out := []*playedTrial{{hold: o.Hold, missing: map[string]string{}, scored: o.Hold.Any() || l.given != nil}}
	for _, each := range []string{HoldRounds, HoldBouts} {
		if h := (Holding{Each: each}); l.given == nil && (o.Hold.Each != "" || !o.Hold.Any()) && o.Hold != h {
			out = append(out, &playedTrial{hold: h, missing: map[string]string{}, scored: true})
		}
	}
	var folds []*fold
	for _, t := range out {
		var err error
		if t.folds, err = t.hold.folds(l.rounds); err != nil {
			return nil, err
		}
		for i := range t.folds {
			folds = append(folds, &t.folds[i])
		}
	}
	sets, err := l.profiles(ctx, folds, o)
	if err != nil {
		return nil, err
	}
	for _, t := range out {
		for i := range t.folds {
			t.add(l, &t.folds[i], sets[&t.folds[i]])
		}
	}
	return out, nil
}

// profiles makes the profiles of all folds.
func (l *library) profiles(ctx context.Context, folds []*fold, o AuditOptions) (map[*fold]*profileSet, error) {
	made := make([]*profileSet, len(folds))
	tell := func(done int) {
		if o.Progress != nil && l.given == nil {
			o.Progress("profiles", done, len(folds))
		}
	}
	err := batch.Run(ctx, len(folds), o.Workers, func(_, i int) (err error) {
		if made[i] = l.given; l.given == nil {
			made[i], err = profilesFrom(folds[i].training(l.codings), o)
		}
		return err
	}, tell)
	out := map[*fold]*profileSet{}
	for i, f := range folds {
		out[f] = made[i]
	}
	return out, err
}

// add gives the audited rounds of a fold the two who fought them; without profiles of both a bout is left out.
func (t *playedTrial) add(l *library, f *fold, set *profileSet) {
	for _, s := range l.sources {
		b := newAuditBout(s, f)
		if len(b.cells) == 0 {
			continue
		}
		var missing string
		if b.pair, missing = set.pair(s); b.pair == nil {
			t.missing[s.bout.ID] = missing
			continue
		}
		t.bouts = append(t.bouts, b)
	}
}

// check notes who has no profile, and what verdicts rest on; it returns an error if nothing is left to play.
func (t *playedTrial) check(a *Audit, l *library) error {
	met := map[string]bool{}
	for _, b := range t.bouts {
		met[b.pair.Red.ID], met[b.pair.Blue.ID] = true, true
	}
	for _, bout := range slices.Sorted(maps.Keys(t.missing)) {
		why := "there is no profile of " + t.missing[bout]
		if t.hold.Any() {
			why = "without what is held back there is no tape of " + t.missing[bout]
		}
		a.Notes = append(a.Notes, fmt.Sprintf("%s: left out, since %s", bout, why))
	}
	a.noteSample(l, t, met)
	if len(t.bouts) == 0 {
		return errors.Join(errors.New("no bout can be audited; expected profiles of both fighters of a bout, or bodies and other tape of both"), noted(a.Notes))
	}
	return nil
}

// noteSample says what verdicts rest on.
func (a *Audit) noteSample(l *library, t *playedTrial, met map[string]bool) {
	switch {
	case l.given != nil:
		for _, id := range slices.Sorted(maps.Keys(l.given.profiles)) {
			if !met[id] {
				a.Notes = append(a.Notes, "the profile of "+id+" is in none of the bouts audited")
			}
		}
		if a.InSample = l.given.restOnTape(); a.InSample {
			a.Notes = append(a.Notes, "in-sample: the profiles rest on tape, maybe on these very rounds, and then the verdicts call too little wrong (--hold-back bout, without profiles, is the honest test).")
		}
	case !t.hold.Any():
		a.InSample = true
		a.Notes = append(a.Notes, "in-sample: the profiles were made from these very rounds, and then the verdicts call too little wrong (--hold-back bout is the honest test).")
	}
	if n := t.units(); n > mostFolds {
		a.Notes = append(a.Notes, fmt.Sprintf("%d of them are held back in turn, several at once, in %d turns", n, mostFolds))
	}
}

// units is how many rounds or bouts are held back in turn.
func (t *playedTrial) units() int {
	seen := map[roundKey]bool{}
	for i := range t.folds {
		for k := range t.folds[i].audited {
			if t.hold.Each == HoldBouts {
				k.round = 0
			}
			seen[k] = t.hold.Each != ""
		}
	}
	return len(seen)
}
