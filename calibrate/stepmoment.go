package calibrate

import (
	"whatbout/fighter"
	"whatbout/tape"
)

// Moments of how a fighter moves between ranges on the feet, by own zone, and how soon.
const (
	longShare   = iota // of the time on the feet
	kickShare          //
	pocketShare        //
	outCrossed         // how often a minute the fighter went over the outer edge of a zone, either way
	kickCrossed        //
	longCrossed        //
	inNearer           // share of own steps in that ended nearer
	backFarther        // share of own steps back that ended farther
	stepLags           // how much later than usual own steps end, s: after a step; then as gaps has them
	actLags
	answerLags
	numMoments
)

var momentNames = [numMoments]string{"time at long range, share", "time at kicking range, share", "time in the pocket, share",
	"in and out of kicking range, a minute", "in and out of long range, a minute", "in and out of the pocket, a minute",
	"steps in that ended nearer, share", "steps back that ended farther, share",
	"steps after own steps, s later than usual", "steps after other own acts, s later than usual", "steps in answer, s later than usual"}

// settledFor is how long somebody has to stay in a zone for it to count as entered: at the edge of two, bodies waver faster than coders
// write (judgement). stepSettles is when the place that a step led to is looked at, after its clock.
const (
	settledFor  = 400_000
	stepSettles = 150_000
)

// motion adds up what the moments are made of.
type motion struct {
	seconds [fighter.NumZones]float64
	crossed [fighter.Pocket]float64 // over the outer edge of the zone one nearer
	steps   [2]float64              // in, back
	moved   [2]float64              // of them, those that changed the zone as they would
	gaps    gaps
}

// add reads a round of a corner within stays, which are when the zone was known on the coded side.
func (m *motion) add(r *roundReader, c tape.Corner, in []stay) {
	m.gaps.add(r, c)
	whereTo := r.stays(&auditFigure{state: tape.StateRange}, c)
	own := overlap(whereTo, in)
	for _, s := range own {
		m.seconds[s.value] += float64(s.to-s.from) / 1e6
	}
	long := settled(own)
	for i := 1; i < len(long); i++ {
		if a, b := long[i-1], long[i]; a.to == b.from {
			m.cross(a.value, b.value)
		}
	}
	for i := r.light.first; i < r.light.last; i++ {
		e := &r.src.events[i]
		if e.Corner != c || e.Act != tape.StepIn && e.Act != tape.StepBack {
			continue
		}
		from, to := zoneIn(own, e.Onset()), zoneIn(own, e.Clock+stepSettles)
		if from > fighter.Pocket || to > fighter.Pocket {
			continue
		}
		m.step(e.Act, from, to)
	}
}

func (m *motion) cross(from, to int) {
	if from > int(fighter.Pocket) || to > int(fighter.Pocket) {
		return
	}
	for edge := min(from, to); edge < max(from, to); edge++ {
		m.crossed[edge]++
	}
}

// step counts a step that could have changed the zone.
func (m *motion) step(act tape.Act, from, to fighter.Zone) {
	switch {
	case act == tape.StepIn && from < fighter.Pocket:
		m.steps[0]++
		if to > from {
			m.moved[0]++
		}
	case act == tape.StepBack && from > fighter.Out:
		m.steps[1]++
		if to < from {
			m.moved[1]++
		}
	}
}

// feet is the time on the feet, s.
func (m *motion) feet() float64 {
	return m.seconds[fighter.Out] + m.seconds[fighter.Kicking] + m.seconds[fighter.Long] + m.seconds[fighter.Pocket]
}

// moments gives the figures; a share of nothing is 0.
func (m *motion) moments() (x [numMoments]float64) {
	if feet := m.feet(); feet > 0 {
		x[longShare], x[kickShare], x[pocketShare] = m.seconds[fighter.Long]/feet, m.seconds[fighter.Kicking]/feet, m.seconds[fighter.Pocket]/feet
		for edge := range m.crossed {
			x[outCrossed+edge] = m.crossed[edge] / feet * 60
		}
	}
	for k := range m.steps {
		if m.steps[k] > 0 {
			x[inNearer+k] = m.moved[k] / m.steps[k]
		}
	}
	for kind := range numGaps {
		x[stepLags+kind] = m.gaps.mean(kind)
	}
	return x
}

// overlap cuts stays down to what lies within others; both in the order of time.
func overlap(stays, in []stay) (out []stay) {
	for i, j := 0, 0; i < len(stays) && j < len(in); {
		a, b := stays[i], in[j]
		if from, to := max(a.from, b.from), min(a.to, b.to); from < to {
			if n := len(out); n > 0 && out[n-1].to == from && out[n-1].value == a.value {
				out[n-1].to = to
			} else {
				out = append(out, stay{span{from, to}, a.value})
			}
		}
		if a.to < b.to {
			i++
		} else {
			j++
		}
	}
	return out
}

// settled gives short stays to the one before, and joins what is then alike.
func settled(stays []stay) (out []stay) {
	for _, s := range stays {
		n := len(out)
		switch {
		case n > 0 && out[n-1].to == s.from && (s.to-s.from < settledFor || out[n-1].value == s.value):
			out[n-1].to = s.to
		default:
			out = append(out, s)
		}
	}
	return out
}

// zoneIn gives where somebody was, or unknown.
func zoneIn(stays []stay, at int64) fighter.Zone {
	for _, s := range stays {
		if s.from <= at && at < s.to {
			return fighter.Zone(s.value)
		}
	}
	return unknown
}
