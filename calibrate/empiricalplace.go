package calibrate

import "whatbout/fighter"

// places re-estimates the multiples by place, and notes what they make of each fighter's free seconds: a rate is that of where no place holds.
func (e *estimator) places() {
	var figures []fighter.Figure
	for k := range fighter.NumPlaces {
		for s := range fighter.NumSorts {
			if places(1 << k).leaves(s) { // of what cannot be done there tape tells nothing
				figures = append(figures, fighter.Placed(k, s))
			}
		}
	}
	e.multiples(figures, leastPlaced, "acts there", func(p *fighter.Profile, t *counts) { setPlaces(p, t) })
	e.leans = map[string]*leans{}
	for _, id := range e.ids {
		e.leans[id] = setPlaces(e.population.Profile(id, fighter.Body{}), e.tallies[id])
	}
}
