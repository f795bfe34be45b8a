package calibrate

import "whatbout/internal/infer"

// AuditCover is how many coded values lie inside their forecast's intervals. Expected is what the draws themselves do: more than the
// level where counts are small.
type AuditCover struct {
	Group    string         `json:"group"` // "all" of all
	Level    float64        `json:"level"`
	Expected float64        `json:"expected"`
	Share    infer.Interval `json:"share"` // Wilson 95 %, as if cells were independent, which those of one round are not
}

func (a *Audit) cover(group string, cells []*cell) {
	for _, level := range []float64{.5, .9} {
		inside, expected := 0.0, 0.0
		for _, c := range cells {
			i := c.Forecast
			if level == .5 {
				i = c.Half
			}
			if i.Holds(c.Coded) {
				inside++
			}
			own := 0.0
			for _, x := range c.draws {
				if i.Holds(x) {
					own++
				}
			}
			expected += own / float64(len(c.draws))
		}
		n := float64(len(cells))
		a.Coverage = append(a.Coverage, AuditCover{Group: group, Level: level, Expected: expected / n, Share: infer.Wilson(inside, n, .95)})
	}
}
