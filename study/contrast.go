package study

import (
	"whatbout/internal/infer"
	"whatbout/tactics"
)

// Contrast is a plan less another along a sweep, in the value's unit, with where the better of the two changes.
type Contrast struct {
	Plan      string           `json:"plan"`
	Against   string           `json:"against"`
	Points    []ContrastPoint  `json:"points"`
	Same      bool             `json:"same"` // no bout went differently
	Crossings []infer.Crossing `json:"crossings"`
	Saved     *float64         `json:"saved,omitempty"` // separate bouts that one paired bout is worth; nil: nothing differs
}

// ContrastPoint is a contrast with the dial at one place.
type ContrastPoint struct {
	At          float64           `json:"at"`
	Difference  Estimate          `json:"difference"`
	Probability infer.Probability `json:"probability_better"` // that the first plan's expectation is above the other's; ½ if they are the same
}

// contrast holds a plan against another, by point and draw on the same luck.
func (q *Sweep) contrast(plan, against [][]Values) (c Contrast) {
	value := q.Value.orWin()
	means := grid[float64](len(plan[0]), len(q.At))
	var all []infer.Pairs
	for point, x := range q.At {
		groups := make([]infer.Group, len(means))
		for k := range groups {
			pairs := plan[point][k].pairs(against[point][k], value.Of)
			groups[k], all = pairs.Difference(), append(all, pairs)
			means[k][point] = groups[k].Mean()
		}
		c.Points = append(c.Points, ContrastPoint{At: x, Difference: estimate(groups, q.Level), Probability: infer.Better(groups, false)})
	}
	c.Crossings, c.Same = infer.Crossings(q.At, means, q.Level)
	if saved, finite := infer.PoolPairs(all).Saved(); finite {
		c.Saved = &saved
	}
	return c
}

// usualName is that of fighting without a plan.
const usualName = "as usual"

func nameOf(p *tactics.Plan) string {
	if p == nil {
		return usualName
	}
	return p.Name
}
