package calibrate

import (
	"math"

	"whatbout/tape"
)

// unseenSpan is a stretch in which a coder did not see a fighter, µs of that coder's clock.
type unseenSpan struct {
	round    uint8
	corner   tape.Corner
	from, to int64
}

// unseenIn lists the stretches between a row "seen no" and the next "seen yes"; a row without a corner speaks of both. A new round is seen again.
func unseenIn(c *tape.Coding) (out []unseenSpan) {
	for corner := tape.RedCorner; corner <= tape.BlueCorner; corner++ {
		var open *unseenSpan
		for i := range c.Rows {
			r := &c.Rows[i]
			if open != nil && r.Round != open.round {
				out, open = append(out, *open), nil
			}
			if r.Act != tape.StateSeen || r.Corner != tape.NoCorner && r.Corner != corner {
				continue
			}
			switch {
			case r.Value == tape.No && open == nil:
				open = &unseenSpan{r.Round, corner, r.Clock, math.MaxInt64}
			case r.Value == tape.Yes && open != nil:
				open.to = r.Clock
				out, open = append(out, *open), nil
			}
		}
		if open != nil {
			out = append(out, *open)
		}
	}
	return out
}

// watcher tells whether a coder could have coded something.
type watcher struct {
	bout   *tape.Bout
	unseen []unseenSpan
}

func newWatcher(b *tape.Bout, c *tape.Coding) watcher { return watcher{b, unseenIn(c)} }

// sees: an act of nobody (the referee's) is seen unless either fighter is not.
func (w watcher) sees(round uint8, clock int64, corner tape.Corner) bool {
	if !w.bout.Covers(round, clock) {
		return false
	}
	for _, u := range w.unseen {
		if u.round == round && (corner == tape.NoCorner || corner == u.corner) && u.from <= clock && clock < u.to {
			return false
		}
	}
	return true
}

// matchShared matches two codings' acts under a shift, leaving out acts at moments that the other coder did not see or code; dropped,
// where it is not nil, takes their number.
func matchShared(b *tape.Bout, first, second *tape.Coding, shift, window int64, dropped *[2]int) matching {
	ours, n := seenBy(newWatcher(b, second), actsOf(b, first, shift), shift)
	theirs, k := seenBy(newWatcher(b, first), actsOf(b, second, -shift), -shift)
	if dropped != nil {
		*dropped = [2]int{n, k}
	}
	return matchActs(ours, theirs, window)
}

// seenBy keeps the acts that the other coder could have seen; ahead is how far that coder's clock is ahead.
func seenBy(other watcher, acts []codedAct, ahead int64) (kept []codedAct, dropped int) {
	for _, a := range acts {
		if other.sees(a.Round, a.Clock+ahead, a.Corner) {
			kept = append(kept, a)
		}
	}
	return kept, len(acts) - len(kept)
}
