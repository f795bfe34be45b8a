package calibrate

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/tape"
)

// Ageing says how much older bouts weigh: half for every HalfLife days before AsOf, in counts and in exposure, so that old tape says the same
// less surely. The zero value weighs all alike.
type Ageing struct {
	HalfLife float64 // days, above 0; 0: age does not matter
	AsOf     string  // 2006-01-02; "": the day of the newest bout that counts
}

// Check reports what is wrong with an ageing; nil means nothing.
func (a Ageing) Check() error {
	if a.HalfLife == 0 && a.AsOf == "" {
		return nil
	}
	if !(a.HalfLife > 0) || math.IsInf(a.HalfLife, 1) {
		return fmt.Errorf("a half-life of %g days; expected a number of days above 0, such as 365", a.HalfLife)
	}
	if _, err := time.Parse(time.DateOnly, a.AsOf); a.AsOf != "" && err != nil {
		return fmt.Errorf("%.40q is no date to weigh from; expected one such as 2026-03-14", a.AsOf)
	}
	return nil
}

// from gives the day that ages are counted from: AsOf, or that of the newest bout.
func (a Ageing) from(sources []*source) string {
	if a.HalfLife == 0 || a.AsOf != "" {
		return a.AsOf
	}
	newest := ""
	for _, s := range sources {
		newest = max(newest, s.bout.Date)
	}
	return newest
}

// notes says what age does, if it matters.
func (a Ageing) notes(sources []*source) []string {
	if a.HalfLife == 0 || len(sources) == 0 {
		return nil
	}
	least := slices.MinFunc(sources, func(x, y *source) int { return cmp.Compare(x.age, y.age) })
	return []string{fmt.Sprintf("bouts weigh by age, half for every %g days before %s: the oldest, %s of %s, counts %.2g",
		a.HalfLife, a.from(sources), least.bout.ID, least.bout.Date, least.age)}
}

// weigh sets the age of every source and takes it into the weight. All bouts without a date, and those after AsOf, are listed in the error.
func (a Ageing) weigh(sources []*source) error {
	if err := a.Check(); err != nil || a.HalfLife == 0 {
		return err
	}
	var faults []error
	fault := func(b *tape.Bout, what, want string) {
		if b.Files.Bout != "" {
			faults = append(faults, input.Fault{File: b.Files.Bout, What: what, Want: want})
		} else {
			faults = append(faults, fmt.Errorf("%s; expected %s", what, want))
		}
	}
	days := make([]time.Time, len(sources))
	newest, _ := time.Parse(time.DateOnly, a.AsOf)
	told := map[*tape.Bout]bool{}
	for i, s := range sources {
		day, err := time.Parse(time.DateOnly, s.bout.Date)
		days[i] = day
		switch {
		case told[s.bout]:
		case err != nil:
			fault(s.bout, fmt.Sprintf("bout %q has no date, and weighing by age was asked for", s.bout.ID), "a line such as date: 2026-03-14")
		case a.AsOf != "" && day.After(newest):
			fault(s.bout, fmt.Sprintf("bout %q is of %s, after the day %s to weigh from", s.bout.ID, s.bout.Date, a.AsOf), "bouts up to that day, or a later day")
		case a.AsOf == "" && day.After(newest):
			newest = day
		}
		told[s.bout] = true
	}
	if err := errors.Join(faults...); err != nil {
		return err
	}
	for i, s := range sources {
		s.age = math.Exp2(-newest.Sub(days[i]).Hours() / 24 / a.HalfLife)
		s.weight *= s.age
	}
	return nil
}

// unaged gives rounds as they were seen, without the weight of their age.
func unaged(rounds []*roundCount) []*roundCount {
	out := make([]*roundCount, len(rounds))
	for i, r := range rounds {
		if r.age == 1 {
			out[i] = r
			continue
		}
		plain := *r
		plain.age, plain.acts, plain.choices = 1, shrunk(r.acts, r.age), shrunk(r.choices, r.age)
		for z := range plain.seconds {
			plain.seconds[z] /= r.age
			plain.fenced[z] /= r.age
		}
		out[i] = &plain
	}
	return out
}

func shrunk(counts map[fighter.Figure]float64, by float64) map[fighter.Figure]float64 {
	out := make(map[fighter.Figure]float64, len(counts))
	for f, n := range counts {
		out[f] = n / by
	}
	return out
}
