package sim

import (
	"whatbout/fighter"
	"whatbout/tactics"
	"whatbout/tape"
)

// What besides the own range changes habits: where one is, in which stances, and what was just done. These are multiples on choices,
// figures of a fighter like the tables themselves; what positions make possible comes out of positions.

// A row names a table at a choice point. At initiate it is the zone and above it the place; at answer and continue the zone's index among those of
// exchanges and above it what was just done; elsewhere as [Side.Reweighted] has it.
const (
	zoneBits     = 3
	exchangeBits = 2
	numSpots     = 18 // fence (none, own, theirs), centre (even, own, theirs), stances (closed, open)
)

// rowsAt is how many rows each point has.
var rowsAt = [tactics.NumPoints]int{
	tactics.Initiate: numSpots << zoneBits, tactics.Answer: int(fighter.NumAfters) << exchangeBits, tactics.Continue: int(fighter.NumAfters) << exchangeBits,
	tactics.Defend: int(fighter.NumThreats), tactics.Survive: 1,
}

// numRows is how many there are together, firstRow where those of a point begin.
var firstRow, numRows = func() (first [tactics.NumPoints]int, n int) {
	for at, rows := range rowsAt {
		first[at] = n
		n += rows
	}
	return first, n
}()

func initiateRow(z fighter.Zone, spot int) int { return int(z) | spot<<zoneBits }

func exchangeRow(exchange int, a fighter.After) int { return exchange | int(a)<<exchangeBits }

// A spot is a fence, a centre and a stance match-up at once.
func spotOf(fence, centre, open int) int { return fence + 3*(centre+3*open) }

// spot is where a fighter is; in the clinch and on the ground it does not count.
func (b *Bout) spot(c int) int {
	if b.men[c].zone > fighter.Pocket {
		return 0
	}
	return spotOf(side(b.fence, c), side(b.centre, c), 1-bit(b.men[0].southpaw != b.men[1].southpaw))
}

// side is 1 for what is the fighter's own, 2 for the other's, 0 for neither.
func side(v tape.Value, c int) int {
	switch v {
	case cornerValue(c):
		return 1
	case cornerValue(1 - c):
		return 2
	}
	return 0
}

// spotUnder is the spot as far as facts tell; what they do not tell is as elsewhere.
func spotUnder(facts *tactics.Facts) int {
	fence, centre, open := 0, 0, 0
	switch {
	case facts.Holds(tactics.FactOwnFence, 0):
		fence = 1
	case facts.Holds(tactics.FactTheirFence, 0):
		fence = 2
	}
	switch {
	case facts.Holds(tactics.FactCentre, 0):
		centre = 1
	case facts.Holds(tactics.FactCentre, 1):
		centre = 2
	}
	if facts.Holds(tactics.FactMatchUp, 0) {
		open = 1
	}
	return spotOf(fence, centre, open)
}

// loadHabits reads the multiples of a draw.
func (s *Side) loadHabits(d fighter.Draw) {
	for spot := range s.spots {
		for sort := range fighter.NumSorts {
			by := 1.0
			for _, p := range spotPlaces[spot] {
				by *= d[fighter.Placed(p, sort)]
			}
			s.spots[spot][sort] = by
		}
	}
	for a := range fighter.NumAfters {
		s.follows[a], s.replies[a] = 1, 1
		if a != fighter.AfterPunch {
			s.follows[a] = d[fighter.Follows(a)]
		}
		if a >= fighter.AfterFeint {
			s.replies[a] = d[fighter.Replies(a)]
		}
	}
}

// placesOf lists the places of a spot.
func placesOf(spot int) (out []fighter.Place) {
	fence, centre, open := spot%3, spot/3%3, spot/9
	if fence > 0 {
		out = append(out, fighter.OwnFence+fighter.Place(fence-1))
	}
	if centre > 0 {
		out = append(out, fighter.OwnCentre+fighter.Place(centre-1))
	}
	if open > 0 {
		out = append(out, fighter.OpenStance)
	}
	return out
}

// spotPlaces are the places of each spot.
var spotPlaces = func() (out [numSpots][]fighter.Place) {
	for spot := range out {
		out[spot] = placesOf(spot)
	}
	return out
}()

// sortOf is the sort of each move; those without one count as NumSorts.
var sortOf = func() (out [tape.NumMoves]fighter.Sort) {
	for m := range out {
		out[m] = fighter.NumSorts
		if s, ok := fighter.SortOf(tape.Move(m)); ok {
			out[m] = s
		}
	}
	return out
}()

// put multiplies rates begun on the feet by those of a spot.
func (s *Side) put(w []float64, z fighter.Zone, spot int) {
	if spot == 0 || z > fighter.Pocket {
		return
	}
	by := &s.spots[spot]
	for m := range w {
		if sort := sortOf[m]; sort < fighter.NumSorts {
			w[m] *= by[sort]
		}
	}
}

// most is the largest total of a zone's rates, with a plan's multiples, wherever the fighter is and however much the other is hurt.
func (s *Side) most(z fighter.Zone) (most float64) {
	var usual, planned [fighter.NumSorts + 1]float64
	for m, r := range s.rates[z] {
		sort := sortOf[m]
		if tape.Move(m) == tape.MoveGroundStrike {
			sort = fighter.Punches
		}
		usual[sort] += r
		if s.Plan != nil {
			r *= s.Plan.Most(m)
		}
		planned[sort] += r
	}
	for spot := range s.spots {
		strikes, rest, most1, most2 := 0.0, usual[fighter.NumSorts], 0.0, planned[fighter.NumSorts]
		for sort := range fighter.NumSorts {
			by := 1.0
			if z <= fighter.Pocket {
				by = s.spots[spot][sort]
			}
			if sort == fighter.Punches || sort == fighter.Kicks {
				strikes, most1 = strikes+float64(by*usual[sort]), most1+float64(by*planned[sort])
			} else {
				rest, most2 = rest+float64(by*usual[sort]), most2+float64(by*planned[sort])
			}
		}
		most = max(most, float64(most1*s.surgeOver(strikes, rest))+most2)
		if z > fighter.Pocket {
			break
		}
	}
	return most
}

// theirs is what a fighter answers: the onset they saw last. Of a feint that was bitten on the act is gone (noteBite).
func (b *Bout) theirs(c int) fighter.After {
	if act := b.men[c].seen.act; act != tape.NoAct {
		return fighter.AfterOf(act)
	}
	return fighter.AfterFeint
}

// afterUnder is what was just done by a fact of last acts, as far as it tells.
func afterUnder(last tactics.Fact, facts *tactics.Facts) fighter.After {
	switch {
	case facts.Holds(last, int(lastStep)):
		return fighter.AfterStep
	case facts.Holds(last, int(lastHand)):
		return fighter.AfterHandWork
	case facts.Holds(last, int(lastFeint)):
		return fighter.AfterFeint
	case facts.Holds(last, int(lastKick)):
		return fighter.AfterKick
	}
	return fighter.AfterPunch
}
