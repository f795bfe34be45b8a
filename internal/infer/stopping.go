package infer

import (
	"fmt"
	"math"
	"slices"
)

// Within is the rule "add draws until the mean is known within a target": it looks at fixed numbers of draws and stops at the first look
// where the half-width of [Components.Simulation] is at most the target.
//
// Stopping when the spread happens to look small makes intervals too narrow: with looks all the time from the third value on and a normal
// quantile, 95 % become 89 % (Robbins 1959; Starr 1966, Ann. Math. Stat. 37, 1173–1185). Three things give the level back: Student's t; looks
// that are few, the first at [FirstLook] draws or more and each at least [MinGrowth] times the one before; and the interval told is ± the
// target, not ± the half-width that luck made smaller, so that draws played beyond need pay for the luck. For normal draw means the coverage
// is then at least the level, whatever their spread. (In stopping_test.go, exactly: a level of 95 % is then never below 96 %; with looks all the
// time from 101 draws on it would be 94.9 %, from 3 on 92.8 %.) The price is up to growth times the draws that were needed.
//
// The rule watches one mean. Other means of the same run keep their own half-widths; the run was not stopped by them.
type Within struct {
	Target float64 // half-width wanted, in the unit of the values
	Level  float64
	Looks  []int // draws, increasing
}

// Limits of a schedule that [Within] promises to cover for.
const (
	FirstLook = 100
	MinGrowth = 1.25
)

// NewWithin plans looks at first draws, growth times as many, and so on; the last is at most draws, whatever the step to it. The first look
// is at least [FirstLook] and growth at least [MinGrowth] (2 is a good one). If most is first, the rule is a plain fixed number. What is
// outside its range is returned as an error.
func NewWithin(target, level float64, first, most int, growth float64) (Within, error) {
	switch {
	case !(target > 0):
		return Within{}, fmt.Errorf("a target of %v; expected above 0", target)
	case !(level > 0 && level < 1):
		return Within{}, fmt.Errorf("a level of %v; expected between 0 and 1", level)
	case first < FirstLook:
		return Within{}, fmt.Errorf("a first look at %d draws; expected at least %d", first, FirstLook)
	case most < first:
		return Within{}, fmt.Errorf("at most %d draws, fewer than the first look's %d", most, first)
	case !(growth >= MinGrowth):
		return Within{}, fmt.Errorf("looks that grow by %v; expected at least %v", growth, MinGrowth)
	}
	w := Within{Target: target, Level: level, Looks: []int{first}}
	for next := after(first, growth); float64(next)*growth <= float64(most); next = after(next, growth) {
		w.Looks = append(w.Looks, next)
	}
	if most > first {
		w.Looks = append(w.Looks, most)
	}
	return w, nil
}

// after is the next look of a schedule, at least growth times the last.
func after(look int, growth float64) int { return int(math.Ceil(float64(look) * growth)) }

// Next is the first look after k draws; it reports false after the last.
func (w Within) Next(k int) (look int, more bool) {
	for _, look := range w.Looks {
		if look > k {
			return look, true
		}
	}
	return 0, false
}

// Decision is what a look found.
type Decision struct {
	Stop    bool
	Reached bool     // the target; if Stop without it, the draws ran out
	Report  Interval // to tell if Stop: ± the target if reached, else what there is
	Needed  int      // draws that the target would take, going by the spread seen so far
}

// Look decides at a look; c must come from a number of draws that is one, or it panics.
func (w Within) Look(c Components) Decision {
	if !slices.Contains(w.Looks, c.K) {
		panic(fmt.Sprintf("infer: no look was planned at %d draws", c.K))
	}
	i := c.Simulation(w.Level)
	half := i.Half()
	d := Decision{Report: i, Needed: needed(c.K, half/w.Target), Reached: half <= w.Target}
	_, more := w.Next(c.K)
	d.Stop = d.Reached || !more
	switch {
	case d.Reached:
		d.Report.Low, d.Report.High = c.Mean-w.Target, c.Mean+w.Target
		d.Report.Method = "fixed width, stopped by Student t of draw means"
	case d.Stop:
		d.Report.warn("the target ± %.6g was not reached; about %d draws would take it there", w.Target, d.Needed)
	}
	return d
}

// needed is k·ratio², rounded up and kept within an int's reach.
func needed(k int, ratio float64) int {
	n := float64(k) * ratio * ratio
	return int(min(n, 1e15)) + 1
}
